package uncertainty

import "collinear.example/align"

// The faults of this package, besides those of package align.
const (
	ErrTooFewRepeats    align.Fault = "too-few-repeats"        // a scatter needs four or more repeats
	ErrNoSources        align.Fault = "no-sources"             // nothing is uncertain
	ErrNoOutputs        align.Fault = "no-outputs"             // nothing is asked
	ErrCorrelation      align.Fault = "impossible-correlation" // a coefficient outside -1 to 1, or a set that no quantities can have
	ErrNotNormal        align.Fault = "not-normal"             // correlated sources must be normal to be drawn together
	ErrTrialFailed      align.Fault = "trial-failed"           // the job could not be computed for a value within the uncertainty
	ErrTooFewTrials     align.Fault = "too-few-trials"         // the trials do not reach into the tails asked for
	ErrTooManyTrials    align.Fault = "too-many-trials"        // over the bound on work
	ErrNotReached       align.Fault = "tolerance-not-reached"  // the bound on trials came before the numerical tolerance
	ErrNotAttainable    align.Fault = "not-attainable"         // the other sources alone exceed what is wanted
	ErrCancelled        align.Fault = "cancelled"              // the context ended
	ErrNoUncertainty    align.Fault = "no-uncertainty"         // every contribution is zero
	ErrNothingSatisfies align.Fault = "nothing-satisfies"      // no design within the bounds is good enough
	ErrSameName         align.Fault = "same-name"              // two sources of one name, where the name must tell them apart
)

var meanings = map[align.Fault]string{
	ErrTooFewRepeats:    "are too few repeats: give four or more",
	ErrNoSources:        "no source of uncertainty is given",
	ErrNoOutputs:        "no output is asked for",
	ErrCorrelation:      "is a correlation that no quantities can have",
	ErrNotNormal:        "is correlated and must be normal to be drawn together with another",
	ErrTrialFailed:      "the job cannot be computed for values within the uncertainty",
	ErrTooFewTrials:     "too few trials for the probability asked for",
	ErrTooManyTrials:    "more trials than the bound allows",
	ErrNotReached:       "the numerical tolerance was not reached within the trials allowed",
	ErrNotAttainable:    "the other sources alone are more than what is wanted",
	ErrCancelled:        "the work was cancelled",
	ErrNoUncertainty:    "every contribution to the uncertainty is zero",
	ErrNothingSatisfies: "no design within the bounds is good enough",
	ErrSameName:         "is the name of more than one source",
}

func fault(field, got string, f align.Fault) error {
	return &align.InputError{Package: "uncertainty", Field: field, Got: got, Err: f, Meaning: meanings[f]}
}
