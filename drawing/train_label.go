package drawing

// trainLabel is what is written at one place of a view: a name, which may be cut to
// the width there is, and figures, which may not.
type trainLabel struct {
	at   float64    // where it belongs, along the paper
	name string     // "" for none
	rows [][]string // of one column, or of a word and figures
	left bool       // written from the left edge; else in the middle

	want, least float64 // width with the whole name, and with the figures alone
	width, mid  float64 // as placed
}

// Measures of labels in millimetres.
const (
	labelSize = 2.5 // letters 1.8 mm high
	labelRow  = 3.1
	labelGap  = 2.2  // between two labels
	numberGap = 1.0  // between two numbers that stand for labels
	cellGap   = 1.8  // between two columns of one label
	leastName = 7    // a name is never cut to less
	hair      = 1e-9 // rounding must not cut a name
)

// size works out how wide the label would be.
func (l *trainLabel) size() {
	figures, name := -cellGap, TextWidth(l.name, labelSize)
	for i := range l.columns() {
		figures += l.column(i) + cellGap
	}
	l.least, l.want = max(figures, min(name, leastName)), max(figures, name)
}

func (l *trainLabel) columns() int {
	if len(l.rows) == 0 {
		return 0
	}
	return len(l.rows[0])
}

// column returns how wide the figures of a column are.
func (l *trainLabel) column(i int) (w float64) {
	for _, r := range l.rows {
		w = max(w, TextWidth(r[i], labelSize))
	}
	return w
}

// height returns how much room the label takes down the paper.
func (l *trainLabel) height() float64 {
	n := len(l.rows)
	if l.name != "" {
		n++
	}
	return labelRow * float64(n)
}

// inRow gives each label its width and its place between left and right, in their
// order and a gap or more from each other, each as near to where it belongs as can be. It
// reports false, and places nothing, when there is no room for their figures.
func inRow(labels []*trainLabel, left, right, gap float64) bool {
	least, want := 0.0, 0.0
	for _, l := range labels {
		least += l.least + gap
		want += l.want + gap
	}
	room := right - left + gap
	if least > room {
		return false
	}
	share := 1.0
	if want > room {
		share = (room - least) / (want - least)
	}
	for _, l := range labels {
		l.width = l.least + share*(l.want-l.least)
	}
	standApart(labels, left, right, gap)
	return true
}

// standApart places labels whose widths are known. With q the middle of a label less
// the widths and gaps before it, the condition is that q does not fall along the
// row: isotonic regression, by pooling neighbours that would fall to their mean
// (pool-adjacent-violators, standard result). Clamping to the ends keeps the order.
func standApart(labels []*trainLabel, left, right, gap float64) {
	type pool struct {
		sum float64
		n   int
	}
	pools := make([]pool, 0, len(labels))
	before := 0.0
	for _, l := range labels {
		p := pool{l.at - before - l.width/2, 1}
		before += l.width + gap
		for len(pools) > 0 {
			last := pools[len(pools)-1]
			if last.sum/float64(last.n) <= p.sum/float64(p.n) {
				break
			}
			p = pool{last.sum + p.sum, last.n + p.n}
			pools = pools[:len(pools)-1]
		}
		pools = append(pools, p)
	}
	most := right - (before - gap)
	i, x := 0, 0.0
	for _, p := range pools {
		q := max(left, min(most, p.sum/float64(p.n)))
		for range p.n {
			labels[i].mid = q + x + labels[i].width/2
			x += labels[i].width + gap
			i++
		}
	}
}

// draw writes the label with its upper edge at top.
func (l *trainLabel) draw(p *Page, top float64) {
	x, anchor := l.mid, Middle
	if l.left {
		x, anchor = l.mid-l.width/2, Start
	}
	line := func(words string, x float64, a Anchor, bold bool) {
		if words != "" {
			p.Draw(Text{At: Point{x, top + 2.3}, Words: words, Size: labelSize, Anchor: a, Bold: bold})
		}
	}
	if l.name != "" {
		line(Shortened(l.name, labelSize, l.width+hair), x, anchor, true)
		top += labelRow
	}
	for _, r := range l.rows {
		line(r[0], x, anchor, false)
		end := x + l.column(0)
		for i, figure := range r[1:] {
			end += cellGap + l.column(i+1)
			line(figure, end, End, false)
		}
		top += labelRow
	}
}
