package centreline

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// oval is a circuit of n points on an ellipse, 300 m by 200 m from the middle,
// some 1590 m long, which starts in the east and runs anticlockwise.
func oval(n int) (points []Point) {
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points = append(points, Point{300 * cos, 200 * sin, 100 + 5*sin})
	}
	return points
}

// write writes points as CSV. A format of one verb writes each value.
func write(points []Point, header, format, delimiter string, columns int) string {
	var b strings.Builder
	b.WriteString(header)
	for _, p := range points {
		cells := []string{fmt.Sprintf(format, p.X), fmt.Sprintf(format, p.Y), fmt.Sprintf(format, p.Z)}
		b.WriteString(strings.Join(cells[:columns], delimiter) + "\n")
	}
	return b.String()
}

// scaled multiplies x and y by k, z by kz, and moves x and y.
func scaled(points []Point, k, kz, east, north float64) []Point {
	var all []Point
	for _, p := range points {
		all = append(all, Point{p.X*k + east, p.Y*k + north, p.Z * kz})
	}
	return all
}

func commas(s string) string { return strings.ReplaceAll(s, ".", ",") }

func read(t *testing.T, text string, s Spec) *Line {
	t.Helper()
	l, err := Read("oval.csv", strings.NewReader(text), s)
	require.NoError(t, err)
	return l
}

// assertPoints holds that two lines are the same within a tolerance in m.
func assertPoints(t *testing.T, want, got []Point, within float64) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		assert.InDelta(t, want[i].X, got[i].X, within, "x of point %d", i)
		assert.InDelta(t, want[i].Y, got[i].Y, within, "y of point %d", i)
		assert.InDelta(t, want[i].Z, got[i].Z, within, "z of point %d", i)
	}
}

const foot = 0.3048 // m, by definition (international yard and pound agreement, 1959)

// The same oval, however it is written.
func TestReadCSV(t *testing.T) {
	flat, high := scaled(oval(60), 1, 0, 0, 0), oval(60)
	for _, c := range []struct {
		name, text string
		spec       Spec
		height     bool
		notes      []string
	}{
		{name: "header", text: write(flat, "x,y\n", "%.4f", ",", 2)},
		{name: "height", text: write(high, "x,y,z\n", "%.4f", ",", 3), height: true},
		{name: "no header", text: write(flat, "", "%.4f", ",", 2), notes: []string{"no header: the columns are taken for x, y"}},
		{name: "no header, height", text: write(high, "", "%.4f", ",", 3), height: true, notes: []string{"no header: the columns are taken for x, y, z"}},
		{name: "byte order mark, end of lines, empty lines", text: "\ufeff" + strings.ReplaceAll(write(flat, "x,y\n\n", "%.4f", ",", 2), "\n", "\r\n") + "\r\n , \r\n"},
		{name: "ends of lines of old", text: strings.ReplaceAll(write(flat, "x,y\n", "%.4f", ",", 2), "\n", "\r")},
		{name: "semicolon", text: write(high, "East [m]; North [m]; Height [m]\n", "%.4f", ";", 3), height: true},
		{name: "tab", text: write(high, "easting\tnorthing\televation\n", "%.4f", "\t", 3), height: true},
		{name: "decimal comma, semicolon", text: commas(write(high, "x/m;y/m;z/m\n", "%.4f", ";", 3)), height: true},
		{name: "decimal comma, tab, no header", text: commas(write(flat, "", "%.4f", "\t", 2)), notes: []string{"no header: the columns are taken for x, y"}},
		{name: "minus sign", text: strings.ReplaceAll(write(flat, "x,y\n", "%.4f", ",", 2), "-", "−")},
		{name: "exponents", text: write(flat, "x,y\n", "%.8e", ",", 2)},
		{name: "quotes", text: write(flat, "\"x\",\"y\"\n", `"%.4f"`, ",", 2)},
		{name: "header in a comment", text: write(high, "# Larkmoor, surveyed\n#x_m,y_m,z_m\n# and on\n", "%.4f", ",", 3), height: true},
		{name: "comment above rows", text: write(flat, "# Larkmoor\n", "%.4f", ",", 2), notes: []string{"no header: the columns are taken for x, y"}},
		{name: "feet in the header", text: write(scaled(high, 1/foot, 1/foot, 0, 0), "x [ft],y [ft],z [ft]\n", "%.5f", ",", 3), height: true},
		{name: "feet and metres", text: write(scaled(high, 1/foot, 1, 0, 0), "x (ft),y (ft),z (m)\n", "%.5f", ",", 3), height: true},
		{name: "z without a unit beside metres", text: write(high, "x [m],y [m],z\n", "%.4f", ",", 3), height: true},
		{name: "feet stated", text: write(scaled(high, 1/foot, 1/foot, 0, 0), "x,y,z\n", "%.5f", ",", 3), spec: Spec{Unit: "ft"}, height: true},
		{name: "kilometres stated, no header", text: write(scaled(flat, 1e-3, 0, 0, 0), "", "%.7f", ",", 2), spec: Spec{Unit: "km"}, notes: []string{"no header: the columns are taken for x, y"}},
		{name: "columns stated", text: write(high, "Pos E,pos n [m],roll\n", "%.4f", ",", 3), spec: Spec{Columns: map[string]string{"x": "pos e", "y": "Pos N", "z": "roll"}}, height: true},
		{name: "one column stated", text: write(flat, "east,up the map\n", "%.4f", ",", 2), spec: Spec{Columns: map[string]string{"y": "up the map"}}},
		{name: "x and y before east and north", text: "north,x,y,east\n" + rowsBetween(flat, "7,", ",8"), notes: []string{`columns not used: "north", "east"`}},
		{name: "width not used", text: "x,y,width\n" + rowsBetween(flat, "", ",12"), notes: []string{`columns not used: "width"`}},
		{name: "height left out", text: write(high, "x,y,z\n", "%.4f", ",", 3), spec: Spec{Columns: map[string]string{"z": "none"}}, notes: []string{`columns not used: "z"`}},
		{name: "height nowhere", text: "x,y,z\n" + rowsBetween(flat, "", ",")},
		{name: "closed ring", text: write(append(flat[:60:60], flat[0]), "x,y\n", "%.4f", ",", 2), notes: []string{"the last point repeats the first and is dropped"}},
		{name: "repeated points", text: write(append([]Point{flat[0], flat[0]}, append(flat[1:60:60], flat[59])...), "x,y\n", "%.4f", ",", 2),
			notes: []string{"points that repeat the one before are dropped: 2 (the first: line 3)"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := read(t, c.text, c.spec)
			want := flat
			if c.height {
				want = high
			}
			assertPoints(t, want, l.Points, 1e-4) // written to 0.1 mm
			assert.Equal(t, c.height, l.HasHeight)
			assert.False(t, l.Geographic)
			assert.Equal(t, c.notes, l.Notes)
			assert.Empty(t, l.Warnings)
			assert.Equal(t, "oval.csv", l.Name)
		})
	}
}

// rowsBetween writes x and y with text around them.
func rowsBetween(points []Point, before, after string) string {
	var b strings.Builder
	for _, p := range points {
		fmt.Fprintf(&b, "%s%.4f,%.4f%s\n", before, p.X, p.Y, after)
	}
	return b.String()
}

// What is written with all digits comes back as it was, bit for bit; a map
// grid's large values too.
func TestRoundTrip(t *testing.T) {
	for _, points := range [][]Point{oval(8), oval(977), scaled(oval(100), 1, 1, 512_345.678, 5_432_109.876)} {
		var b strings.Builder
		b.WriteString("x [m],y [m],z [m]\n")
		for _, p := range points {
			for i, v := range []float64{p.X, p.Y, p.Z} {
				b.WriteString(strconv.FormatFloat(v, 'g', -1, 64) + []string{",", ",", "\n"}[i])
			}
		}
		l := read(t, b.String(), Spec{})
		assert.Equal(t, points, l.Points)
	}
}

// Of a circle of n points, the chord over k steps is 2 R sin(π k/n).
func TestWarnings(t *testing.T) {
	circle := func(radius float64) (points []Point) {
		for i := range 400 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 400)
			points = append(points, Point{X: radius * cos, Y: radius * sin})
		}
		return points
	}
	without := func(points []Point, from, to int) []Point { return append(points[:from:from], points[to:]...) }
	const open = "the line is open: closed with a straight of %.4g m from its last point to its first"
	const gap = "a gap of %.4g m between line %d and line %d (half of the steps are below %.3g m): taken for a straight"
	chord := func(radius float64, k int) float64 { return 2 * radius * math.Sin(math.Pi*float64(k)/400) }
	for _, c := range []struct {
		name   string
		points []Point
		want   []string
	}{
		{"whole", circle(1000), nil},
		{"a bit more than half", circle(1000)[:220], []string{fmt.Sprintf(open, chord(1000, 219))}},
		{"ends closer than 5 %", circle(1000)[:382], nil},
		{"ends further apart than 5 %", circle(1000)[:381], []string{fmt.Sprintf(open, chord(1000, 20))}},
		{"hole of 20 steps", without(circle(1000), 100, 119), nil},
		{"hole of 21 steps", without(circle(1000), 100, 120), []string{fmt.Sprintf(gap, chord(1000, 21), 101, 102, chord(1000, 1))}},
		{"hole below 200 m", without(circle(300), 100, 142), nil},
		{"hole beyond 200 m", without(circle(300), 100, 143), []string{fmt.Sprintf(gap, chord(300, 44), 101, 102, chord(300, 1))}},
		{"holes", without(without(without(without(circle(2000), 250, 275), 200, 225), 150, 175), 100, 125), []string{
			fmt.Sprintf(gap, chord(2000, 26), 101, 102, chord(2000, 1)),
			fmt.Sprintf(gap, chord(2000, 26), 126, 127, chord(2000, 1)),
			fmt.Sprintf(gap, chord(2000, 26), 151, 152, chord(2000, 1)),
			"further gaps like these: 1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, read(t, write(c.points, "x,y\n", "%.6f", ",", 2), Spec{}).Warnings)
		})
	}
}
