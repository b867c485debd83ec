package datalog

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"sumpward/scenarios/internal/problem"
)

// check finds what is wrong with the Spec by itself. It is false where a
// quantity isn't known: what was meant for it would look absent in the header.
func (s Spec) check(p *problems) (known bool) {
	known = true
	for _, m := range []struct {
		field  string
		values map[string]string
		keys   []string
	}{
		{"columns", s.Columns, quantities},
		{"units", s.Units, quantities[:6]},
		{"positive", s.Positive, []string{Longitudinal, Lateral}},
	} {
		for _, key := range sortedKeys(m.values) {
			if !slices.Contains(m.keys, key) {
				known = false
				p.Add(0, "", fmt.Sprintf("%s: no such quantity (got %s, allowed %s)", m.field, problem.Quoted(key), strings.Join(m.keys, ", ")), "")
			}
		}
	}
	s.checkPositive(p)
	s.Tolerance.check(p)
	return known
}

var directions = map[string][2]string{Longitudinal: {"forward", "backward"}, Lateral: {"left", "right"}}

func (s Spec) checkPositive(p *problems) {
	for _, key := range []string{Longitudinal, Lateral} {
		word, d := s.Positive[key], directions[key]
		if word != "" && word != d[0] && word != d[1] {
			p.Add(0, key, fmt.Sprintf("positive: no such direction (got %s, allowed %s, %s)", problem.Quoted(word), d[0], d[1]), signHint(key))
		}
	}
}

// signHint says how to find out which way an axis counts.
func signHint(key string) string {
	if key == Longitudinal {
		return "look at a stretch of hard braking: if it reads negative there, say positive: {longitudinal: forward}, if it reads positive, backward"
	}
	return "look at a left turn: if it reads positive there, say positive: {lateral: left}, if it reads negative, right"
}

// sign is +1 or -1, or 0 if it wasn't stated.
func (s Spec) sign(key string) float64 {
	switch s.Positive[key] {
	case directions[key][0]:
		return 1
	case directions[key][1]:
		return -1
	}
	return 0
}

func (t Tolerance) check(p *problems) {
	if math.IsNaN(t.Load) || t.Load < 0 || t.Load > 1 {
		p.Add(0, "", fmt.Sprintf("tolerance of load out of range (got %g, allowed 0 to 1)", t.Load), "write 5 %")
	}
	if math.IsNaN(t.Acceleration) || t.Acceleration < 0 || t.Acceleration > 5*StandardGravity {
		p.Add(0, "", fmt.Sprintf("tolerance of acceleration out of range (got %.3g m/s2, allowed 0 to 5 g)", t.Acceleration), "write 0.1 g")
	}
	if math.IsNaN(t.Smoothing) || t.Smoothing > 10 {
		p.Add(0, "", fmt.Sprintf("smoothing out of range (got %g s, allowed up to 10 s)", t.Smoothing), "write 0.5 s")
	}
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
