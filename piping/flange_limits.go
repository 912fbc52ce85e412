package piping

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// FlangeRule names a document that limits how flanges may stand to each other.
type FlangeRule string

// The rules that FlangeLimitsOf knows. Those with two unit systems print
// different figures in the two; pick the one the job is written in.
const (
	RP686Flange     FlangeRule = "api-rp-686"           // flanges at machines
	B313FlangeSI    FlangeRule = "asme-b31.3-si"        // process piping in general, text in millimetres
	B313FlangeUS    FlangeRule = "asme-b31.3-us"        // the same, text in inches
	PCC1FlangeSI    FlangeRule = "asme-pcc-1-si"        // bolted joints in general
	PCC1FlangeUS    FlangeRule = "asme-pcc-1-us"        // the same, text in inches
	HandbookFlange  FlangeRule = "bloch-geitner"        // process flanges, not machine nozzles
	OwnerMachinery  FlangeRule = "saes-l-350-machinery" // an owner's specification, pipe to machinery
	OwnerPipeToPipe FlangeRule = "saes-l-350-pipe"      // an owner's specification, pipe to pipe
)

// Reference is the diameter that a rule multiplies.
type Reference uint8

// The reference diameters. The short text of RP 686 says "outside diameter"
// where a raised face leaves open which: a technical inquiry asks just that, and
// the answer was not found. So the caller says.
const (
	ReferenceUnstated Reference = iota
	ByFlangeOD
	ByRaisedFaceOD
)

// String names the diameter.
func (r Reference) String() string {
	switch r {
	case ReferenceUnstated:
		return "unstated"
	case ByFlangeOD:
		return "flange OD"
	case ByRaisedFaceOD:
		return "raised face OD"
	}
	return "reference(" + strconv.Itoa(int(r)) + ")"
}

// FlangeSize is what a rule needs to know of a joint.
type FlangeSize struct {
	FlangeOD     unit.Length
	RaisedFaceOD unit.Length  // zero: a flat face
	BoltCircle   unit.Length  // diameter; zero: not given, then holes are not judged
	Reference    Reference    // needed by RP 686 alone
	Gasket       *unit.Length // needed by PCC-1 alone
}

// sealing returns the outside diameter of the sealing surface.
func (s FlangeSize) sealing() unit.Length {
	if s.RaisedFaceOD > 0 {
		return s.RaisedFaceOD
	}
	return s.FlangeOD
}

// ParallelLimit limits how far two faces may be from parallel: an opening over a
// diameter, or a slope when the unit of Limit is one of slopes.
type ParallelLimit struct {
	Limit align.Limit
	Over  unit.Length // diameter on which the opening counts; zero for a slope
	// Faces is 2 when the rule holds each face against the plane of the design:
	// two faces may then differ by twice the limit. A joint over that has a face
	// over the limit; a joint within it may have one as well.
	Faces int
}

// pair returns the limit on the tilt between the two faces.
func (p ParallelLimit) pair() align.Limit {
	l := p.Limit
	if p.Faces == 2 {
		l.Name += ", two faces"
		l.Value *= 2
	}
	return l
}

// Judge holds the tilt between two faces against the limit, doubled when the
// limit is one for each face.
func (p ParallelLimit) Judge(t Tilt) (align.Verdict, error) {
	if p.Over == 0 {
		return p.pair().Judge(t.Size())
	}
	return p.pair().Judge(float64(t.Opening(p.Over)))
}

// steepest returns the steepest tilt within the limit.
func (p ParallelLimit) steepest() float64 {
	if p.Over == 0 {
		return p.pair().SI()
	}
	return p.pair().SI() / float64(p.Over)
}

// GapLimit limits the mean gap less the gasket.
type GapLimit struct {
	Limit    align.Limit
	OnlyWide bool // a gap too narrow is not limited
}

// CentreLimit limits the offset of the two centres. Rules that speak of a
// straightedge at four points are held here against the straight distance: four
// points show no more than that, and as little as 71 percent of it.
type CentreLimit struct {
	Limit   align.Limit
	EachWay bool // holds up and right alone, not the straight distance
}

// FlangeLimits are the limits of one rule for one joint. What the rule does not
// limit is nil.
type FlangeLimits struct {
	Rule     FlangeRule
	Parallel *ParallelLimit
	Gap      *GapLimit
	Centre   *CentreLimit
	Hole     *align.Limit // offset of a bolt hole, all causes together
	Rotation *align.Limit // of the bolt holes along their circle
	Size     FlangeSize
}

const (
	srcRP686Flange = "API RP 686, ch. 6, 4.6, as transcribed by a user; edition not stated"
	srcB313        = "ASME B31.3, 335.1.1(c), as quoted"
	srcPCC1        = "ASME PCC-1 (2010/2013), appendix E, E-2"
	srcBlochFlange = "Bloch and Geitner, Machinery Component Maintenance and Repair, p. 150"
	srcSAES        = "SAES-L-350, 9.4 and 9.5, by checklist SAIC-L-2014 rev. 5; an owner's specification"
)

// FlangeLimitsOf returns what a rule allows for a joint.
//
//	api-rp-686     opening 0.001 of the reference diameter, at least 0.25 and at most 0.75 mm,
//	               over the raised face, or over the flange when it is flat;
//	               bolt holes 1.5 mm; gap within 1.5 mm of the gasket
//	asme-b31.3     each face 1 mm in 200 mm (si) or 1/16 in per foot (us, 4.2 percent
//	               more) to the design plane; bolt holes 3 mm or 1/8 in
//	asme-pcc-1     centres 1.5 mm or 1/16 in; opening 0.8 mm or 1/32 in over the
//	               sealing face; bolt holes 3 mm or 1/8 in; gap no more than twice the gasket,
//	               where force does not close it
//	bloch-geitner  opening 1/32 in over the raised face; centres 1/8 in
//	saes-l-350     machinery: holes up and across 2.4 mm each, rotation 2.4 mm;
//	               pipe: opening 1.6 mm across any diameter, rotation 2.4 mm
//
// The sources and how each is known are in the limits. For flanges at a machine
// RP 686 is about five times stricter than B31.3; codes for pipes in general do
// not keep a machine aligned.
//
// Errors: align.ErrUnknownKind for another rule or reference; align.ErrMissing
// for a reference, a gasket or a diameter that the rule needs;
// align.ErrZeroDiameter, align.ErrMismatch, align.ErrNegative,
// align.ErrNotFinite, align.ErrOutOfRange.
func FlangeLimitsOf(rule FlangeRule, size FlangeSize) (FlangeLimits, error) {
	if err := size.check(); err != nil {
		return FlangeLimits{}, err
	}
	l := FlangeLimits{Rule: rule, Size: size}
	switch rule {
	case RP686Flange:
		return l.rp686(size)
	case B313FlangeSI:
		slope := align.Limit{Name: "tilt of each face, 1 mm in 200 mm", Place: "any diameter, to the design plane", Value: 5, Unit: align.UnitMillimetrePerMetre, Source: srcB313, Known: align.ReadSecondhand}
		l.Parallel, l.Hole = &ParallelLimit{Limit: slope, Faces: 2}, holeLimit(3, align.UnitMillimetre, srcB313, align.ReadSecondhand)
	case B313FlangeUS:
		slope := align.Limit{Name: "tilt of each face, 1/16 in per foot", Place: "any diameter, to the design plane", Value: 1.0 / 16, Unit: align.UnitInchPerFoot, Source: srcB313, Known: align.ReadSecondhand}
		l.Parallel, l.Hole = &ParallelLimit{Limit: slope, Faces: 2}, holeLimit(1.0/8, align.UnitInch, srcB313, align.ReadSecondhand)
	case PCC1FlangeSI:
		return l.pcc1(size, 0.8, 1.5, 3, align.UnitMillimetre)
	case PCC1FlangeUS:
		return l.pcc1(size, 1.0/32, 1.0/16, 1.0/8, align.UnitInch)
	case HandbookFlange:
		l.Parallel = &ParallelLimit{openingLimit(1.0/32, align.UnitInch, "extremity of the raised face", srcBlochFlange, align.Read), size.sealing(), 1}
		l.Centre = &CentreLimit{Limit: centreLimit(1.0/8, align.UnitInch, srcBlochFlange, align.Read)}
	case OwnerMachinery:
		l.Centre = &CentreLimit{centreLimit(2.4, align.UnitMillimetre, srcSAES, align.Read), true}
		l.Rotation = rotationLimit(2.4)
	case OwnerPipeToPipe:
		l.Parallel = &ParallelLimit{openingLimit(1.6, align.UnitMillimetre, "any diameter", srcSAES, align.Read), size.FlangeOD, 1}
		l.Rotation = rotationLimit(2.4)
	default:
		return FlangeLimits{}, flangeFault("rule", strconv.Quote(string(rule)), align.ErrUnknownKind)
	}
	return l, nil
}

func (s FlangeSize) check() error {
	if err := checkFlangeDiameter("flangeOD", s.FlangeOD); err != nil {
		return err
	}
	if err := checkFlangeSizes(s.FlangeOD, s.RaisedFaceOD); err != nil {
		return err
	}
	if err := checkFlangeFromZero("boltCircle", s.BoltCircle); err != nil {
		return err
	}
	if s.BoltCircle >= s.FlangeOD {
		return flangeSays("boltCircle", align.UnitMillimetre.Format(float64(s.BoltCircle), 1), align.ErrMismatch, "is not inside the flange")
	}
	if s.Gasket != nil {
		return checkFlangeFromZero("gasket", *s.Gasket)
	}
	return nil
}

// The parallelism of RP 686: a slope of 0.001 (0.01 mm for each cm of outside
// diameter), 0.25 mm below 250 mm, and never over 0.75 mm. The rule has no step:
// 0.001 of 250 mm is 0.25 mm.
const (
	rp686Slope = 0.001
	rp686Least = 0.25 // mm
	rp686Most  = 0.75 // mm
)

func (l FlangeLimits) rp686(s FlangeSize) (FlangeLimits, error) {
	d := s.FlangeOD
	switch s.Reference {
	case ByFlangeOD:
	case ByRaisedFaceOD:
		if d = s.RaisedFaceOD; d == 0 {
			return FlangeLimits{}, flangeFault("raisedFaceOD", "", align.ErrMissing)
		}
	case ReferenceUnstated:
		return FlangeLimits{}, flangeSays("reference", "", align.ErrMissing, "is missing: say which outside diameter the rule multiplies")
	default:
		return FlangeLimits{}, flangeFault("reference", s.Reference.String(), align.ErrUnknownKind)
	}
	mm := min(max(rp686Slope*align.UnitMillimetre.FromSI(float64(d)), rp686Least), rp686Most)
	place := "raised face"
	if s.RaisedFaceOD == 0 {
		place = "outside diameter of the flat face"
	}
	l.Parallel = &ParallelLimit{openingLimit(mm, align.UnitMillimetre, place, srcRP686Flange, align.ReadSecondhand), s.sealing(), 1}
	l.Hole = holeLimit(1.5, align.UnitMillimetre, srcRP686Flange, align.ReadSecondhand)
	l.Gap = &GapLimit{Limit: align.Limit{Name: "gap less gasket", Place: "flange faces", Value: 1.5, Unit: align.UnitMillimetre, Source: srcRP686Flange, Known: align.ReadSecondhand}}
	return l, nil
}

func (l FlangeLimits) pcc1(s FlangeSize, opening, centre, hole float64, u align.Unit) (FlangeLimits, error) {
	if s.Gasket == nil {
		return FlangeLimits{}, flangeFault("gasket", "", align.ErrMissing)
	}
	l.Parallel = &ParallelLimit{openingLimit(opening, u, "outside diameter of the sealing surface", srcPCC1, align.Read), s.sealing(), 1}
	l.Centre = &CentreLimit{Limit: centreLimit(centre, u, srcPCC1, align.Read)}
	l.Hole = holeLimit(hole, u, srcPCC1, align.Read)
	l.Gap = &GapLimit{align.Limit{
		Name: "gap less gasket, at rest and not closed by reasonable force (gap of twice the gasket)", Place: "flange faces",
		Value: u.FromSI(float64(*s.Gasket)), Unit: u, Source: srcPCC1, Known: align.Read,
	}, true}
	return l, nil
}

func openingLimit(v float64, u align.Unit, place, source string, known align.Known) align.Limit {
	return align.Limit{Name: "opening between faces", Place: place, Value: v, Unit: u, Source: source, Known: known}
}

func centreLimit(v float64, u align.Unit, source string, known align.Known) align.Limit {
	return align.Limit{Name: "offset of flange centres", Place: "rims", Value: v, Unit: u, Source: source, Known: known}
}

func holeLimit(v float64, u align.Unit, source string, known align.Known) *align.Limit {
	return &align.Limit{Name: "offset of bolt holes", Place: "bolt circle", Value: v, Unit: u, Source: source, Known: known}
}

func rotationLimit(mm float64) *align.Limit {
	return &align.Limit{Name: "rotation of bolt holes", Place: "bolt circle", Value: mm, Unit: align.UnitMillimetre, Source: srcSAES, Known: align.Read}
}
