package drawing

import "strings"

// trainCaution stands on every drawing.
const trainCaution = "Figures are arithmetic, not permission: site rules, local codes, the makers' instructions and qualified people decide."

// flangeNote stands beside it where there are insets.
const flangeNote = "Flanges: the machine's left, the pipe's right; the narrower gap is not to scale."

// legendItem is a sample of a line with its words.
type legendItem struct {
	words string
	draw  func(b Box) // b is where the sample stands
}

// legendColumns is how many columns the legend has and how wide each is: one, when
// insets stand beside it.
func (s *trainSheet) legendColumns() (n int, wide float64) {
	const room = titleLeft - 3 - trainLeft
	if k := len(s.t.Flanges); k > 0 && k <= insetsByTitle {
		return 1, room - insetsByTitle*insetWide
	}
	return 2, room / 2
}

// legendHeight is the height of samples and notes.
func (s *trainSheet) legendHeight() float64 {
	n, wide := s.legendColumns()
	rows := (len(s.legendItems()) + n - 1) / n
	return 1 + float64(rows)*legendRow + float64(len(wrapped(s.note(), labelSize, float64(n)*wide)))*labelRow
}

// footerHeight is the height of legend, title block and caution.
func (s *trainSheet) footerHeight() float64 {
	h := max(titleHeight, s.legendHeight())
	if n := len(s.t.Flanges); n > 0 && n <= insetsByTitle {
		h = max(h, insetHigh+1)
	}
	return h + cautionRoom
}

// note says what the figures at the couplings are.
func (s *trainSheet) note() string {
	if len(s.t.Couplings) == 0 {
		return ""
	}
	return "Figures at a coupling: far shaft less near one at the near and at the far flex plane; + high or toward 3 o'clock."
}

func (s *trainSheet) footer() Box {
	bottom := s.Height - sheetEdge
	return Box{sheetEdge, bottom - s.footerHeight(), s.Width - sheetEdge, bottom}
}

func (s *trainSheet) legendItems() (items []legendItem) {
	line := func(stroke Stroke) func(b Box) {
		return func(b Box) {
			y := (b.Top + b.Bottom) / 2
			s.segment(Point{b.Left, y}, Point{b.Right, y}, stroke)
		}
	}
	add := func(words string, draw func(b Box)) { items = append(items, legendItem{words, draw}) }
	last := len(s.t.States) - 1
	for i := range s.t.States {
		add("shafts "+s.t.stateWords(i), line(s.strokes[i]))
	}
	add("zero of the offsets", line(Faint))
	if s.uncertain() {
		add("uncertainty of a shaft", func(b Box) { s.rectangle(b.Grown(-0.6), NoStroke, Tint) })
	}
	if len(s.t.Couplings) > 0 {
		add("coupling between flex planes", func(b Box) { s.rectangle(Box{b.Left + 3, b.Top + 0.4, b.Right - 3, b.Bottom - 0.4}, Narrow, NoFill) })
	}
	if s.limited() {
		add("limit about the near shaft, "+s.t.stateWords(last), func(b Box) {
			x := (b.Left + b.Right) / 2
			s.rectangle(Box{x - windowHalf, b.Top + 0.2, x + windowHalf, b.Bottom - 0.2}, Narrow, Tint)
		})
	}
	if s.moved() {
		words := "which way a foot goes"
		if s.t.found() {
			words = "move of a foot (at the shaft: to scale)"
		}
		add(words, func(b Box) {
			x := (b.Left + b.Right) / 2
			s.Draw(Line{From: Point{x, b.Bottom}, To: Point{x, b.Top}, Stroke: Narrow, Arrow: AtEnd})
		})
	}
	return items
}

// legend says what the lines mean.
func (s *trainSheet) legend() {
	items := s.legendItems()
	n, wide := s.legendColumns()
	rows := (len(items) + n - 1) / n
	top := s.footer().Top + 0.8
	for i, item := range items {
		x, y := trainLeft+float64(i/rows)*wide, top+float64(i%rows)*legendRow
		const sample = 17.0 // more than a rhythm of each kind of line
		item.draw(Box{x, y + 0.3, x + sample, y + legendRow - 0.3})
		s.Draw(Text{At: Point{x + sample + 2, y + legendRow/2 + midDrop*labelSize}, Words: Shortened(item.words, labelSize, wide-sample-4), Size: labelSize})
	}
	for i, words := range wrapped(s.note(), labelSize, float64(n)*wide) {
		s.Draw(Text{At: Point{trainLeft, top + float64(rows)*legendRow + float64(i)*labelRow + 2.3}, Words: words, Size: labelSize})
	}
}

// uncertain reports whether any state has an uncertainty.
func (s *trainSheet) uncertain() bool {
	for i := range s.t.States {
		if len(s.t.States[i].Uncertain) > 0 {
			return true
		}
	}
	return false
}

// limited reports whether any coupling has a limit.
func (s *trainSheet) limited() bool {
	for i := range s.t.Couplings {
		if near, far := s.t.Couplings[i].limits(); near > 0 || far > 0 {
			return true
		}
	}
	return false
}

// titleBlock says what is drawn, for whom, at which scales and in which units, and
// writes the caution below all.
func (s *trainSheet) titleBlock() {
	f := s.footer()
	caution := f.Bottom - cautionRoom
	s.segment(Point{f.Left, caution}, Point{f.Right, caution}, Narrow)
	s.Draw(Text{At: Point{trainLeft, caution + cautionRoom/2 + midDrop*labelSize}, Words: trainCaution, Size: labelSize})
	if len(s.t.Flanges) > 0 {
		s.Draw(Text{At: Point{trainRight, caution + cautionRoom/2 + midDrop*labelSize}, Words: flangeNote, Size: labelSize, Anchor: End})
	}

	top := caution - titleHeight
	s.Draw(Polyline{Points: []Point{{titleLeft, caution}, {titleLeft, top}, {f.Right, top}}, Stroke: Wide})
	const pad, size = 2.0, 2.8
	half := (titleLeft + f.Right) / 2
	rows := [...]float64{top, top + 7.7, top + 12.8, top + 17.9, caution}
	for _, y := range rows[1:4] {
		s.segment(Point{titleLeft, y}, Point{f.Right, y}, Narrow)
	}
	s.segment(Point{half, rows[1]}, Point{half, caution}, Narrow)
	write := func(row int, right bool, words string) {
		x := titleLeft + pad
		if right {
			x = half + pad
		}
		words = Shortened(words, size, half-titleLeft-2*pad)
		if words != "" {
			s.Draw(Text{At: Point{x, (rows[row]+rows[row+1])/2 + midDrop*size}, Words: words, Size: size})
		}
	}
	s.Draw(Text{At: Point{titleLeft + pad, (rows[0]+rows[1])/2 + midDrop*4.2}, Words: Shortened(named(s.t.Title, "Shaft train"), 4.2, f.Right-titleLeft-2*pad), Size: 4.2, Bold: true})
	write(1, false, s.t.Plant)
	write(1, true, joined(s.t.Reference, s.t.Date))
	write(2, false, s.scales())
	write(2, true, "offsets, moves: "+string(s.figures.offset.unit))
	write(3, false, "casings: to scale along only")
	write(3, true, "stations: "+string(s.figures.station.unit))
}

// joined puts a comma between two texts that are not empty.
func joined(a, b string) string {
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	if a == "" || b == "" {
		return a + b
	}
	return a + ", " + b
}

// found reports whether there is a state as found.
func (t *Train) found() bool {
	for i := range t.States {
		if t.States[i].Kind == AsFound {
			return true
		}
	}
	return false
}
