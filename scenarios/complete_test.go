package scenarios

import (
	"bytes"
	"errors"
	"testing"
)

// Complete and CheckProblems are for tests that need the simulator.
var (
	Complete      = complete
	CheckProblems = checkProblems
)

// complete checks what holds for every scenario that loads.
func complete(t *testing.T, s *Scenario) {
	t.Helper()
	for i, q := range s.Inputs {
		low, high := q.Distribution.Range()
		if q.ID != i || !(low <= high) || q.Basis == "" || q.Basis == Assumed && q.Source == "" {
			t.Fatalf("input %+v", q)
		}
	}
	for _, name := range s.Variants {
		if _, err := s.Variant(name); err != nil {
			t.Fatalf("variant %q: %v", name, err)
		}
	}
	kinds := 0
	for _, is := range []bool{len(s.Duty.Lap) > 0, s.Duty.Pattern != nil, s.Duty.Log != nil, s.Duty.Circuit != nil} {
		if is {
			kinds++
		}
	}
	if kinds != 1 || len(s.Sessions) == 0 || s.Separator.UsableVolume == nil {
		t.Fatalf("not complete: %+v", s)
	}
	if c := s.Duty.Circuit; c != nil && ((len(c.Segments) == 0) == (c.CentreLine == nil) || c.Car.Mass == nil || (c.Car.Power == nil) == (c.Car.Curve == nil)) {
		t.Fatalf("no circuit, or no car: %+v", c)
	}
	if (s.Duty.Schedule == nil) != (s.Duty.Event == 0) || s.Duty.Schedule != nil && s.Sessions[len(s.Sessions)-1] > s.Duty.Event+1 {
		t.Fatalf("schedule, event and sessions: %+v", s.Duty)
	}
	sep := s.Separator
	if (sep.Elements == nil) == (sep.Efficiency == nil) || (sep.Elements == nil) != (sep.Droplets == nil) || (sep.Loss == nil) != (sep.LossAt == nil) {
		t.Fatalf("elements or efficiency: %+v", sep)
	}
	if (sep.Shape == nil) != (sep.Outlet.OffAxis != nil) || sep.Shape != nil && (sep.Diameter == nil || sep.Shape.Height == nil) {
		t.Fatalf("the can's shape: %+v", sep)
	}
	if (s.Separator.CrossSection == nil) == (s.Separator.Diameter == nil) || (s.CarryOver.OilUsed == nil) == (s.CarryOver.FullThrottle == nil) {
		t.Fatalf("one of two is wanted: %+v", s)
	}
	if s.Drain.Return != EmptiedByHand && (s.Drain.Bore == nil || (s.Drain.Fall == nil) == (s.Drain.Route == nil)) {
		t.Fatalf("no drain: %+v", s.Drain)
	}
}

// checkProblems checks that an error is problems, each with the file, a line in it and
// what is wrong.
func checkProblems(t *testing.T, err error, data []byte) {
	t.Helper()
	var problems Problems
	if !errors.As(err, &problems) || len(problems) == 0 {
		t.Fatalf("an error without problems: %v", err)
	}
	lines := 1 + bytes.Count(data, []byte{'\n'}) + bytes.Count(data, []byte{'\r'})
	for _, p := range problems {
		if p.File != "fuzz.yaml" || p.What == "" || p.Line < 1 || p.Line > lines {
			t.Fatalf("a problem without file, line or text: %+v", p)
		}
	}
}
