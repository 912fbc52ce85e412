package worksheet

func footKinds() []kind {
	return []kind{wedgeKind(), rockingKind(), packKind(), baseKind(), hubKind(), faceKind()}
}
