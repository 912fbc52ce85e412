package worksheet

func alignKinds() []kind {
	return []kind{sagTestKind(), sweepCheckKind(), feelerKind(), rimFaceKind(), reverseKind(), targetKind()}
}
