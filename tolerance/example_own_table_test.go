package tolerance_test

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

// A standard of one's own is a JSON text. This one belongs to an invented plant:
// an offset at the flex planes by bands of speed, each of which owns its lower
// bound.
func ExampleParseSet() {
	const own = `{
	  "format": "collinear limits 1",
	  "id": "ferrow-mill",
	  "title": "Ferrow Mill, spacer couplings",
	  "combine": "each-alone",
	  "tables": [{
	    "id": "ferrow-mill-offset",
	    "title": "offset",
	    "quantity": "true-offset",
	    "place": "flex-planes",
	    "planes": "each-plane",
	    "unit": "mm",
	    "rule": "by-band",
	    "rows": [
	      {"fromRpm": 0, "toRpm": 1200, "value": 0.12},
	      {"fromRpm": 1200, "ownsFrom": true, "toRpm": 2400, "value": 0.08},
	      {"fromRpm": 2400, "ownsFrom": true, "toRpm": 4000, "ownsTo": true, "value": 0.05}
	    ],
	    "above": "refuse",
	    "source": "Ferrow Mill, sheet 12",
	    "known": "read"
	  }]
	}`
	set, warnings, err := tolerance.ParseSet([]byte(own))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %d warnings\n", set.Title, len(warnings))
	offset := set.Tables[0]
	for _, rpm := range []unit.Frequency{990, 1200, 2960, 4500} {
		limit, err := offset.LimitAt(tolerance.Geometry{Speed: rpm * align.RPM})
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(offset.Unit.Format(limit.SI, 2))
	}
	// Output:
	// Ferrow Mill, spacer couplings: 0 warnings
	// 0.12 mm
	// 0.08 mm
	// 0.05 mm
	// tolerance: speed = 4500.0 rpm: is out of range
}
