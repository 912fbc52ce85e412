package piping

import "collinear.example/align"

// API617 returns the rule for the connections of centrifugal compressors in one
// of its printed forms:
//
//	one connection  3 Fr + Mr <= 927 De     lbf, lbf.ft, in
//	                Fr + 1.09 Mr <= 54.1 De N, N.m, mm
//	all together    2 Fc + Mc <= 462 Dc     Fc + 1.64 Mc <= 40.4 Dc
//	                Fx 92, Fy 231, Fz 185 lbf, Mx 462, My 231, Mz 231 lbf.ft an inch of Dc
//	                Fx 16.1, Fy 40.5, Fz 32.4 N, Mx 24.6, My 12.3, Mz 12.3 N.m a millimetre of Dc
//	                De above 8 in (200 mm) is (16 in + D)/3 or (400 mm + D)/3
//	                Dc above 9 in (230 mm) is (18 in + D)/3 or (460 mm + D)/3
//
// (API 617, 6th ed., Appendix G; 7th ed., 2002, chapter 4, Annex E; 8th ed.,
// 2014, part 4, Annex F). They are 1.85 times NEMA SM 23, and the two forms are
// rounded apart. The limits of the components are from memory, and so is that
// the loads are resolved at the centreline of the largest connection.
//
// Errors: missing or unknown units.
func API617(units UnitSystem) (ConnectionRule, error) {
	if err := units.check(); err != nil {
		return ConnectionRule{}, err
	}
	r := ConnectionRule{
		name: "API 617", units: units,
		single: resultantRow{"3 Fr + Mr", 3, 1, 927},
		all:    resultantRow{"2 Fc + Mc", 2, 1, 462},
		small:  8, smallK: 16, joint: 9, jointK: 18,
		parts:      [6]float64{92, 231, 185, 462, 231, 231},
		partsKnown: align.FromMemory, known: align.Read,
		source: "API 617, 6th ed. App. G, 7th ed. ch. 4 Annex E, 8th ed. part 4 Annex F",
	}
	if units == SI {
		r.single = resultantRow{"Fr + 1.09 Mr", 1, 1.09, 54.1}
		r.all = resultantRow{"Fc + 1.64 Mc", 1, 1.64, 40.4}
		r.small, r.smallK, r.joint, r.jointK = 200, 400, 230, 460
		r.parts = [6]float64{16.1, 40.5, 32.4, 24.6, 12.3, 12.3}
	}
	return r, nil
}
