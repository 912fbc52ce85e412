package worksheet

import "slices"

// Status says what an entry of the readiness means for the alignment.
type Status string

// The statuses. Not looked at is never taken for in order.
const (
	Blocks      Status = "blocks"        // put it right before anything is aligned
	Look        Status = "look"          // something is suspect, or held against no limit
	InOrder     Status = "in order"      // looked at, and nothing found
	NotLookedAt Status = "not looked at" // the record says nothing of it
)

// Readiness is one thing that can stand in the way of an alignment.
type Readiness struct {
	Topic    string   `json:"topic"`           // such as "runout of the shaft"
	About    string   `json:"about,omitempty"` // the machine or coupling
	Status   Status   `json:"status"`
	Says     string   `json:"says"`               // what it is, in words
	Findings []string `json:"findings,omitempty"` // ids of those it rests on
}

// readiness lists everything that can stand in the way, in the order in which a
// practitioner puts it right: from the foundation up, then what turns, then what
// pulls, then the readings and what they are held against.
func (e *evaluator) readiness() (out []Readiness) {
	out = append(out, e.ready(topicLooked, "", "no finding of the foundation, grout or bolts")...)
	out = append(out, e.ready(topicBase, "", "no heights of the pads")...)
	for _, t := range []struct {
		topic topic
		none  string
	}{
		{topicShaft, "no sweep of the shaft"},
		{topicHub, "no sweep of the hub"},
		{topicFeet, "no gaps and no rises of its feet"},
		{topicFlange, "no survey of its flanges; a machine without pipe needs none"},
		{topicStrain, "no strain test; a machine without pipe needs none"},
	} {
		for i := range e.Train.Machines {
			out = append(out, e.ready(t.topic, e.Train.Machines[i].Name, t.none)...)
		}
	}
	for _, t := range []struct {
		topic topic
		none  string
	}{
		{topicSag, "no readings, so no brackets"},
		{topicReadings, "no readings at the coupling"},
	} {
		for i := range e.Train.Couplings {
			out = append(out, e.ready(t.topic, e.Train.Couplings[i].Name, t.none)...)
		}
	}
	out = append(out, e.readyStates()...)
	return append(out, e.readyLimits()...)
}

// ready is the entry of one topic about one machine or coupling, and a second one
// for what was not looked at while other things were.
func (e *evaluator) ready(t topic, about, none string) []Readiness {
	worst := plain
	var fs, missing []*Finding
	for i := range e.findings {
		f := &e.findings[i]
		switch {
		case f.topic != t || f.about != about:
		case f.weight == unseen:
			missing = append(missing, f)
		default:
			worst = max(worst, f.weight)
			fs = append(fs, f)
		}
	}
	var out []Readiness
	if len(fs) > 0 {
		out = append(out, weighed(t, about, worst, fs))
	}
	if len(missing) > 0 {
		out = append(out, Readiness{Topic: string(t), About: about, Status: NotLookedAt, Says: saying(missing), Findings: idsOf(missing)})
	}
	if len(out) == 0 {
		out = []Readiness{{Topic: string(t), About: about, Status: NotLookedAt, Says: none}}
	}
	return out
}

// weighed is an entry by the heaviest of its findings: those of that weight are
// named, and all that were judged when everything is in order.
func weighed(t topic, about string, worst weight, fs []*Finding) Readiness {
	r := Readiness{Topic: string(t), About: about, Status: InOrder}
	heavy := slices.DeleteFunc(slices.Clone(fs), func(f *Finding) bool { return f.weight != worst })
	r.Findings = idsOf(heavy)
	switch worst {
	case stops:
		r.Status = Blocks
	case suspect:
		r.Status = Look
	case plain:
		r.Status, r.Says = Look, "computed, but held against no limit"
		return r
	default:
		r.Says = "looked at, nothing found"
		return r
	}
	r.Says = saying(heavy)
	return r
}

func idsOf(fs []*Finding) (out []string) {
	for _, f := range fs {
		out = append(out, f.ID)
	}
	return out
}

// mostSaid is how many findings an entry says in words; the rest are named by
// their ids.
const mostSaid = 3

func saying(fs []*Finding) (out string) {
	for i, f := range fs {
		if i == mostSaid {
			return joinedBy("; ", out, "and "+trimmed(float64(len(fs)-mostSaid))+" more")
		}
		out = joinedBy("; ", out, inShort(f))
	}
	return out
}

// inShort says one finding in a few words, without numbers: those stand with the
// finding, in the units of the reader.
func inShort(f *Finding) string {
	of := ""
	if f.Of != "" && f.topic != topicLooked { // what was looked at names itself
		of = f.Of + ": "
	}
	switch {
	case f.Error != nil:
		return of + f.Says + " could not be computed (" + f.Error.Code + ")"
	case f.Limit != nil && f.Verdict == Over:
		return of + f.Says + " is over its limit"
	case f.Words != "" && f.Value == nil:
		return of + f.Says + ": " + f.Words
	case len(f.Warnings) > 0:
		return of + f.Says + " (" + f.Warnings[0].Code + ")"
	case f.Words != "":
		return of + f.Says + ", " + f.Words
	}
	return of + f.Says
}

// readyStates is the entry about the movement from cold to running.
func (e *evaluator) readyStates() []Readiness {
	if len(e.States) == 0 {
		return []Readiness{{Topic: string(topicStates), Status: NotLookedAt, Says: "no state of running: the cold readings are all there is"}}
	}
	var out []Readiness
	for i := range e.Train.Machines {
		out = append(out, e.ready(topicStates, e.Train.Machines[i].Name, "its movement is not known in any state")...)
	}
	for i := range e.Train.Couplings {
		name := e.Train.Couplings[i].Name
		if failed := e.ready(topicStates, name, ""); failed[0].Status == Look && slices.ContainsFunc(e.findings, func(f Finding) bool {
			return f.topic == topicStates && f.about == name && f.Error != nil && f.weight != plain
		}) {
			out = append(out, failed...)
		}
	}
	return out
}

// readyLimits is the entry about the limits: a coupling for which none was chosen
// can never be called aligned, and one whose tables cannot be applied neither.
func (e *evaluator) readyLimits() (out []Readiness) {
	for i := range e.Train.Couplings {
		name := e.Train.Couplings[i].Name
		r := e.ready(topicLimits, name, "")
		if len(r) == 1 && r[0].Status == NotLookedAt {
			r[0].Status, r[0].Says = Blocks, "no limits chosen for this coupling"
		}
		out = append(out, r...)
	}
	return out
}
