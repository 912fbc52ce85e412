package uncertainty

import "collinear.example/align"

// CopyDial makes dst the same as src with a sweep and a runout of its own. It
// allocates only when dst has no room yet.
func CopyDial(dst, src *align.Dial) {
	sweep, runout := dst.Sweep, dst.Runout
	*dst = *src
	dst.Sweep = append(sweep[:0], src.Sweep...)
	if src.Runout == nil {
		return
	}
	if runout == nil {
		runout = new(align.Offset)
	}
	*runout = *src.Runout
	dst.Runout = runout
}

// CopyReverse is the Copy of a Model of align.ReverseIndicator.
func CopyReverse(dst, src *align.ReverseIndicator) {
	far, near := dst.OnFar, dst.OnNear
	*dst = *src
	dst.OnFar, dst.OnNear = far, near
	CopyDial(&dst.OnFar, &src.OnFar)
	CopyDial(&dst.OnNear, &src.OnNear)
}

// CopyRimAndFace is the Copy of a Model of align.RimAndFace.
func CopyRimAndFace(dst, src *align.RimAndFace) {
	rim, face := dst.Rim, dst.Face
	*dst = *src
	dst.Rim, dst.Face = rim, face
	CopyDial(&dst.Rim, &src.Rim)
	CopyDial(&dst.Face, &src.Face)
}

// CopyMeasurement is the Copy of a Model of align.Measurement.
func CopyMeasurement(dst, src *align.Measurement) {
	dials, offsets, slopes := dst.Dials, dst.Offsets, dst.Slopes
	*dst = *src
	for len(dials) < len(src.Dials) {
		dials = append(dials, align.Dial{})
	}
	dst.Dials = dials[:len(src.Dials)]
	for i := range src.Dials {
		CopyDial(&dst.Dials[i], &src.Dials[i])
	}
	dst.Offsets = append(offsets[:0], src.Offsets...)
	dst.Slopes = append(slopes[:0], src.Slopes...)
}
