package worksheet

func pipeKinds() []kind {
	return []kind{flangeKind(), strainKind(), obliqueKind(), nozzleKind(), limitedKind(), afterKind()}
}
