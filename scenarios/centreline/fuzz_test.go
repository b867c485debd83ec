package centreline

import (
	"errors"
	"math"
	"strings"
	"testing"

	"sumpward/scenarios/internal/bounded"
)

// Whatever the file holds, Read comes back with an error, or with a closed line
// of finite points that are apart and make up a circuit's length.
func FuzzRead(f *testing.F) {
	for _, c := range wrongFiles() {
		if len(c.text) < 5000 {
			f.Add(c.text, c.spec.Columns["x"], c.spec.Unit)
		}
	}
	few := inDegrees(oval(12), 7.2, 50.1)
	f.Add(write(oval(12), "x [m];y [m]\n", "%.2f", ";", 2), "x [m]", "")
	f.Add(write(few, "lon,lat,alt\n", "%.6f", ",", 3), "", "deg")
	f.Add(lineString(few, 3), "", "")
	f.Add(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"a"},"geometry":`+lineString(oval(12), 2)+"}]}", "", "ft")
	f.Fuzz(func(t *testing.T, text, column, unit string) {
		s := Spec{Unit: unit}
		if column != "" {
			s.Columns = map[string]string{"x": column}
		}
		var l *Line
		var err error
		bounded.Do(t, func() { l, err = Read("c", strings.NewReader(text), s) })
		if err != nil {
			if !errors.As(err, new(Errors)) {
				t.Fatalf("no list of what is wrong: %v", err)
			}
			if l != nil || err.Error() == "" {
				t.Fatalf("a line or an empty message with the error: %v", err)
			}
			return
		}
		if len(l.Points) < MinPoints || len(l.Points) > MaxPoints {
			t.Fatalf("%d points", len(l.Points))
		}
		total := 0.0
		for i, p := range l.Points {
			step := distance(p, l.Points[(i+1)%len(l.Points)])
			if total += step; !(step >= sameWithin) || !(math.Abs(p.Z) <= maxHeight) || !l.HasHeight && p.Z != 0 {
				t.Fatalf("point %d: %+v, step %g m", i, p, step)
			}
		}
		if !(total >= shortest && total <= longest) {
			t.Fatalf("length %g m", total)
		}
	})
}
