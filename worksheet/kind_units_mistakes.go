package worksheet

import (
	"math"

	"collinear.example/align"
)

// unitsMistakes are the slips between two systems of units.
func unitsMistakes() []Mistake {
	both := func(k func(s *Sheet) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool { x := k(s); return s.scale(x, "movement", "distance") }
	}
	// inch tells the way of the sheet: 1 when it turns inches into millimetres, -1
	// when it goes the other way.
	inch := func(s *Sheet) float64 {
		if s.unitOf("span") == align.UnitInch {
			return 1
		}
		return -1
	}
	fahrenheit := func(s *Sheet) bool { return s.unitOf("rise") == align.UnitFahrenheitRise }
	number := func(s *Sheet, id, given string, wrong func(n float64) float64) bool {
		from, to := s.unitOf(given), s.unitOf(id)
		return s.replace(id, func(v Values, _ float64) float64 { return to.SI(wrong(from.FromSI(v[given]))) })
	}
	// degrees is the rise as a number in the scale it was read in.
	degrees := func(s *Sheet, wrong func(n float64) float64) bool {
		to, from := s.unitOf("rise"), otherScale(s.unitOf("rise"))
		return s.replace("rise", func(_ Values, right float64) float64 { return to.SI(wrong(from.FromSI(right))) })
	}
	return []Mistake{
		{Code: "inch-factor-upside-down", Says: "multiplied by 25.4 where it divides, or the other way round", Rank: 1, alter: both(func(s *Sheet) float64 { return math.Pow(25.4, -2*inch(s)) })},
		{Code: "inch-factor-left-out", Says: "left the 25.4 out and moved decimal points only", Rank: 2, alter: both(func(s *Sheet) float64 { return math.Pow(25.4, -inch(s)) })},
		{Code: "centimetre-factor", Says: "used 2.54, which makes centimetres, for millimetres", Rank: 2, alter: both(func(s *Sheet) float64 { return math.Pow(10, -inch(s)) })},
		{Code: "mil-for-inch", Says: "took a mil for an inch, or a micrometre for a millimetre: a thousand times", Rank: 2, alter: func(s *Sheet) bool {
			return s.scale(1000, "movement")
		}},
		{Code: "inch-for-mil", Says: "took an inch for a mil, or a millimetre for a micrometre: a thousandth", Rank: 2, alter: func(s *Sheet) bool {
			return s.scale(1e-3, "movement")
		}},
		{Code: "slope-units-not-equal", Says: "turned the slope by 25.4: mil/in and mm/m are the same number", Rank: 1, alter: func(s *Sheet) bool { return s.scale(math.Pow(25.4, inch(s)), "slope.other") }},
		{Code: "slope-upside-down", Says: "put the distance over the rise", Rank: 3, alter: func(s *Sheet) bool {
			return s.replace("slope", func(_ Values, right float64) float64 { return 1e-6 / right })
		}},
		{Code: "slope-sign-turned", Says: "took the first end less the second", Rank: 2, alter: func(s *Sheet) bool { return s.scale(-1, "slope") }},
		{Code: "slope-of-one-end", Says: "put the rise at one end over the distance: the difference of both ends makes the slope", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("slope", func(v Values, _ float64) float64 { return v["moved.second"] / v["span"] })
		}},
		{Code: "per-inch-for-per-ten", Says: "gave the slope per inch for that over 10 inches", Rank: 1, alter: func(s *Sheet) bool { return s.scale(0.1, "slope.ten") }},
		{Code: "per-metre-for-per-hundred", Says: "gave the slope per metre for that over 100 mm", Rank: 1, alter: func(s *Sheet) bool { return s.scale(10, "slope.hundred") }},
		{Code: "per-hundred-a-hundredth", Says: "divided the slope per metre by 100 for that over 100 mm, where a metre has ten of them", Rank: 2, alter: func(s *Sheet) bool { return s.scale(0.1, "slope.hundred") }},
		{Code: "radians-as-degrees", Says: "gave radians for degrees: the answer is 57.3 times too small", Rank: 1, alter: func(s *Sheet) bool { return s.scale(math.Pi/180, "slope.angle") }},
		{Code: "thousandths-as-degrees", Says: "gave thousandths of slope for degrees", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("slope.angle", func(v Values, _ float64) float64 { return align.UnitDegree.SI(v["slope"] / align.MilPerInch) })
		}},
		{Code: "thirty-two-on-difference", Says: "used the 32 of the Fahrenheit scale on a difference of temperatures, which has no zero to shift", Rank: 1, alter: func(s *Sheet) bool {
			if fahrenheit(s) {
				return degrees(s, func(n float64) float64 { return n*1.8 + 32 })
			}
			return degrees(s, func(n float64) float64 { return (n - 32) / 1.8 })
		}},
		{Code: "rise-kept", Says: "gave the rise in the scale it was read in: 1 degC is 1.8 degF", Rank: 1, alter: func(s *Sheet) bool {
			return degrees(s, func(n float64) float64 { return n })
		}},
		{Code: "thirty-two-forgotten", Says: "left the 32 out when turning a temperature from one scale to the other", Rank: 1, alter: func(s *Sheet) bool {
			return number(s, "temperature", "cold", func(n float64) float64 {
				if fahrenheit(s) {
					return n * 1.8
				}
				return n / 1.8
			})
		}},
		{Code: "thirty-two-in-wrong-order", Says: "added or took off the 32 at the wrong end: from Fahrenheit it comes off first, to Fahrenheit it is added last", Rank: 2, alter: func(s *Sheet) bool {
			return number(s, "temperature", "cold", func(n float64) float64 {
				if fahrenheit(s) {
					return (n + 32) * 1.8
				}
				return n/1.8 - 32
			})
		}},
		{Code: "nine-fifths-upside-down", Says: "used 5/9 where 9/5 belongs, or the other way round", Rank: 1, alter: func(s *Sheet) bool {
			if fahrenheit(s) {
				return degrees(s, func(n float64) float64 { return n / 1.8 }) &&
					number(s, "temperature", "cold", func(n float64) float64 { return n/1.8 + 32 })
			}
			return degrees(s, func(n float64) float64 { return n * 1.8 }) &&
				number(s, "temperature", "cold", func(n float64) float64 { return (n - 32) * 1.8 })
		}},
		{Code: "coefficient-turned-wrong-way", Says: "turned the coefficient as a temperature is turned: it is per degree, so the factor goes the other way", Rank: 1, alter: func(s *Sheet) bool {
			if fahrenheit(s) {
				return s.scale(1.8*1.8, "expansion")
			}
			return s.scale(1/(1.8*1.8), "expansion")
		}},
		{Code: "coefficient-not-turned", Says: "kept the coefficient of the other scale", Rank: 1, alter: func(s *Sheet) bool {
			if fahrenheit(s) {
				return s.scale(1.8, "expansion")
			}
			return s.scale(1/1.8, "expansion")
		}},
	}
}
