package centreline

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/internal/problem"
)

// row replaces one line of a text, from 1.
func row(text string, line int, with string) string {
	lines := strings.Split(text, "\n")
	lines[line-1] = with
	return strings.Join(lines, "\n")
}

// wrongFiles gives each with the whole of its message. The lengths in degrees
// are the perimeter of the ellipse in them (regression).
func wrongFiles() []wrongFile {
	flat := scaled(oval(60), 1, 0, 0, 0)
	geo := inDegrees(oval(60), 7.2, 50.1)
	metres, heights := write(flat, "x,y\n", "%.3f", ",", 2), write(oval(60), "x,y,z\n", "%.3f", ",", 3)
	degreesCSV := write(geo, "lon,lat\n", "%.6f", ",", 2)
	line := lineString(geo, 2)
	part := strings.TrimSuffix(strings.SplitN(line, `"coordinates": `, 2)[1], "}")
	named := func(name string) string {
		return `{"type":"Feature","properties":{"name":"` + name + `"},"geometry":` + line + `}`
	}
	swapped := make([]Point, len(geo))
	for i, p := range inDegrees(flat, 144.9, -37.8) {
		swapped[i] = Point{X: p.Y, Y: p.X}
	}
	var words, bad string
	for i, p := range flat {
		words += fmt.Sprintf("%.3f,off%d\n", p.X, i)
	}
	for i := range 3 {
		bad += fmt.Sprintf("lap%d,?\n", i)
	}
	return []wrongFile{
		// the file
		{"empty", "\ufeff \n", Spec{}, "c: the file is empty; export the line again"},
		{"binary", "x,y\n1,2\n\x00", Spec{}, "c:3: not a text file (got the byte 0x00); save it as text in UTF-8 (CSV or GeoJSON)"},
		{"UTF-16", "\xff\xfex\x00,\x00y\x00", Spec{}, "c: not UTF-8 (got UTF-16); save it as text in UTF-8 (CSV or GeoJSON)"},
		{"ISO 8859-1", "x,y\n# H\xf6he\n", Spec{}, "c:2: not UTF-8 (got the byte 0xf6); save it as text in UTF-8 (CSV or GeoJSON)"},
		{"unit not known", metres, Spec{Unit: "furlong"}, `c: unit: unit not known (got "furlong", allowed deg, km, mi, mm, cm, m, in, ft, µm); say unit: m`},
		{"columns not known", metres, Spec{Columns: map[string]string{"w": "x", "x": "none"}},
			`c: columns: no such column (got "w", allowed x, y, z)` + "\n" + "c: columns: x is needed; name it as it stands in the header\n" +
				`c:1: x: no such column in the header (got "x", "y"); name it with columns: {x: …}, as it stands in the header`},

		{"long line", "x,y\n" + strings.Repeat("1,", 40_000), Spec{}, "c:2: line too long (got 80000 bytes, allowed 65536); write one point a line"},

		// the header
		{"title", "Larkmoor\n" + metres, Spec{}, `c:1: one column (got "Larkmoor", allowed two and more, between commas, semicolons or tabs); begin a line of comment with #`},
		{"comments only", "# a\n# b\n", Spec{}, "c: no points found; write one point a line, such as 12.5,-3.0"},
		{"no such columns", "a,b\n1,2\n", Spec{}, `c:1: x: no such column in the header (got "a", "b"); name it with columns: {x: …}, as it stands in the header` + "\n" +
			`c:1: y: no such column in the header (got "a", "b"); name it with columns: {y: …}, as it stands in the header`},
		{"x and north", "x,north\n1,2\n", Spec{}, `c:1: y: no such column in the header (got "x", "north"); name it with columns: {y: …}, as it stands in the header`},
		{"stated name not there", heights, Spec{Columns: map[string]string{"z": "Höhe"}}, `c:1: z: no column of that name (got "Höhe", allowed "x", "y", "z"); copy the name from the header`},
		{"stated without a header", write(flat, "", "%.3f", ",", 2), Spec{Columns: map[string]string{"x": "x"}}, "c:1: columns: the file has no header whose names could be meant; put a line such as x,y,z above the rows, or leave columns out"},
		{"twice", "x [m],x [ft],y\n1,2,3\n", Spec{}, `c:1: x: 2 columns could be it (got "x [m]", "x [ft]"); rename all but one`},
		{"one for two", "a,b\n1,2\n", Spec{Columns: map[string]string{"x": "a", "y": "A"}}, `c:1: y: two axes share one column (got "a"); name each of them with columns: {x: …, y: …}`},
		{"units of the header", "x [yard],y [m],z [deg]\n1,2,3\n", Spec{}, `c:1: x: unit not known (got "yard", allowed deg, km, mi, mm, cm, m, in, ft, µm)` + "\n" +
			"c:1: z: a height in degrees (allowed m, ft, …); name the column of the height with columns: {z: …}"},
		{"unit of one", "x [ft],y,z\n1,2,3\n", Spec{}, `c:1: y: unit not known (got none beside one in "ft"); write it into the header, such as y [m]` + "\n" +
			`c:1: z: unit not known (got none beside one in "ft"); write it into the header, such as z [m]`},
		{"two units", "x [m],y [m]\n1,2\n", Spec{Unit: "km"}, `c:1: x: the header says "m", unit says "km"; leave unit out, or take it out of the header` + "\n" +
			`c:1: y: the header says "m", unit says "km"; leave unit out, or take it out of the header`},
		{"degrees and metres", "x [deg],y [m]\n1,2\n", Spec{}, "c:1: one of x and y is in degrees, the other isn't; give both in degrees (deg) or both in m"},
		{"decimal comma with comma", "1,5,2,5\n", Spec{}, "c:1: no header, and not two or three columns (got 4); put a line such as x,y,z above the rows; for decimal commas, put semicolons between the columns"},

		// rows
		{"several at once", row(row(row(row(metres, 5, "?,"), 9, "1.5"), 20, "1,2,3"), 30, "1e999,0x10"), Spec{},
			`c:5: x: not a number (got "?")` + "\n" + `c:5: y: not a number (got "")` + "\n" + `c:9: y: not a number (got "")` + "\n" +
				"c:20: too many fields (got 3, allowed 2); for decimal commas, put semicolons between the columns\n" +
				`c:30: x: not a number (got "1e999")` + "\n" + `c:30: y: not a number (got "0x10")`},
		{"not finite", row(metres, 5, "NaN,+Inf"), Spec{}, `c:5: x: not a number (got "NaN")` + "\n" + `c:5: y: not a number (got "+Inf")`},
		{"row of units", row(metres, 2, "m,m"), Spec{}, `c:2: x: a unit where a number is wanted (got "m"); write it into the header, such as x [m]` + "\n" +
			`c:2: y: a unit where a number is wanted (got "m"); write it into the header, such as y [m]`},
		{"grouped digits", row(strings.ReplaceAll(metres, ",", ";"), 7, "1,234.5;0"), Spec{}, `c:7: x: not a number (got "1,234.5")`},
		{"decimal sign changes", row(strings.ReplaceAll(metres, ",", ";"), 7, "234,5;0"), Spec{},
			`c:7: x: the decimal sign changes within the file (got "234,5", the numbers before have "."); write every number with the same decimal sign and no grouping of digits`},
		{"quote", row(metres, 7, `"12,0`), Spec{}, "c:7: a quote is opened and not closed, or stands within a field; take the quotes out"},
		{"many", "x,y\n" + words, Spec{}, wordsMessage(60)},
		{"out of range", row(row(heights, 5, "2e8,0,-1200"), 6, "0,-1.5e8,99999"), Spec{}, "c:5: x: out of range (got 2e+08 m, allowed -1e+08 to 1e+08); check the value and its unit\n" +
			"c:5: z: out of range (got -1200 m, allowed -1000 to 10000); check the value and its unit\n" +
			"c:6: y: out of range (got -1.5e+08 m, allowed -1e+08 to 1e+08); check the value and its unit\n" +
			"c:6: z: out of range (got 99999 m, allowed -1000 to 10000); check the value and its unit"},
		{"no angle", row(row(degreesCSV, 5, "190,50"), 6, "7,88"), Spec{}, "c:5: x: out of range (got 190 degrees, allowed -180 to 180); x is the longitude, y the latitude\n" +
			"c:6: y: out of range (got 88 degrees, allowed -85 to 85); x is the longitude, y the latitude"},
		{"mixed height", row(row(heights, 5, "1,2,"), 9, "1,2"), Spec{}, "c:5: z: height missing here and in 1 more of 60 points; fill it in, or leave the column out with columns: {z: none}"},
		{"too many points", "x,y\n" + strings.Repeat("1,2\n", MaxPoints+1), Spec{}, "c: too many points (got more than 100000); keep one point every metre or two"},

		// the shape
		{"no rows", "x,y\n", Spec{}, "c: too few points (got 0, allowed 8 and more); a corner needs three or more"},
		{"too few", write(oval(7), "x,y\n", "%.3f", ",", 2), Spec{}, "c: too few points (got 7, allowed 8 and more); a corner needs three or more"},
		{"too few with the closing one", write(append(oval(7), oval(1)...), "x,y\n", "%.3f", ",", 2), Spec{}, "c: too few points (got 7, allowed 8 and more); a corner needs three or more"},
		{"points on a heap", "x,y\n" + strings.Repeat("1.0,2.0\n", 60), Spec{}, "c: not the length of a circuit (got 0 m, allowed 200 m to 50 km); say unit: deg if x is the longitude and y the latitude, else check the unit, such as unit: km"},
		{"few besides repeats", "x,y\n0,0\n0,0\n0,0\n0,0\n300,0\n300,0\n300,300\n0,300\n0,0\n", Spec{}, "c: too few points (got 4, allowed 8 and more); a corner needs three or more"},
		{"kilometres as metres", write(scaled(flat, 1e-3, 0, 400, 0), "x,y\n", "%.6f", ",", 2), Spec{}, "c: not the length of a circuit (got 1.586 m, allowed 200 m to 50 km); check the unit, such as unit: ft"},
		{"degrees as metres", write(scaled(geo, 1, 0, 0, 0), "x,y\n", "%.6f", ",", 2), Spec{}, "c: not the length of a circuit (got 0.01957 m, allowed 200 m to 50 km); say unit: deg if x is the longitude and y the latitude, else check the unit, such as unit: km"},
		{"millimetres as metres", write(scaled(flat, 1e3, 0, 0, 0), "x,y\n", "%.3f", ",", 2), Spec{}, "c: not the length of a circuit (got more than 1000 km, allowed 200 m to 50 km); check the unit, such as unit: ft"},
		{"too long", write(scaled(flat, 40, 0, 0, 0), "x,y\n", "%.3f", ",", 2), Spec{}, "c: not the length of a circuit (got 63.4 km, allowed 200 m to 50 km); check the unit, such as unit: ft"},
		{"metres as degrees", write(scaled(flat, 0.1, 0, 0, 0), "x,y\n", "%.3f", ",", 2), Spec{Unit: "deg"}, "c: not the length of a circuit (got more than 1000 km, allowed 200 m to 50 km); x is the longitude, y the latitude"},

		// GeoJSON
		{"not JSON", "{\n\"type\": \"LineString\",\n\"coordinates\": [[1,2],]}", Spec{}, "c:3: not valid JSON (invalid character ']' looking for beginning of value); export the line again"},
		{"cut off", line[:200], Spec{}, "c:1: not valid JSON (unexpected end of JSON input); export the line again"},
		{"not GeoJSON", "{\n\"type\": 7}", Spec{}, `c:2: not GeoJSON ("type" is a JSON number); export the line again`},
		{"no type", "{}", Spec{}, `c: no line found (got "", allowed LineString); export the centre line as a LineString`},
		{"point", `{"type":"Point","coordinates":[1,2]}`, Spec{}, `c: no line found (got "Point", allowed LineString); export the centre line as a LineString`},
		{"feature without a geometry", `{"type":"Feature","geometry":null,"properties":null}`, Spec{}, `c: no line found (got "Feature without a geometry", allowed LineString); export the centre line as a LineString`},
		{"empty collection", `{"type":"FeatureCollection","features":[]}`, Spec{}, `c: no line found (got "FeatureCollection without a geometry", allowed LineString); export the centre line as a LineString`},
		{"collection without features", `{"type":"FeatureCollection"}`, Spec{}, `c: features: not an array (got ""); export the line again`},
		{"no feature", `{"type":"FeatureCollection","features":[7,{"type":"Point"}]}`, Spec{}, `c: features[0]: not a Feature (got "7")` + "\n" + `c: features[1]: not a Feature (got "{\"type\":\"Point\"}")`},
		{"two lines", `{"type":"FeatureCollection","features":[` + named("Larkmoor") + "," + named("") + "]}", Spec{}, `c: 2 lines (got features[0] "Larkmoor", features[1], allowed 1); keep one of them in the file`},
		{"seven lines", `{"type":"FeatureCollection","features":[` + strings.TrimSuffix(strings.Repeat(named("")+",", 7), ",") + "]}", Spec{},
			"c: 7 lines (got features[0], features[1], features[2], features[3], features[4], features[5], …, allowed 1); keep one of them in the file"},
		{"area", `{"type":"Polygon","coordinates":[` + part + "," + part + "]}", Spec{}, "c: coordinates: a Polygon with 2 rings is an area (allowed 1 ring); export the centre line as a LineString"},
		{"parts", `{"type":"Feature","properties":null,"geometry":{"type":"MultiLineString","coordinates":[` + part + "," + part + "," + part + "]}}", Spec{}, "c: geometry.coordinates: a MultiLineString of 3 parts (allowed 1); join the parts into one LineString"},
		{"columns for GeoJSON", line, Spec{Columns: map[string]string{"x": "lon"}}, "c: columns: not for GeoJSON; leave columns out"},
		{"no coordinates", `{"type":"LineString"}`, Spec{}, `c: coordinates: not an array (got ""); export the line again`},
		{"positions", `{"type":"LineString","coordinates":[[1,2],7,[3],["4",null],[5,[6]],[[7,8],[9,10]]]}`, Spec{},
			`c: coordinates[1]: not a position (got "7", allowed two or three numbers)` + "\n" +
				`c: coordinates[2]: not a position (got "[3]", allowed two or three numbers)` + "\n" +
				`c: coordinates[3][0]: not a number (got "\"4\"")` + "\n" + `c: coordinates[3][1]: not a number (got "null")` + "\n" +
				`c: coordinates[4][1]: not a number (got "[6]")` + "\n" +
				`c: coordinates[5][0]: not a number (got "[7,8]")` + "\n" + `c: coordinates[5][1]: not a number (got "[9,10]")`},
		{"a slip among degrees", strings.Replace(line, "[7.", "[720.", 1), Spec{}, "c: coordinates[0][0]: out of range (got 720.204 degrees, allowed -180 to 180); x is the longitude, y the latitude"},
		{"mixed height of a Polygon", `{"type":"Polygon","coordinates":[` + strings.Replace(part, "]", ",100]", 1) + "]}", Spec{}, "c: coordinates[0][1][2]: height missing here and in 58 more of 60 points; give every point a height, or none"},
		{"latitude first", lineString(swapped, 2), Spec{}, "c: not the length of a circuit (got 0.01675 m, allowed 200 m to 50 km); longitude comes first, then latitude"},
		{"metres that look like degrees", lineString(scaled(flat, 0.25, 0, 0, 0), 2), Spec{}, "c: not the length of a circuit (got more than 1000 km, allowed 200 m to 50 km); longitude comes first; say unit: m if the coordinates are metres"},
	}
}

type wrongFile struct {
	name, text string
	spec       Spec
	want       string
}

func wordsMessage(n int) string {
	var b strings.Builder
	for i := range problem.Most {
		fmt.Fprintf(&b, "c:%d: y: not a number (got \"off%d\")\n", i+2, i)
	}
	fmt.Fprintf(&b, "c: and %d more problems", n-problem.Most)
	return b.String()
}

func TestWrongFiles(t *testing.T) {
	for _, c := range wrongFiles() {
		t.Run(c.name, func(t *testing.T) {
			l, err := Read("c", strings.NewReader(c.text), c.spec)
			require.Error(t, err)
			assert.Nil(t, l)
			assert.Equal(t, c.want, err.Error())
			var list Errors
			require.ErrorAs(t, err, &list)
			var one *Error
			require.ErrorAs(t, err, &one)
			assert.Equal(t, "c", one.Name)
		})
	}
}

// A file that is too large is refused after MaxBytes, one that can't be read
// says why.
func TestReaders(t *testing.T) {
	endless := io.MultiReader(strings.NewReader("x,y\n"), iotest.DataErrReader(spaces{}))
	_, err := Read("c", endless, Spec{})
	assert.EqualError(t, err, "c: file too large (got more than 20 MB); keep the centre line alone")
	_, err = Read("c", iotest.ErrReader(errors.New("disk gone")), Spec{})
	assert.EqualError(t, err, "c: can't be read: disk gone")
}

// spaces is an endless file of blanks.
type spaces struct{}

func (spaces) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

// MaxPoints are read.
func TestMostPoints(t *testing.T) {
	l := read(t, write(scaled(oval(MaxPoints), 10, 0, 0, 0), "", "%.4f", ",", 2), Spec{})
	assert.Len(t, l.Points, MaxPoints)
}
