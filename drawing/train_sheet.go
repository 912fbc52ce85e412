package drawing

import "gonum.org/v1/gonum/unit"

// Measures of the drawing of a train in millimetres.
const (
	trainLeft    = 11.0  // of texts
	trainRight   = 286.0 //
	fieldLeft    = 29.0  // of what is drawn to scale; the strip before it has the scale bar
	fieldRight   = 283.0
	trainStub    = 3.0  // how far the outer centrelines reach beyond their casings
	fieldMost    = 40.0 // height of the part of a view that is drawn to scale
	fieldLeast   = 20.0
	fieldMargin  = 1.0 // between what is drawn and the edges of the field
	mostAcross   = ratio(1000)
	headingRow   = 5.0
	fanRoom      = 3.4 // for leaders that spread
	arrowRoom    = 4.2 // for the arrow at a foot
	footHigh     = 2.0
	rulerRoom    = 6.0
	cautionRoom  = 5.0
	legendRow    = 3.8
	titleHeight  = 23.0
	titleLeft    = 188.0
	trainSection = 2.0 // between two parts of the sheet
)

// trainSheet is the drawing of a train under way.
type trainSheet struct {
	*Page
	t       *Train
	figures trainFigures
	along   ratio
	across  ratio
	from    unit.Length // station at origin
	origin  float64
	strokes []Stroke // by state
	feet    []footMark
	views   [2]*trainView
	lists   []trainList // what found no room beside the views
	bottom  float64     // of the upper parts
}

// Draw returns the drawing: a side view, which is the vertical plane, and below it a
// top view, which is the horizontal plane seen from above, on an A4 sheet laid
// across; the sheet is made longer where that is not enough. Both views have one
// scale along the train and one across it, each 1, 2 or 5 times a power of ten, the
// largest that fit.
//
// Errors: those of Check. Draw does not change the train and may be called from many
// goroutines.
func (t Train) Draw() (*Page, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	s := newTrainSheet(&t)
	s.label()
	s.arrange()
	s.Title = named(t.Title, "Shaft train") + ", side view and top view"
	s.Description = s.describe()
	s.rectangle(s.Paper().Grown(-sheetEdge), Wide, NoFill)
	for _, v := range s.views {
		v.draw()
	}
	s.list()
	s.insets()
	s.legend()
	s.titleBlock()
	return s.Page, nil
}

func newTrainSheet(t *Train) *trainSheet {
	s := &trainSheet{Page: &Page{Width: a4Long, Height: a4Short, Shapes: make([]Shape, 0, 400)}, t: t, figures: trainFiguresIn(t.Unit)}
	s.from, _ = t.reach(0)
	_, to := t.reach(len(t.Machines) - 1)
	const room = fieldRight - fieldLeft
	s.along = fitRatio(to-s.from, room-2*trainStub)
	s.origin = fieldLeft + (room-s.along.mm(to-s.from))/2
	running := DoubleDotted
	for i := range t.States {
		switch t.States[i].Kind {
		case AsFound:
			s.strokes = append(s.strokes, Centre)
		case AfterMove:
			s.strokes = append(s.strokes, CentreWide)
		case Running:
			s.strokes = append(s.strokes, running)
			running = TripleDotted
		}
	}
	s.markFeet()
	s.views = [2]*trainView{{trainSheet: s, plane: sidePlane}, {trainSheet: s, plane: topPlane}}
	return s
}

// x returns the place of a station on the paper.
func (s *trainSheet) x(station unit.Length) float64 { return s.origin + s.along.mm(station-s.from) }

// label makes the labels of both views and gives them their places beside each
// other. Where a row has no room, numbers stand in it in both views and the labels go
// to the list.
func (s *trainSheet) label() {
	for _, v := range s.views {
		v.makeLabels()
	}
	if !s.bothInRow(func(v *trainView) []*trainLabel { return v.blocks }) {
		s.listCouplings()
	}
	if !s.bothInRow(func(v *trainView) []*trainLabel { return v.moves }) {
		s.listFeet()
	}
	for _, v := range s.views {
		inRow(v.names, trainLeft, trainRight, labelGap) // eight names and seven leaders always fit
	}
}

func (s *trainSheet) bothInRow(of func(v *trainView) []*trainLabel) bool {
	return inRow(of(s.views[0]), trainLeft, trainRight, labelGap) && inRow(of(s.views[1]), trainLeft, trainRight, labelGap)
}

// arrange stands the parts of the sheet below each other, gives the views the height
// that is left on the sheet, makes the sheet longer where that is too little, and
// finds the scale across.
func (s *trainSheet) arrange() {
	fixed := 2*sheetEdge + 2*trainSection + s.listHeight() + s.insetHeight() + s.footerHeight()
	for _, v := range s.views {
		fixed += v.fixedHeight() + trainSection
	}
	field := max(fieldLeast, min(fieldMost, (a4Short-fixed)/2))
	s.Height = max(a4Short, fixed+2*field)
	spare := max(0, s.Height-fixed-2*field) / 2
	y := sheetEdge + trainSection
	for _, v := range s.views {
		v.stand(y, field)
		y += v.fixedHeight() + field + trainSection + spare
	}
	s.bottom = y
	s.across = mostAcross
	for _, v := range s.views {
		v.lowest, v.highest = v.extremes()
		s.across = min(s.across, fitRatio(v.highest-v.lowest, field-2*fieldMargin))
	}
}

// rectangle draws the edges of a box.
func (s *trainSheet) rectangle(b Box, stroke Stroke, fill Fill) {
	s.Draw(Polyline{Points: []Point{{b.Left, b.Top}, {b.Right, b.Top}, {b.Right, b.Bottom}, {b.Left, b.Bottom}}, Closed: true, Stroke: stroke, Fill: fill})
}

func (s *trainSheet) segment(a, b Point, stroke Stroke) {
	s.Draw(Line{From: a, To: b, Stroke: stroke})
}
