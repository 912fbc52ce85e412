package align

// HalfTurn parts what belongs to the hubs from what belongs to the shafts: the
// same quantity is found twice, the second time after both shafts have been
// turned half a turn together. The misalignment stays where it is; the error of
// a hub turns with it and changes sign.
type HalfTurn struct {
	Before Offset // any first-harmonic quantity, such as half a rim difference or a gap difference
	After  Offset // the same after half a turn of both shafts
}

// Misalignment returns (Before + After)/2, the part that stayed. (Carrier
// 17/19EX manual, pages 211-212; its four cases are this one signed formula.)
func (h HalfTurn) Misalignment() Offset { return h.Before.Add(h.After).Scale(0.5) }

// HubError returns (Before - After)/2, the part that turned with the hubs, as
// it stood in the first set.
func (h HalfTurn) HubError() Offset { return h.Before.Sub(h.After).Scale(0.5) }
