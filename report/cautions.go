package report

import (
	"fmt"
	"strings"

	"sumpward/scenarios"
	"sumpward/sim"
)

// Cautions are what every report carries.
var Cautions = []string{
	"Hot oil and fuel vapour burn: mount and route clear of exhaust and turbo.",
	"Oil on the track endangers others; a blocked breather blows seals out.",
	"Catching oil mends nothing: find what moves it (rings, guides, oil level).",
	"Series rules on catch tanks and road law (no venting to air) come first.",
	"Estimates from the inputs above, no warranty: a qualified person signs it off.",
}

// cautions puts what the result rests on ahead of the cautions.
func cautions(res *sim.Result) []string {
	return append([]string{RestsOn(res.Scenario)}, Cautions...)
}

// basisCount counts the inputs of a scenario by basis: those of the layout,
// without the phases of a lap and the limits.
func basisCount(s *scenarios.Scenario) map[scenarios.Basis]int {
	n := map[scenarios.Basis]int{scenarios.Measured: 0, scenarios.Stated: 0, scenarios.Assumed: 0}
	for _, q := range s.Inputs {
		if !strings.HasPrefix(q.Path, "duty.lap.") && !strings.HasPrefix(q.Path, "limits.") {
			n[q.Basis]++
		}
	}
	return n
}

// RestsOn says how many inputs were measured, stated and assumed.
func RestsOn(s *scenarios.Scenario) string {
	n := basisCount(s)
	measured, stated, assumed := n[scenarios.Measured], n[scenarios.Stated], n[scenarios.Assumed]
	text := fmt.Sprintf("It rests on %s measured, %d stated and %d assumed (lap and limits apart).", inputs(measured), stated, assumed)
	switch {
	case assumed > measured+stated:
		text += " Most are assumed: the verdict is as good as they are (validate lists them)."
	case measured == 0:
		text += " None is measured: the verdict is as good as what was stated."
	default:
		text += " The interval is that of sampling; what is not measured may move the result further."
	}
	return text
}

func inputs(n int) string {
	switch n {
	case 0:
		return "no input"
	case 1:
		return "1 input"
	}
	return fmt.Sprintf("%d inputs", n)
}
