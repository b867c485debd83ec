package datalog

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"sumpward/scenarios/internal/bounded"
)

// Whatever the file holds, Read and Lap come back soon, with finite phases of
// positive length or an error.
func FuzzRead(f *testing.F) {
	m := plain()
	m.rate, m.to = 5, 12
	for _, v := range variations[:20] {
		one, s := m, forwardLeft()
		if v.make != nil {
			v.make(&one, &s)
		}
		one.rate, one.to = 5, 12
		f.Add(one.String(), "", "")
	}
	for _, c := range wrongLogs {
		if c.text != "" && len(c.text) < 1000 {
			f.Add(c.text, "speed", "s")
		}
	}
	f.Add("t;tps\n0:00;1\n0:01,5;0,9\n", "t", "min:s")
	f.Fuzz(func(t *testing.T, text, column, unit string) {
		s := forwardLeft()
		s.MaxBytes, s.MaxRows = 1<<20, 20_000
		if column != "" {
			s.Columns = map[string]string{Time: column}
		}
		if unit != "" {
			s.Units = map[string]string{Time: unit}
		}
		start := time.Now()
		var l *Log
		var err error
		bounded.Do(t, func() { l, err = Read(strings.NewReader(text), "fuzz.csv", s) })
		if err != nil {
			if !errors.As(err, new(Errors)) {
				t.Fatalf("no list of what is wrong: %v", err)
			}
			if l != nil || err.Error() == "" {
				t.Fatalf("a log or an empty message with the error: %v", err)
			}
			return
		}
		phases, r, err := l.Lap(Tolerance{})
		if err != nil {
			t.Fatal(err)
		}
		if d := time.Since(start); d > 5*time.Second {
			t.Fatalf("took %v for %d bytes", d, len(text))
		}
		total := 0.0
		for _, p := range phases {
			total += p.Duration
			if !(p.Duration > 0) || !(p.Load >= 0 && p.Load <= 1) || !(math.Abs(p.Forward)+math.Abs(p.Left) < 1000) {
				t.Fatalf("phase out of range: %+v", p)
			}
		}
		if r.Laps < 1 || len(r.LapStarts) != r.Laps || math.Abs(total-r.Duration) > 1e-6*max(1, total) {
			t.Fatalf("report: %+v, phases last %g s", r, total)
		}
	})
}
