package main

import (
	"fmt"

	"collinear.example/align"
)

// cautions are the usual ones of the trade (common practice, no source).
func (r *report) cautions() {
	r.Heading("Before anyone touches the machines")
	for _, s := range []string{
		"Isolate the driver, lock it out and tag it, and try the start button. Close, lock and drain what can drive the pump backward or feed it.",
		"Let hot parts cool; relieve pressure and drain before any flange is loosened. A strained pipe is a spring: it can move the machine, or a hand, when it lets go.",
		"Guards off only while the shafts cannot turn. Turn by hand, keep fingers clear of the dials and brackets, and warn each other before every turn.",
		"Support what you loosen. Use lifting gear that is rated and inspected; never use a hoist to pull pipe to a machine.",
		"Check for soft foot and pipe strain first: moves worked out on a rocking or strained machine do not hold. Tighten in the same order each time and measure again after the moves.",
		"This report is arithmetic, not permission. Site rules, local codes, the makers' instructions and qualified people decide.",
	} {
		r.Hang("* ", s)
	}
}

// legend states the frame and the signs once.
func (r *report) legend() {
	r.Heading("Signs used in this report")
	near, far := r.name(align.Near), r.name(align.Far)
	for _, s := range []string{
		fmt.Sprintf("Stations are counted along the shafts from the job's own zero, growing from %s (near) to %s (far).", near, far),
		fmt.Sprintf("Clock positions are those of a person who looks from %s to %s: 12 is up, 3 is to the right. A record from the other end says so and is turned.", near, far),
		fmt.Sprintf("Offset and slope are those of %s against %s: plus is up, and toward 3 o'clock.", far, near),
		"A move is plus upward and toward 3 o'clock; in words, add shims to raise, take out to lower.",
		"A dial reads plus when its stem is pushed in. A sag reading is minus for a bracket that droops.",
		"The gap between hub faces is said as if both faces were square to their shafts.",
	} {
		r.Hang("* ", s)
	}
}
