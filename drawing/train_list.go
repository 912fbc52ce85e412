package drawing

import "strconv"

// trainList is a part of the list of what found no room beside the views.
type trainList struct {
	heading string
	labels  []*trainLabel
}

// listCouplings puts numbers in the rows of both views and the figures in the list.
func (s *trainSheet) listCouplings() {
	list := trainList{heading: "At the couplings: far shaft less near one at the near and at the far flex plane"}
	for i := range s.t.Couplings {
		number := strconv.Itoa(i + 1)
		l := &trainLabel{name: number + " " + s.t.Couplings[i].called(i), left: true}
		for _, v := range s.views {
			words := "up, down"
			if v.plane == topPlane {
				words = "sideways"
			}
			l.rows = append(l.rows, append([]string{words}, make([]string, v.blocks[i].columns()-1)...))
			l.rows = append(l.rows, v.blocks[i].rows...)
			v.blocks[i] = v.blocks[i].numbered(number)
		}
		list.labels = append(list.labels, l)
	}
	s.lists = append(s.lists, list)
	s.renumber(func(v *trainView) []*trainLabel { return v.blocks })
}

// listFeet does the same for the moves at the feet.
func (s *trainSheet) listFeet() {
	listed := make([]*trainLabel, len(s.feet))
	for i := range s.feet {
		f := &s.feet[i]
		listed[i] = &trainLabel{name: strconv.Itoa(f.number) + " " + s.t.Machines[f.machine].called(f.machine), left: true}
		if name := f.called(); name != "" {
			listed[i].name += ", " + name
		}
	}
	for _, v := range s.views {
		for k, l := range v.moves {
			i := v.marked[k]
			words := ""
			for _, r := range l.rows {
				words += r[0] + " "
			}
			if words != "" {
				listed[i].rows = append(listed[i].rows, []string{words[:len(words)-1]})
			}
			v.moves[k] = l.numbered(strconv.Itoa(s.feet[i].number))
		}
	}
	list := trainList{heading: "At the feet"}
	for i, l := range listed {
		if len(l.rows) > 0 || s.feet[i].called() != "" {
			list.labels = append(list.labels, l)
		}
	}
	s.lists = append(s.lists, list)
	s.renumber(func(v *trainView) []*trainLabel { return v.moves })
}

// renumber gives the numbers their places: 64 of them fit.
func (s *trainSheet) renumber(of func(v *trainView) []*trainLabel) {
	for _, v := range s.views {
		inRow(of(v), trainLeft, trainRight, numberGap)
	}
}

// listName is the widest that a name of the list is printed.
const listName = 52.0

// columns gives the labels of a part of the list one width, and returns it with how
// many of them stand beside each other.
func (l *trainList) columns() (n int, wide float64) {
	for _, label := range l.labels {
		label.size()
		wide = max(wide, label.least, min(label.want, listName))
	}
	return max(1, int((trainRight-trainLeft+labelGap)/(wide+labelGap))), wide
}

// shelves calls f for the heading's and every label's place, row by row, and returns
// how high the part is.
func (l *trainList) shelves(heading func(top float64), f func(label *trainLabel, left, top float64)) float64 {
	n, wide := l.columns()
	heading(0)
	y, high := labelRow+0.6, 0.0
	for i, label := range l.labels {
		if i > 0 && i%n == 0 {
			y, high = y+high+1, 0
		}
		label.width = wide
		f(label, trainLeft+float64(i%n)*(wide+labelGap), y)
		high = max(high, label.height())
	}
	return y + high + trainSection
}

func (s *trainSheet) listHeight() (h float64) {
	for i := range s.lists {
		h += s.lists[i].shelves(func(float64) {}, func(*trainLabel, float64, float64) {})
	}
	return h
}

// list writes the labels that found no room beside the views.
func (s *trainSheet) list() {
	for i := range s.lists {
		l, top := &s.lists[i], s.bottom
		s.bottom += l.shelves(func(y float64) {
			s.Draw(Text{At: Point{trainLeft, top + y + 2.5}, Words: l.heading, Size: 2.8, Bold: true})
		}, func(label *trainLabel, left, y float64) {
			label.mid = left + label.width/2
			label.draw(s.Page, top+y)
		})
	}
}
