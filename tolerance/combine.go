package tolerance

import "collinear.example/align"

// Combine says how several limits of one source act together.
type Combine string

// The published rules.
const (
	// EachAlone lets every quantity use its whole limit, whatever the others do.
	EachAlone Combine = "each-alone"
	// SharesAdd lets the shares of the limits used add up to one at most.
	SharesAdd Combine = "shares-add"
)

// Share returns the share used by quantities that each use a share of their own
// limit: the largest of them (EachAlone) or their sum (SharesAdd), where 1 is
// all there is. Without any share it is zero.
//
// Both rules are published. That shares add is stated by coupling makers (KTR
// ROTEX ZR, KTR-N 40215 EN ed. 3, p. 12: dKr/dKr,max + dKw/dKw,max <= 1) and
// agrees with the two accepted examples of US Army TM 10-4320-307-24, para 3-7;
// that radial and angular misalignment may each be used in full at the same
// time is stated for the table of Flender BA 3102.
func (c Combine) Share(shares ...float64) (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	used := 0.0
	for _, s := range shares {
		if !align.IsFinite(s) {
			return 0, inputError("share", "", align.ErrNotFinite)
		}
		if s < 0 {
			return 0, inputError("share", align.UnitOne.Format(s, 3), align.ErrNegative)
		}
		if c == SharesAdd {
			used = min(used+s, maxShare)
			continue
		}
		used = max(used, s)
	}
	return used, nil
}

// Left returns the share of its limit that one more quantity may still use
// beside those that use the given shares, never less than zero.
func (c Combine) Left(shares ...float64) (float64, error) {
	used, err := c.Share(shares...)
	if err != nil {
		return 0, err
	}
	if c == EachAlone {
		return 1, nil
	}
	return max(0, 1-used), nil
}

func (c Combine) check() error {
	if c == EachAlone || c == SharesAdd {
		return nil
	}
	return inputError("combine", string(c), align.ErrUnknownKind)
}

// maxShare stands for the share of a limit of zero; align.Verdict gives the
// same number.
const maxShare = 1e308

// within lets a share that misses one by no more than rounding pass.
func within(share float64) bool { return share <= 1 || float64(share*(1-1e-12)) <= 1 }
