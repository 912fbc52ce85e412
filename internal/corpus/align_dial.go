package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// offsetInput is an offset in both planes.
type offsetInput struct {
	Vertical   Length `json:"vertical"`
	Horizontal Length `json:"horizontal"`
}

func (o offsetInput) offset() align.Offset {
	return align.Offset{Vertical: unit.Length(o.Vertical), Horizontal: unit.Length(o.Horizontal)}
}

// sagInput is a sag by the kind of test that found it; exactly one is given.
type sagInput struct {
	RollOver         *Length `json:"rollOver"`
	SingleDeflection *Length `json:"singleDeflection"`
	None             *bool   `json:"none"` // true: known to be zero
}

func (s *sagInput) sag(path string) (align.Sag, error) {
	if s == nil {
		return align.Sag{}, nil
	}
	none := s.None != nil && *s.None
	given := 0
	for _, is := range []bool{s.RollOver != nil, s.SingleDeflection != nil, none} {
		if is {
			given++
		}
	}
	switch {
	case given == 0:
		return align.Sag{}, fault(path, "", align.ErrMissing)
	case given > 1:
		return align.Sag{}, fault(path, "more than one kind of test", align.ErrMismatch)
	case s.RollOver != nil:
		return align.RollOver(s.RollOver.Of()), nil
	case s.SingleDeflection != nil:
		return align.SingleDeflection(s.SingleDeflection.Of()), nil
	}
	return align.NoSag(), nil
}

// dialInput is a dial. The named methods set surface, bracket and reach, so
// there these words are not needed.
type dialInput struct {
	Name           string       `json:"name,omitempty"`
	Surface        *Kind        `json:"surface"` // rim, face-toward, face-away
	Bracket        *Kind        `json:"bracket"` // near, far
	Reach          *Kind        `json:"reach"`   // shaft-to-shaft, near-to-spool, far-to-spool
	OnSpool        bool         `json:"onSpool,omitempty"`
	Station        *Length      `json:"station"`
	Diameter       *Length      `json:"diameter"`
	Sag            *sagInput    `json:"sag"`     // absent: not measured
	Turning        *Kind        `json:"turning"` // both-shafts, bracket-shaft, touched-shaft
	Runout         *offsetInput `json:"runout"`
	Sweep          Sweep        `json:"sweep,omitempty"`
	ViewedAgainstX bool         `json:"viewedAgainstX,omitempty"` // recorded by a person who looks along -x
	Sigma          *Length      `json:"sigma"`
}

func shaftOf(path string, word *Kind) (align.Shaft, error) {
	return kindFrom(path, word, align.Near, map[Kind]align.Shaft{"near": align.Near, "far": align.Far})
}

// dial returns the dial; def is the surface when none is named. Readings are
// required where sweep is true.
func (d *dialInput) dial(path string, def align.Surface, sweep bool) (out align.Dial, err error) {
	out = align.Dial{
		Name: d.Name, OnSpool: d.OnSpool, Station: d.Station.Of(), Diameter: d.Diameter.Of(),
		Sigma: d.Sigma.Of(), Sweep: align.Sweep(d.Sweep),
	}
	if err := d.kinds(path, def, &out); err != nil {
		return out, err
	}
	if out.Sag, err = d.Sag.sag(path + ".sag"); err != nil {
		return out, err
	}
	if d.Runout != nil {
		o := d.Runout.offset()
		out.Runout = &o
	}
	if d.ViewedAgainstX {
		out.Sweep = out.Sweep.Mirrored()
	}
	switch {
	case out.Surface == align.Rim && d.Station == nil:
		return out, fault(path+".station", "", align.ErrMissing)
	case out.Surface != align.Rim && d.Diameter == nil:
		return out, fault(path+".diameter", "", align.ErrMissing)
	case sweep && d.Sweep == nil:
		return out, fault(path+".sweep", "", align.ErrMissing)
	}
	return out, nil
}

func (d *dialInput) kinds(path string, def align.Surface, out *align.Dial) (err error) {
	out.Surface, err = kindFrom(path+".surface", d.Surface, def, map[Kind]align.Surface{
		"rim": align.Rim, "face-toward": align.FaceToward, "face-away": align.FaceAway,
	})
	if err != nil {
		return err
	}
	if out.Bracket, err = shaftOf(path+".bracket", d.Bracket); err != nil {
		return err
	}
	out.Reach, err = kindFrom(path+".reach", d.Reach, align.ShaftToShaft, map[Kind]align.Reach{
		"shaft-to-shaft": align.ShaftToShaft, "near-to-spool": align.NearToSpool, "far-to-spool": align.FarToSpool,
	})
	if err != nil {
		return err
	}
	out.Turning, err = kindFrom(path+".turning", d.Turning, align.BothShafts, map[Kind]align.Turning{
		"both-shafts": align.BothShafts, "bracket-shaft": align.BracketShaft, "touched-shaft": align.TouchedShaft,
	})
	return err
}

// spoolInput is a spool by the stations of its flex planes.
type spoolInput struct {
	NearFlex Length `json:"nearFlex"`
	FarFlex  Length `json:"farFlex"`
}

func (s *spoolInput) spool() align.Spool {
	if s == nil {
		return align.Spool{}
	}
	return align.Spool{NearFlex: unit.Length(s.NearFlex), FarFlex: unit.Length(s.FarFlex)}
}
