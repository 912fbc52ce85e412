package worksheet

import "slices"

var rimFaceIDs = []string{"rim", "face"}

// rimFaceMistakes are those of a rim-and-face job, in both planes where there are
// two.
func rimFaceMistakes() []Mistake {
	const v, h = "offset.rim.vertical", "offset.rim.horizontal"
	return slices.Concat([]Mistake{
		slip("dial-sign", turnReadings(rimFaceIDs...)),
		slip("top-not-subtracted", func(s *Sheet) bool {
			return addTo(s, "corrected.rim", "rim.12", 1) && addTo(s, "corrected.face", "face.12", 1)
		}),
		slip("rim-digits-exchanged", digitsExchanged("rim.6")),
		slip("face-digits-exchanged", digitsExchanged("face.6")),
		slip("rim-sag-forgotten", func(s *Sheet) bool { return s.givenNotZero("face.sag") && addTo(s, "corrected.rim", "rim.sag", 1) }),
		slip("face-sag-forgotten", func(s *Sheet) bool { return addTo(s, "corrected.face", "face.sag", 1) }),
		slip("not-halved", scaled(2, v, h)),
		slip("halved-twice", scaled(0.5, v, h)),
		slip("rim-sign", scaled(-1, v, h)),
		slip("offsets-turned", scaled(-1, v, h, "slope.vertical", "slope.horizontal")),
		slip("face-sign", scaleSlopes(-1)),
		slip("face-halved", scaleSlopes(0.5)),
		slip("radius-for-diameter", scaleSlopes(2)),
		slip("hub-for-swept-diameter", func(s *Sheet) bool {
			return s.has("hub") && eachPlane(bothPlanes, "slope.", func(v Values, right float64) float64 { return right * v["swept"] / v["hub"] })(s)
		}),
		slip("face-not-divided", notDivided("swept")),
		slip("face-as-offset", eachFoot(bothPlanes, func(v Values, _ float64, plane, _ string) float64 {
			return -(v["offset.rim."+plane] + v["slope."+plane]*v["swept"])
		})),
		slip("sides-exchanged", scaled(-1, h, "slope.horizontal")),
		slip("sides-not-subtracted", rimFaceSideAlone("3", 1)),
		slip("nine-alone", rimFaceSideAlone("9", -1)),
	}, sagSlips(rimFaceIDs...), rimFaceStart.mistakes())
}

// rimFaceSideAlone takes one side reading of each dial for the difference.
func rimFaceSideAlone(at string, sign float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return sideAlone(s, "rim", "offset.rim.horizontal", at, sign) && sideAlone(s, "face", "slope.horizontal", at, sign)
	}
}
