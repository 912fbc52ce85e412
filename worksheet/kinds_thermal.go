package worksheet

func thermalKinds() []kind {
	return []kind{unitsKind(), supportKind(), coldKind(), movementKind(), spacerKind(), toleranceKind()}
}
