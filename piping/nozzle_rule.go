package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Connection is one pipe connection of a turbine or a compressor with its load.
type Connection struct {
	Name string
	// Nominal is the nominal size: NPS in inches for a rule in US units, DN in
	// millimetres for one in SI.
	Nominal unit.Length
	Load    Load // on the machine, about the centre of the flange face
	// Centre leads to the centre of the flange face from the point about which
	// the rule combines the loads.
	Centre align.Displacement
}

// ConnectionRule limits force and moment together by the size of a connection,
// and those of all connections together. Make one with NEMASM23 or API617.
//
// The axes are those of the train: X along the shaft, Y up, Z by the right hand.
type ConnectionRule struct {
	name           string
	units          UnitSystem
	single, all    resultantRow
	small, joint   float64    // sizes up to which the nominal size counts in full
	smallK, jointK float64    // and what is averaged with a third of larger ones
	parts          [6]float64 // Fx, Fy, Fz, Mx, My, Mz a unit of combined diameter
	partsKnown     align.Known
	known          align.Known
	source         string
}

// resultantRow is force F + moment M <= limit D in the numbers of its units.
type resultantRow struct {
	formula              string
	force, moment, limit float64
}

// Name returns the standard and the unit system.
func (r ConnectionRule) Name() string { return r.name + ", " + r.units.String() }

// Scaled returns the rule with every limit multiplied by a factor above zero,
// for makers and specifications that ask for so many times a standard. The
// source says who asks, and goes into the verdicts.
//
// Errors: missing source; missing, negative, not-finite or out-of-range factor
// (above 100); a rule that is not made by this package is missing.
func (r ConnectionRule) Scaled(factor float64, source string) (ConnectionRule, error) {
	if err := r.check(); err != nil {
		return ConnectionRule{}, err
	}
	if err := loadPositive("factor", factor, 1e-3, 100, ""); err != nil {
		return ConnectionRule{}, err
	}
	if source == "" {
		return ConnectionRule{}, loadFault("source", "", align.ErrMissing)
	}
	r.single.limit *= factor
	r.all.limit *= factor
	for i := range r.parts {
		r.parts[i] *= factor
	}
	r.source = source + ": " + strconv.FormatFloat(factor, 'g', 6, 64) + " times " + r.source
	return r, nil
}

func (r *ConnectionRule) check() error {
	if r.name == "" {
		return loadFault("rule", "", align.ErrMissing)
	}
	return nil
}

func (r *ConnectionRule) length() align.Unit {
	if r.units == SI {
		return align.UnitMillimetre
	}
	return align.UnitInch
}

// sum is the unit of the sum of force and moment: that of the term without a
// factor.
func (r *ConnectionRule) sum() align.Unit {
	if r.units == SI {
		return r.units.force()
	}
	return r.units.moment()
}

// largest nominal size that is taken for one, 10 m (own choice).
const mostNominal = 10.0

func checkNominal(v unit.Length) error {
	return loadPositive("nominal", float64(v), 1e-3, mostNominal, "m")
}

// reduced is the diameter that counts: in full when small, else a third of the
// constant and the diameter together. Half a millionth of a unit over the bound
// is the rounding of a conversion; the rule is continuous there to that.
func reduced(d, small, k float64) float64 {
	if d <= small+5e-7 {
		return d
	}
	return (k + d) / 3
}

// EquivalentDiameter returns the diameter that the rule for one connection
// counts: the nominal size up to 8 in (200 mm), above it (16 in + nominal)/3 or
// (400 mm + nominal)/3.
//
// Errors: missing, negative, not-finite or out-of-range size (under 1 mm or over
// 10 m); a rule that is not made by this package is missing.
func (r ConnectionRule) EquivalentDiameter(nominal unit.Length) (unit.Length, error) {
	if err := r.check(); err != nil {
		return 0, err
	}
	if err := checkNominal(nominal); err != nil {
		return 0, err
	}
	return unit.Length(r.length().SI(r.equivalent(nominal))), nil
}

func (r *ConnectionRule) equivalent(nominal unit.Length) float64 {
	return reduced(r.length().FromSI(float64(nominal)), r.small, r.smallK)
}

// CombinedDiameter returns the diameter that the rule for all connections
// counts: that of a circle of the area of all openings up to 9 in (230 mm),
// above it (18 in + that)/3 or (460 mm + that)/3. Openings are taken by their
// nominal sizes.
//
// Errors: missing connections; as EquivalentDiameter.
func (r ConnectionRule) CombinedDiameter(nominal ...unit.Length) (unit.Length, error) {
	if err := r.check(); err != nil {
		return 0, err
	}
	if len(nominal) == 0 {
		return 0, loadFault("connections", "", align.ErrMissing)
	}
	sum := 0.0
	for i, n := range nominal {
		if err := checkNominal(n); err != nil {
			return 0, align.In(err, connectionAt(i))
		}
		d := r.length().FromSI(float64(n))
		sum += float64(d * d)
	}
	return unit.Length(r.length().SI(reduced(math.Sqrt(sum), r.joint, r.jointK))), nil
}

func connectionAt(i int) string { return "connections[" + strconv.Itoa(i) + "]" }

// judge holds force and moment resultants against a row of the rule.
func (r *ConnectionRule) judge(row resultantRow, place string, diameter float64, l Load) (align.Verdict, error) {
	f := r.units.force().FromSI(float64(l.Force.Size()))
	m := r.units.moment().FromSI(float64(l.Moment.Size()))
	u := r.sum()
	return align.Limit{
		Name: row.formula, Place: place, Value: row.limit * diameter, Unit: u, Source: r.source, Known: r.known,
	}.Judge(u.SI(float64(row.force*f) + float64(row.moment*m)))
}

// JudgeSingle holds the load of one connection against the rule for one. Centre
// is not used. A value equal to the limit counts as within.
//
// Errors: as EquivalentDiameter; not-finite or out-of-range parts of the load.
func (r ConnectionRule) JudgeSingle(c Connection) (align.Verdict, error) {
	if err := r.check(); err != nil {
		return align.Verdict{}, err
	}
	if err := checkNominal(c.Nominal); err != nil {
		return align.Verdict{}, err
	}
	if err := c.Load.check(); err != nil {
		return align.Verdict{}, err
	}
	return r.judge(r.single, c.Name, r.equivalent(c.Nominal), c.Load)
}

// CombinedCheck is what a rule says of all connections together.
type CombinedCheck struct {
	Load      Load            // of all, about the point of the rule
	Diameter  unit.Length     // that counts
	Resultant align.Verdict   // force and moment together
	Parts     []align.Verdict // Fx, Fy, Fz, Mx, My, Mz
}

// Verdicts returns the resultant, then the parts.
func (c CombinedCheck) Verdicts() []align.Verdict {
	return append(append(make([]align.Verdict, 0, 1+len(c.Parts)), c.Resultant), c.Parts...)
}

// JudgeCombined moves the loads of all connections to the point of the rule by
// M' = M + arm x F (statics, right-hand rule), adds them, and holds resultant
// and components against the rule for all.
//
// Errors: as CombinedDiameter; not-finite or out-of-range parts of a load or a
// centre.
func (r ConnectionRule) JudgeCombined(all []Connection) (CombinedCheck, error) {
	sizes := make([]unit.Length, len(all))
	for i := range all {
		sizes[i] = all[i].Nominal
	}
	d, err := r.CombinedDiameter(sizes...)
	if err != nil {
		return CombinedCheck{}, err
	}
	out := CombinedCheck{Diameter: d}
	for i := range all {
		c := &all[i]
		if err := c.Load.check(); err != nil {
			return CombinedCheck{}, align.In(err, connectionAt(i))
		}
		if err := loadWay("centre", c.Centre); err != nil {
			return CombinedCheck{}, align.In(err, connectionAt(i))
		}
		out.Load = out.Load.Add(c.Load.Moved(c.Centre))
	}
	return out, r.judgeAll(&out)
}

func (r *ConnectionRule) judgeAll(out *CombinedCheck) (err error) {
	const place = "all connections"
	diameter := r.length().FromSI(float64(out.Diameter))
	if out.Resultant, err = r.judge(r.all, place, diameter, out.Load); err != nil {
		return err
	}
	f, m := out.Load.Force, out.Load.Moment
	measured := [6]float64{float64(f.X), float64(f.Y), float64(f.Z), float64(m.X), float64(m.Y), float64(m.Z)}
	names := [6]string{"Fx", "Fy", "Fz", "Mx", "My", "Mz"}
	for i, v := range measured {
		u := r.units.force()
		if i > 2 {
			u = r.units.moment()
		}
		verdict, err := align.Limit{
			Name: names[i], Place: place, Value: r.parts[i] * diameter, Unit: u, Source: r.source, Known: r.partsKnown,
		}.Judge(v)
		if err != nil {
			return err
		}
		out.Parts = append(out.Parts, verdict)
	}
	return nil
}

// Nozzle returns the rule for one connection as NozzleLimits.
//
// Errors: as EquivalentDiameter.
func (r ConnectionRule) Nozzle(name string, nominal unit.Length) (NozzleLimits, error) {
	if _, err := r.EquivalentDiameter(nominal); err != nil {
		return nil, err
	}
	return singleLimits{r, Connection{Name: name, Nominal: nominal}}, nil
}

type singleLimits struct {
	rule ConnectionRule
	of   Connection
}

// JudgeNozzle holds the load against the rule for one connection.
func (s singleLimits) JudgeNozzle(l Load) ([]align.Verdict, error) {
	s.of.Load = l
	v, err := s.rule.JudgeSingle(s.of)
	if err != nil {
		return nil, err
	}
	return []align.Verdict{v}, nil
}
