package piping

import (
	"collinear.example/align"
)

// PumpConnection is one of the two nozzles of a pump with its load.
type PumpConnection struct {
	Nozzle API610Nozzle
	Load   Load // on the pump, about the centre of this nozzle's flange face
	// Centre leads from the centre of the pump to the centre of the flange face.
	Centre align.Displacement
}

// API610Pump is a horizontal pump whose nozzles carry more than the table of
// API 610, for the criteria of its appendix on piping. The centre of the pump is
// where the shaft centreline meets the vertical plane through the middle of the
// two pedestals (from memory).
type API610Pump struct {
	Suction, Discharge PumpConnection // of one unit system
}

// API610PumpCheck is what the criteria say.
type API610PumpCheck struct {
	Suction   []align.Verdict // FX, FY, FZ, MX, MY, MZ against twice the table
	Discharge []align.Verdict // the same
	// SuctionShares and DischargeShares are the sums of the resultants over one
	// and a half times the table, at most 2 (equations F1 and F2).
	SuctionShares   align.Verdict
	DischargeShares align.Verdict
	CentreForce     align.Verdict // resultant at the centre of the pump (F3)
	CentreAcross    align.Verdict // moment about the level axis across the shaft (F4)
	CentreMoment    align.Verdict // resultant moment at the centre of the pump (F5)
	Centre          Load          // of both nozzles, about the centre of the pump
}

// Verdicts returns all verdicts: the six of the suction, the six of the
// discharge, then F1 to F5.
func (c API610PumpCheck) Verdicts() []align.Verdict {
	out := make([]align.Verdict, 0, len(c.Suction)+len(c.Discharge)+5)
	out = append(append(out, c.Suction...), c.Discharge...)
	return append(out, c.SuctionShares, c.DischargeShares, c.CentreForce, c.CentreAcross, c.CentreMoment)
}

const appendixF = "API Std 610, 8th ed., 1995, Appendix F, "

// Judge holds the loads of both nozzles against the criteria for loads beyond
// the table, T the tabulated and A the applied values, S suction, D discharge, C
// at the centre of the pump by the right-hand rule:
//
//	F.1.2.1  each component <= 2 times the table
//	(F1)     FRSA/(1.5 FRST) + MRSA/(1.5 MRST) <= 2, and (F2) the same for the discharge
//	(F3)     FRCA < 1.5 (FRST + FRDT)
//	(F4)     |MYCA| < 2.0 (MYST + MYDT)
//	(F5)     MRCA < 1.5 (MRST + MRDT)
//
// (API Std 610, 8th ed., Appendix F, F.1.2.1 to F.1.2.3). A value equal to its
// limit counts as within. Meeting them lets the shaft at the coupling move more
// than the table alone would: they are criteria for a design, not for strain
// found while bolting up.
//
// Errors: those of API610Nozzle.JudgeNozzle; not-finite or out-of-range centres;
// mismatch when the nozzles are of different unit systems.
func (p API610Pump) Judge() (API610PumpCheck, error) {
	if err := p.check(); err != nil {
		return API610PumpCheck{}, err
	}
	var out API610PumpCheck
	var err error
	s, d := &p.Suction, &p.Discharge
	if out.Suction, out.SuctionShares, err = s.judge("suction (F1)"); err != nil {
		return API610PumpCheck{}, align.In(err, "suction")
	}
	if out.Discharge, out.DischargeShares, err = d.judge("discharge (F2)"); err != nil {
		return API610PumpCheck{}, align.In(err, "discharge")
	}
	out.Centre = s.Load.Moved(s.Centre).Add(d.Load.Moved(d.Centre))
	if err := p.judgeCentre(&out); err != nil {
		return API610PumpCheck{}, err
	}
	return out, nil
}

func (p *API610Pump) check() error {
	for _, c := range [...]struct {
		name string
		c    *PumpConnection
	}{{"suction", &p.Suction}, {"discharge", &p.Discharge}} {
		if err := c.c.Nozzle.check(); err != nil {
			return align.In(err, c.name)
		}
		if err := c.c.Load.check(); err != nil {
			return align.In(err, c.name)
		}
		if err := loadWay("centre", c.c.Centre); err != nil {
			return align.In(err, c.name)
		}
	}
	if p.Suction.Nozzle.Units != p.Discharge.Nozzle.Units {
		return loadFault("discharge.units", p.Discharge.Nozzle.Units.String(), align.ErrMismatch)
	}
	return nil
}

func (c *PumpConnection) judge(name string) ([]align.Verdict, align.Verdict, error) {
	all, err := c.Nozzle.judge(c.Load, 2)
	if err != nil {
		return nil, align.Verdict{}, err
	}
	parts := append(append(make([]align.Verdict, 0, 6), all[:3]...), all[4:7]...)
	for i := range parts {
		parts[i].Limit.Name += ", twice the table"
		parts[i].Limit.Source = appendixF + "F.1.2.1"
	}
	fr, mr := all[3], all[7]
	shares := fr.Measured/(1.5*fr.Limit.SI()) + mr.Measured/(1.5*mr.Limit.SI())
	v, err := align.Limit{
		Name: "resultants over one and a half times the table, " + name, Place: c.Nozzle.place(),
		Value: 2, Unit: align.UnitOne, Source: appendixF + "F.1.2.2", Known: align.Read,
	}.Judge(shares)
	return parts, v, err
}

func (p *API610Pump) judgeCentre(out *API610PumpCheck) error {
	s, d := &p.Suction.Nozzle, &p.Discharge.Nozzle
	_, moment := out.Centre.API610Axes()
	for _, c := range [...]struct {
		to       *align.Verdict
		name     string
		limit    float64
		unit     align.Unit
		measured float64
	}{
		{&out.CentreForce, "resultant force (F3)", 1.5 * (s.FR + d.FR), s.Units.force(), float64(out.Centre.Force.Size())},
		{&out.CentreAcross, "moment about Y (F4)", 2 * (s.MY + d.MY), s.Units.moment(), float64(moment[1])},
		{&out.CentreMoment, "resultant moment (F5)", 1.5 * (s.MR + d.MR), s.Units.moment(), float64(out.Centre.Moment.Size())},
	} {
		v, err := align.Limit{
			Name: c.name, Place: "centre of the pump", Value: c.limit, Unit: c.unit,
			Source: appendixF + "F.1.2.3", Known: align.Read,
		}.Judge(c.measured)
		if err != nil {
			return err
		}
		*c.to = v
	}
	return nil
}
