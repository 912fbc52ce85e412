package moves

import "collinear.example/align"

// afterMeaning says in words what the faults and warnings of shimming, rounding
// and looking again mean.
func afterMeaning(code string) string {
	switch code {
	case string(ErrBaseBound):
		return "more shim is to come out than there is"
	case string(WarnPackLimit):
		return "the pack comes out beyond what must stay or may be under the foot"
	case string(WarnTwisted):
		return "no rounding keeps the feet in one plane as nearly as asked"
	case string(WarnNotProved):
		return "the search ran into its bound, a better rounding may exist"
	case string(WarnFlangeLost):
		return "a flange that must be kept is out of its tolerance after rounding"
	case string(WarnNotRigid):
		return "the feet did not move as those of a rigid body, look for soft foot and pipe strain"
	case string(WarnSmallMove):
		return "the planned change is too small against the uncertainty to tell anything"
	case string(WarnOffPlan):
		return "the shafts did not come to where the moves were to bring them"
	case string(WarnShimsUneven):
		return "the shims at the bolts do not lie in one plane"
	}
	return ""
}

func afterFault(field, got string, f align.Fault) error {
	return &align.InputError{Package: "moves", Field: field, Got: got, Err: f, Meaning: afterMeaning(f.Code())}
}

func afterWarning(code align.WarningCode, s align.Severity, field string, value, limit float64, u align.Unit) align.Warning {
	return align.Warning{Code: code, Meaning: afterMeaning(string(code)), Severity: s, Field: field, Value: value, Limit: limit, Unit: u}
}
