package drawing

import (
	"fmt"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// FootWedge is the gap under one foot in two views: the foot from above with the
// gaps that were read, and a section along the line of steepest taper, from the open
// corner to the tight one, with the gaps exaggerated and the leaves of a stepped shim
// under the foot.
type FootWedge struct {
	Title string // what the drawing shows, such as the name of the foot
	// Face is the foot with its gaps; the plane through them is that of
	// FootFace.Wedge. At most 24 gaps, none beyond 100 mm; sides from 1 mm to 10 m.
	Face softfoot.FootFace
	Shim *softfoot.SteppedShim // from ShimStock.SteppedShim for this foot; nil for none
	Unit align.Unit            // UnitMillimetre or UnitMil; nothing is millimetres
}

// Measures of the two views in millimetres.
const (
	wedgeWide   = 120.0 // most that the foot from above and the section are wide
	wedgeHigh   = 80.0  // most that the foot from above is high
	wedgeDeep   = 26.0  // most that the gap in the section is high
	wedgeGaps   = 24    // gaps
	wedgeLeaves = 8     // leaves of a shim

	wedgeLargest unit.Length = 0.1 // gap, metres
)

// Draw returns both views on an A4 sheet. The foot from above and the length of the
// section have one scale, the gaps of the section another; both are the largest of 1,
// 2 or 5 times a power of ten that fit.
//
// Errors: those of FootFace.Wedge; out-of-range for sizes and counts beyond those
// above; for the shim not-finite, out-of-range for a leaf of no thickness or that
// ends off the foot; unknown-unit, wrong-unit.
func (f FootWedge) Draw() (*Page, error) {
	d, err := f.plan()
	if err != nil {
		return nil, err
	}
	name := named(f.Title, "Foot")
	s := newSheet(a4Long, a4Short, 1, titleBlock{
		title: name, kind: "gap under a foot, from above and in section",
		scales: [2]string{"foot " + d.scale.String() + ", gaps in section " + d.deep.String(), "in section " + d.deep.tenth(d.unit)},
		units:  [2]string{"gaps: " + string(d.unit), "lengths: " + string(d.sizes.unit)},
	})
	s.Description = d.description(name)
	d.above(s)
	d.section(s)
	d.list(s)
	s.scaleBar(Point{s.body.Left + 5, s.body.Bottom - 4.5}, d.deep, d.unit, 20)
	return s.Page, nil
}

// wedgePlan is what the two views need, worked out.
type wedgePlan struct {
	printer
	sizes  printer
	face   softfoot.FootFace
	wedge  softfoot.Wedge
	shim   *softfoot.SteppedShim
	scale  ratio // of the foot and along the section
	deep   ratio // of the gaps in the section
	middle Point // of the foot from above
	base   Point // lower left corner of the section, at the open corner
	reach  unit.Length
	way    [2]float64 // unit vector from the tight corner to the open one: along, across
}

func (f FootWedge) plan() (*wedgePlan, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	w, err := f.Face.Wedge()
	if err != nil {
		return nil, of("face", err)
	}
	d := &wedgePlan{printer: small(f.Unit), sizes: large(f.Unit), face: f.Face, wedge: w, shim: f.Shim, middle: Point{92, 64}}
	d.reach, d.way = w.Reach(), [2]float64{1, 0}
	if slope := w.Slope(); slope > 0 && w.Range() > 1e-9 {
		d.way = [2]float64{w.SlopeAlong / slope, w.SlopeAcross / slope}
	} else {
		d.reach = f.Face.Length
	}
	for _, v := range [...]struct {
		name string
		v    unit.Length
	}{{"open", w.Open}, {"tight", w.Tight}} {
		if err := checkBetween("face.wedge."+v.name, v.v, wedgeLargest); err != nil {
			return nil, err
		}
	}
	d.scale = min(fitRatio(f.Face.Length, wedgeWide), fitRatio(f.Face.Width, wedgeHigh), fitRatio(d.reach, wedgeWide))
	deepest := max(w.Open, -w.Tight)
	if d.shim != nil {
		deepest = max(deepest, d.total())
	}
	d.deep = fitRatio(deepest, wedgeDeep)
	d.base = Point{d.middle.X - d.scale.mm(d.reach)/2, 166}
	return d, nil
}

func (f FootWedge) check() error {
	if err := checkUnit(f.Unit); err != nil {
		return err
	}
	for _, v := range [...]struct {
		name string
		v    unit.Length
	}{{"length", f.Face.Length}, {"width", f.Face.Width}} {
		if err := checkBetween("face."+v.name, v.v, 10); err != nil {
			return err
		}
		if v.v < align.Millimetre {
			return sheetFault("face."+v.name, align.UnitMillimetre.Format(float64(v.v), 3), align.ErrOutOfRange)
		}
	}
	if err := checkCount("face.gaps", len(f.Face.Gaps), wedgeGaps); err != nil {
		return err
	}
	for i, g := range f.Face.Gaps {
		if err := checkFromZero(item("face.gaps", i)+".gap", g.Gap, wedgeLargest); err != nil {
			return err
		}
	}
	return f.checkShim()
}

func (f FootWedge) checkShim() error {
	if f.Shim == nil {
		return nil
	}
	if err := checkCount("shim.leaves", len(f.Shim.Leaves), wedgeLeaves); err != nil {
		return err
	}
	for i, l := range f.Shim.Leaves {
		field := item("shim.leaves", i)
		if err := checkFromZero(field+".thickness", l.Thickness, wedgeLargest); err != nil {
			return err
		}
		switch {
		case l.Thickness == 0:
			return sheetFault(field+".thickness", "0.000 mm", align.ErrOutOfRange)
		case !align.IsFinite(l.End):
			return sheetFault(field+".end", fmt.Sprint(l.End), align.ErrNotFinite)
		case l.End < 0 || l.End > 1:
			return sheetFault(field+".end", fmt.Sprint(l.End), align.ErrOutOfRange)
		}
	}
	return nil
}

// total is how thick the shim is at the open corner.
func (d *wedgePlan) total() (sum unit.Length) {
	for _, l := range d.shim.Leaves {
		sum += l.Thickness
	}
	return sum
}

// flat reports whether there is no taper.
func (d *wedgePlan) flat() bool { return !(d.wedge.Range() > 1e-9) }

// list writes the plane, the leaves and what they leave open.
func (d *wedgePlan) list(s *sheet) {
	const left = 186.0
	y := s.body.Top + 4
	width := s.body.Right - left - 3
	y = s.notes(Point{left, y}, d.plane(), typeSmall, width, s.body.Bottom-1)
	if d.shim == nil {
		s.notes(Point{left, y + 3}, []string{"No shim drawn."}, typeSmall, width, s.body.Bottom-1)
		return
	}
	rows := make([][]string, len(d.shim.Leaves))
	for i, l := range d.shim.Leaves {
		ends := d.sizes.bare(unit.Length(l.End) * d.reach)
		if l.End == 1 {
			ends = "full"
		}
		rows[i] = []string{strconv.Itoa(i + 1), d.bare(l.Thickness), ends}
	}
	cols := []column{{"leaf, from below", 34, Start}, {"thick", 24, End}, {"ends at", 30, End}}
	y = s.table(Point{left, y + 3}, cols, rows, typeSmall)
	s.notes(Point{left, y + 3}, d.shimmed(), typeSmall, width, s.body.Bottom-1)
}

// plane says what the fitted plane is.
func (d *wedgePlan) plane() []string {
	w := d.wedge
	out := []string{
		"Foot " + d.sizes.bare(d.face.Length) + " x " + d.sizes.with(d.face.Width) + " (along x across).",
		"Plane through the gaps: mean " + d.with(w.Mean) + ", open corner " + d.with(w.Open) + ", tight corner " + d.with(w.Tight) + ".",
	}
	if d.flat() {
		out = append(out, "No taper: the gap is the same all over.")
	} else {
		out = append(out, fmt.Sprintf("Steepest taper %s: tight at the %s. The arrow points to the open corner.",
			taper(w.Slope(), d.unit), w.TightSide()))
	}
	return append(out, "The gap farthest from the plane is off by "+d.signed(w.Worst)+" "+string(d.unit)+".")
}

func taper(slope float64, u align.Unit) string {
	if u == align.UnitMil {
		return align.UnitMilPerInch.Format(slope, 2)
	}
	return align.UnitMillimetrePerMetre.Format(slope, 2)
}

// shimmed says what the leaves come to, measured against the plane.
func (d *wedgePlan) shimmed() []string {
	return []string{
		"Ends are counted from the open corner along A-A; full: to the tight corner. Dashed from above: where leaves end.",
		"Shim " + d.with(d.total()) + " at the open corner. Largest gap left " + d.with(d.left()) + ".",
	}
}

// left is the largest gap between plane and steps: it stands at the open corner or
// just past the end of a leaf, as the gap narrows from there to the next end.
func (d *wedgePlan) left() unit.Length {
	under := func(share float64) (sum unit.Length) {
		for _, l := range d.shim.Leaves {
			if l.End == 1 || l.End > share {
				sum += l.Thickness
			}
		}
		return sum
	}
	most := d.wedge.Open - under(0)
	for _, l := range d.shim.Leaves {
		if l.End < 1 {
			gap := d.wedge.Open - unit.Length(l.End)*d.wedge.Range()
			most = max(most, gap-under(l.End))
		}
	}
	return most
}

func (d *wedgePlan) description(name string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Gap under %s in %s, from above and in section.", name, d.unit)
	for _, g := range d.face.Gaps {
		fmt.Fprintf(&b, " %s at %s along and %s across;", d.bare(g.Gap), d.sizes.signed(g.Along), d.sizes.signed(g.Across))
	}
	fmt.Fprintf(&b, " places in %s from the middle of the foot. %s", d.sizes.unit, strings.Join(d.plane(), " "))
	if d.shim != nil {
		for i, l := range d.shim.Leaves {
			fmt.Fprintf(&b, " Leaf %d: %s, ends %s from the open corner.", i+1, d.with(l.Thickness), d.sizes.with(unit.Length(l.End)*d.reach))
		}
		b.WriteString(" " + strings.Join(d.shimmed(), " "))
	}
	return b.String()
}
