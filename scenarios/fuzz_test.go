package scenarios

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzParse feeds any bytes: Parse returns a complete scenario or problems
// that name the file, and never panics.
func FuzzParse(f *testing.F) {
	for _, pattern := range []string{"testdata/right/*.yaml", "testdata/wrong/*.yaml", "ready/*.yaml", "template.yaml"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		require.NotEmpty(f, files)
		for _, file := range files {
			data, err := os.ReadFile(file)
			require.NoError(f, err)
			f.Add(data)
		}
	}
	log, err := os.ReadFile("testdata/right/logs/three-laps.csv")
	require.NoError(f, err)
	line, err := os.ReadFile("testdata/right/circuits/oval.csv")
	require.NoError(f, err)
	open := func(name string) (io.ReadCloser, error) {
		if strings.HasPrefix(name, "circuits/") {
			return io.NopCloser(bytes.NewReader(line)), nil
		}
		return io.NopCloser(bytes.NewReader(log)), nil
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Parse("fuzz.yaml", data, open)
		if err != nil {
			var problems Problems
			if !errors.As(err, &problems) || len(problems) == 0 {
				t.Fatalf("an error without problems: %v", err)
			}
			for _, p := range problems {
				if p.File != "fuzz.yaml" || p.What == "" {
					t.Fatalf("a problem without file or text: %+v", p)
				}
			}
			return
		}
		complete(t, s)
	})
}

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
