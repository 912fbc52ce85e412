package piping

import "collinear.example/align"

// NEMASM23 returns the rule for the connections of mechanical-drive steam
// turbines, forces in lbf, moments in lbf.ft, diameters in inches:
//
//	one connection  3 F + M < 500 De     De = D up to 8 in, above (16 + D)/3
//	all together    Fc <= (250 Dc - Mc)/2, that is 2 Fc + Mc <= 250 Dc
//	                Fx 50 Dc, Fy 125 Dc, Fz 100 Dc, Mx 250 Dc, My 125 Dc, Mz 125 Dc
//	                Dc = diameter of the total area up to 9 in, above (18 + D)/3
//
// resolved at the centreline of the exhaust connection, X along the shaft, Y
// vertical (NEMA SM 23 as given by two engineering sites, which agree). Some
// writings of 3 F + M <= 500 D in newtons and millimetres are wrong: the 3 is
// feet. Extra allowance for a vertical exhaust with an expansion joint is not
// part of it.
func NEMASM23() ConnectionRule {
	return ConnectionRule{
		name: "NEMA SM 23", units: USCustomary,
		single: resultantRow{"3 F + M", 3, 1, 500},
		all:    resultantRow{"2 Fc + Mc", 2, 1, 250},
		small:  8, smallK: 16, joint: 9, jointK: 18,
		parts:      [6]float64{50, 125, 100, 250, 125, 125},
		partsKnown: align.ReadSecondhand, known: align.ReadSecondhand,
		source: "NEMA SM 23, as given by two engineering sites",
	}
}
