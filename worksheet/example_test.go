package worksheet_test

import (
	"context"
	"fmt"
	"strings"

	"collinear.example/worksheet"
)

// job is a pump and a motor measured with two rim dials after the last move.
const job = `{
  "format": "collinear record 1",
  "title": "Cooling water pump",
  "units": {"length": "mm", "reading": "mm", "speed": "rpm"},
  "train": {
    "speed": 1485,
    "machines": [
      {"name": "pump", "fixed": true},
      {"name": "motor", "feet": [
        {"name": "inboard", "station": 380},
        {"name": "outboard", "station": 860}]}],
    "couplings": [{"name": "spacer", "near": "pump", "far": "motor", "flexPlanes": [0, 140]}]
  },
  "sag": [{"bracket": "long", "kind": "roll-over", "reading": -0.06}],
  "sets": [{
    "stage": "as-left", "coupling": "spacer", "method": "reverse-indicator", "sigma": 0.005,
    "dials": [
      {"touches": "rim", "on": "far", "station": 150, "bracket": "long", "readings": [
        {"at": 0, "value": 0}, {"at": 90, "value": -0.02}, {"at": 180, "value": -0.10}, {"at": 270, "value": -0.08}]},
      {"touches": "rim", "on": "near", "station": -10, "bracket": "long", "readings": [
        {"at": 0, "value": 0}, {"at": 90, "value": -0.04}, {"at": 180, "value": -0.04}, {"at": 270, "value": 0}]}]
  }],
  "limits": [{"coupling": "spacer", "set": "api-rp-686"}]
}`

// Far dial: -0.10 mm less its sag of -0.06 is -0.04, so the motor stands 0.02 mm high
// at 150; near dial: -0.04 less -0.06 is +0.02, so it stands 0.01 mm high at -10. That
// makes 0.019 mm at the far flex plane, at 140.
func Example() {
	record, err := worksheet.Parse([]byte(job))
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := record.Evaluate()
	if err != nil {
		fmt.Println(err)
		return
	}
	offset, _ := result.Find("sets[0].offset.flex-far.vertical")
	fmt.Printf("motor at the far flex plane: %+.3f mm\n", *offset.Value*1000) // plus is up
	left, _ := result.Find("as-left.couplings[0]")
	fmt.Printf("%s: %s\n", left.Of, left.Verdict)
	// Output:
	// motor at the far flex plane: +0.019 mm
	// coupling spacer: within
}

// A record that cannot be used is refused with the place in it and the reason.
func ExampleParse() {
	_, err := worksheet.Parse([]byte(strings.Replace(job, `"station": 150`, `"station": "150"`, 1)))
	fmt.Println(err)
	// Output:
	// worksheet: sets[0].dials[0].station = "150", want a number: is not of the kind that belongs here
}

// What stands in the way comes in the order in which it is put right.
func ExampleRecord_Evaluate() {
	record, err := worksheet.Parse([]byte(job))
	if err != nil {
		fmt.Println(err)
		return
	}
	record.Sag = nil // nobody tried the bracket
	for i := range record.Sets[0].Dials {
		record.Sets[0].Dials[i].Bracket = ""
	}
	result, err := record.Evaluate()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range result.Readiness {
		if r.Status == worksheet.Blocks {
			fmt.Printf("%s: %s, %s\n", r.Status, r.Topic, r.About)
		}
	}
	// Output:
	// blocks: sag of the brackets, spacer
}

func ExampleEvaluateAll() {
	good, err := worksheet.Parse([]byte(job))
	if err != nil {
		fmt.Println(err)
		return
	}
	records := func(yield func(string, *worksheet.Record) bool) {
		_ = yield("pump 1", good) && yield("pump 2", nil) && yield("pump 3", good)
	}
	for one := range worksheet.EvaluateAll(context.Background(), records, 2) {
		if one.Err != nil {
			fmt.Println(one.Name, "-", one.Err)
			continue
		}
		left, _ := one.Evaluation.Find("as-left.couplings[0]")
		fmt.Println(one.Name, "-", left.Verdict)
	}
	// Output:
	// pump 1 - within
	// pump 2 - worksheet: record: is missing
	// pump 3 - within
}

func ExampleEvaluation_Report() {
	record, err := worksheet.Parse([]byte(job))
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := record.Evaluate()
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := result.Report(worksheet.StyleText, worksheet.InBoth)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range strings.SplitN(report, "\n", 7)[:6] {
		fmt.Println(line)
	}
	// Output:
	// Cooling water pump
	// ==================
	//
	// AS LEFT
	// -------
	// * coupling spacer: WITHIN: api-rp-686, standing cold: within.
}

func ExampleGenerate() {
	exercise, err := worksheet.Generate("reverse-indicator", 7, worksheet.Plain)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(exercise.Title)
	for _, q := range exercise.Questions()[:3] {
		fmt.Printf("%s: ... %s\n", q.Says, q.Unit)
	}
	// Output:
	// Two dials, one on each hub
	// reading at 6 o'clock of the dial on the compressor hub, less that at 12, corrected for sag: ... mm
	// reading at 6 o'clock of the dial on the motor hub, less that at 12, corrected for sag: ... mm
	// how high or low the compressor shaft stands at the dial on its own hub (high or low): ... mm
}

// A learner reads -0.21 mm at 6 o'clock, takes off the sag of -0.13 mm, and forgets
// to halve the -0.08 mm that are left. Whether only this dial or both were not
// halved cannot be told yet, so both are named.
func ExampleExercise_Mark() {
	exercise, err := worksheet.Generate("reverse-indicator", 7, worksheet.Plain)
	if err != nil {
		fmt.Println(err)
		return
	}
	answers := map[string]string{"corrected.far": "-0.080 mm", "offset.far.vertical": "high 0.08 mm"}
	marked, err := exercise.Mark(answers, worksheet.UsualCredits())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range marked.Marks {
		if m.Verdict == worksheet.Wrong {
			fmt.Printf("%s is %s, the key says %s: %v\n", m.Given, m.Verdict, m.Key, m.Reasons)
		}
	}
	for _, m := range marked.Diagnosis.Singles {
		fmt.Printf("%s: %s\n", m.Code, m.Says)
	}
	// Output:
	// high 0.08 mm is wrong, the key says high 0.0400 mm: [not-halved far-not-halved]
	// not-halved: did not halve the readings: a dial shows twice the offset
	// far-not-halved: did not halve the dial on the second hub
}
