package drawing

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// Measures of an inset in millimetres.
const (
	insetWide  = 53.0
	insetHigh  = 25.0
	insetText  = 25.0 // where the words begin
	insetFace  = 11.0 // of a flange across, which means nothing
	insetThick = 2.4
	insetPipe  = 4.0 // of the piece of pipe
	insetBore  = 5.0
	insetLeast = 2.0 // the narrower gap, which means nothing either
	insetMost  = 4.0 // of the difference of the gaps
	insetOff   = 2.0 // of the offset
	insetOut   = 1.6 // of the dimensions beyond the rims

	insetsInRow   = 5
	insetsByTitle = 2 // so many find room between legend and title block
)

// insetHeight is how much room the insets take down the sheet above the legend.
func (s *trainSheet) insetHeight() float64 {
	n := len(s.t.Flanges)
	if n <= insetsByTitle {
		return 0
	}
	return float64((n+insetsInRow-1)/insetsInRow)*insetHigh + trainSection
}

// insets draws the flanges.
func (s *trainSheet) insets() {
	for i := range s.t.Flanges {
		x := trainLeft + float64(i%insetsInRow)*(insetWide+2.4)
		y := s.bottom + float64(i/insetsInRow)*insetHigh
		if len(s.t.Flanges) <= insetsByTitle {
			x, y = titleLeft-1-float64(len(s.t.Flanges)-i)*insetWide, s.footer().Top+1
		}
		s.inset(&s.t.Flanges[i], s.t.Flanges[i].called(i), Point{x, y})
	}
	s.bottom += s.insetHeight()
}

// scale is that of the difference of the gaps and of the offset of a pair of flanges:
// the largest at which both fit the inset. The narrower gap itself is not to scale, so
// that a small difference can be seen beside a wide gap.
func (f *Flange) scale() ratio {
	r := min(mostAcross, fitRatio(f.difference(), insetMost))
	if f.Offset == nil {
		return r
	}
	off := unit.Length(math.Abs(float64(*f.Offset)))
	return min(r, fitRatio(off, insetOff))
}

func (f *Flange) difference() unit.Length {
	return unit.Length(math.Abs(float64(f.Gaps[0].Gap - f.Gaps[1].Gap)))
}

// where is the name of a spot.
func (f *Flange) where(i int) string {
	return named(f.Gaps[i].Where, [...]string{"one side", "other side"}[i])
}

// inset draws one cut: the machine's flange to the left, the pipe's to the right.
func (s *trainSheet) inset(f *Flange, name string, at Point) {
	r := f.scale()
	top := at.Y + labelRow + 0.8 + insetOff + insetOut + halfBox*labelSize
	bottom := top + insetFace
	least := min(f.Gaps[0].Gap, f.Gaps[1].Gap)
	gap := [2]float64{insetLeast + r.mm(f.Gaps[0].Gap-least), insetLeast + r.mm(f.Gaps[1].Gap-least)}
	face := at.X + insetPipe + insetThick + 1
	off := 0.0
	if f.Offset != nil {
		off = -r.mm(*f.Offset) // toward the first spot, which is above
	}
	s.flangeOutline(Point{face, top}, Point{face, bottom}, -1)
	s.flangeOutline(Point{face + gap[0], top + off}, Point{face + gap[1], bottom + off}, 1)
	upper, lower := min(top, top+off)-insetOut, max(bottom, bottom+off)+insetOut
	text := at.X + insetText
	s.gapDimension(Point{face, top}, Point{face + gap[0], top + off}, upper, text-1)
	s.gapDimension(Point{face, bottom}, Point{face + gap[1], bottom + off}, lower, text-1)

	write := func(words string, x, mid float64, bold bool) {
		words = Shortened(words, labelSize, at.X+insetWide-x)
		if words != "" {
			s.Draw(Text{At: Point{x, mid + midDrop*labelSize}, Words: words, Size: labelSize, Bold: bold})
		}
	}
	write(name, at.X, at.Y+labelRow/2, true)
	write(s.spot(f, 0), text, upper, false)
	write(s.spot(f, 1), text, lower, false)
	middle := (top + bottom) / 2
	if f.Offset != nil {
		write("offset "+s.figures.move.signed(*f.Offset)+" "+string(s.figures.move.unit), text, middle-labelRow/2, false)
		write("difference, offset "+scaleWords(r), text, middle+labelRow/2, false)
		return
	}
	write("difference "+scaleWords(r), text, middle, false)
}

// flangeOutline draws a flange and a piece of its pipe behind a face; side is -1 to the
// left of the face.
func (s *trainSheet) flangeOutline(a, b Point, side float64) {
	dx, dy := (b.X-a.X)/insetFace, (b.Y-a.Y)/insetFace // along the face
	n := math.Hypot(dx, dy)
	dx, dy = dx/n, dy/n
	back := func(p Point, along, deep float64) Point {
		return p.Add(dx*along+side*dy*deep, dy*along-side*dx*deep)
	}
	size := distance(a, b)
	lip := (size - insetBore) / 2
	s.Draw(
		Polyline{Points: []Point{a, b, back(b, 0, insetThick), back(a, 0, insetThick)}, Closed: true, Stroke: Wide},
		Polyline{Points: []Point{back(a, lip, insetThick), back(a, lip, insetThick+insetPipe)}, Stroke: Wide},
		Polyline{Points: []Point{back(a, size-lip, insetThick), back(a, size-lip, insetThick+insetPipe)}, Stroke: Wide},
	)
}

// gapDimension draws a dimension across a gap, beyond the rims at height y, with
// projection lines from both rims, arrows from outside since the gap is narrow, and on
// to its figure.
func (s *trainSheet) gapDimension(left, right Point, y, text float64) {
	over := 0.6
	if y < left.Y {
		over = -over
	}
	s.segment(left, Point{left.X, y + over}, Narrow)
	s.segment(right, Point{right.X, y + over}, Narrow)
	s.Draw(Line{From: Point{left.X - arrowLong - 1, y}, To: Point{left.X, y}, Stroke: Narrow, Arrow: AtEnd},
		Line{From: Point{text, y}, To: Point{right.X, y}, Stroke: Narrow, Arrow: AtEnd})
}

// spot says where a gap was read and how wide it is.
func (s *trainSheet) spot(f *Flange, i int) string {
	figure := s.figures.move.with(f.Gaps[i].Gap)
	return Shortened(f.where(i), labelSize, insetWide-insetText-TextWidth(" "+figure, labelSize)-hair) + " " + figure
}
