// Package centreline reads the centre line of a circuit from a CSV file or
// from GeoJSON into points in metres.
//
// What can't be told from the file and isn't stated in the Spec is refused, not
// guessed. Whatever is decided on the way is listed in Line.Notes, whatever
// looks wrong in Line.Warnings.
package centreline

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"sumpward/scenarios/internal/problem"
)

// What a file may hold.
const (
	MaxBytes  = 20_000_000 // of a file
	MaxPoints = 100_000    // of a line
	MinPoints = 8          // of a line, after those that repeat are dropped
)

// NotUsed in Spec.Columns leaves the column of z out.
const NotUsed = "none"

// Spec says how to read a centre line. What it leaves open is recognised from
// the file.
type Spec struct {
	// Columns names the columns of a CSV file: "x", "y" and "z" to the header
	// of each, with or without its unit. Letter case and blanks don't count.
	Columns map[string]string

	// Unit is the unit of x, y and z where the header of a CSV file has none:
	// "m" (the default), "ft", "km" …, or "deg" for x the longitude, y the
	// latitude and z in m. In GeoJSON it overrides what the values look like.
	Unit string
}

// Point is a point of the line in m in a local plane: X to the east, Y to the
// north, Z up.
type Point struct{ X, Y, Z float64 }

// Line is a closed line: the last point is followed by the first, which isn't
// repeated. It has MinPoints to MaxPoints points at least 1 mm apart from their
// neighbours. Points in metres keep the values of the file; longitude and
// latitude are measured from the middle of the line.
type Line struct {
	Name       string // of the feature in GeoJSON that has one, else of the file
	Points     []Point
	Geographic bool // read from longitude and latitude
	HasHeight  bool // Z was read; else it is 0
	Notes      []string
	Warnings   []string
}

// Read reads the centre line in r. name is what messages call the file.
//
// A file that begins with "{" is GeoJSON (RFC 7946): a LineString, alone, in a
// Feature, or as the only one of a FeatureCollection. A Polygon without holes
// is taken for the line that bounds it, and a MultiLineString of one part for
// that part. Coordinates are longitude and latitude (WGS 84) in degrees and
// height in m; if their values can't be that, they are metres.
//
// Any other file is CSV: x, y and maybe z, delimited by comma, semicolon or
// tab, with or without a header; with the latter two delimiters, a decimal
// comma too. The header names x and y, east and north, or longitude and
// latitude, with or without a unit ("x [m]", "x/m", "x_m"), and z, height,
// elevation or altitude. Lines that begin with "#" are comments, or the header.
//
// Points less than 1 mm from the one before are dropped, and so is a last
// point that repeats the first. The closed line, seen from above, is 200 m to
// 50 km long. A step that is long beside the others, or that closes the line,
// gives a warning.
//
// On failure the error is of type Errors and holds every problem that could be
// told, up to 20. The line is nil then.
func Read(name string, r io.Reader, s Spec) (*Line, error) {
	w := &reading{Found: problem.Found{Name: name}, line: &Line{Name: name}}
	s.check(&w.Found)
	if text, ok := w.text(r); ok {
		if strings.HasPrefix(strings.TrimSpace(text), "{") {
			w.readGeoJSON(text, s)
		} else {
			w.readCSV(text, s)
		}
		w.toMetres()
	}
	if err := w.Err(); err != nil {
		return nil, err
	}
	w.finish()
	if err := w.Err(); err != nil {
		return nil, err
	}
	return w.line, nil
}

// reading is a line while it is read: its points in the units of the file.
type reading struct {
	problem.Found
	line   *Line
	points []Point
	at     []int      // line (CSV) or index (GeoJSON) of each point
	noZ    []bool     // points without a height
	path   string     // of the coordinates in GeoJSON; empty for CSV
	scale  [3]float64 // to m; not used for longitude and latitude
}

var axes = []string{"x", "y", "z"}

// addPoint adds a point. It reports false when there are too many.
func (w *reading) addPoint(v [3]float64, hasZ bool, at int) bool {
	if len(w.points) == MaxPoints {
		w.Add(0, "", fmt.Sprintf("too many points (got more than %d)", MaxPoints), "keep one point every metre or two")
		return false
	}
	w.points = append(w.points, Point{v[0], v[1], v[2]})
	w.at, w.noZ = append(w.at, at), append(w.noZ, !hasZ)
	return true
}

// addAt adds a problem of one value of point i.
func (w *reading) addAt(i, axis int, what, hint string) {
	if w.path == "" {
		w.Add(w.at[i], axes[axis], what, hint)
		return
	}
	w.Add(0, fmt.Sprintf("%s[%d][%d]", w.path, w.at[i], axis), what, hint)
}

// place names a point for a message.
func (w *reading) place(at int) string {
	if w.path == "" {
		return fmt.Sprintf("line %d", at)
	}
	return fmt.Sprintf("%s[%d]", w.path, at)
}

func (w *reading) note(format string, args ...any) {
	w.line.Notes = append(w.line.Notes, fmt.Sprintf(format, args...))
}

func (w *reading) warn(format string, args ...any) {
	w.line.Warnings = append(w.line.Warnings, fmt.Sprintf(format, args...))
}

// text reads the whole of r as UTF-8. It reports false if that can't be done.
func (w *reading) text(r io.Reader) (string, bool) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	text := strings.TrimPrefix(string(data), "\ufeff")
	const save = "save it as text in UTF-8 (CSV or GeoJSON)"
	switch i, broken := strings.IndexFunc(text, isBinary), problem.NotUTF8(text); {
	case err != nil:
		w.Add(0, "", "can't be read: "+err.Error(), "")
	case len(data) > MaxBytes:
		w.Add(0, "", fmt.Sprintf("file too large (got more than %d MB)", MaxBytes/1_000_000), "keep the centre line alone")
	case strings.TrimSpace(text) == "":
		w.Add(0, "", "the file is empty", "export the line again")
	case strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff"):
		w.Add(0, "", "not UTF-8 (got UTF-16)", save)
	case i >= 0:
		w.Add(1+strings.Count(text[:i], "\n"), "", fmt.Sprintf("not a text file (got the byte 0x%02x)", text[i]), save)
	case broken >= 0:
		w.Add(1+strings.Count(text[:broken], "\n"), "", fmt.Sprintf("not UTF-8 (got the byte 0x%02x)", text[broken]), save)
	default:
		return text, true
	}
	return "", false
}

func isBinary(r rune) bool {
	return r < ' ' && !slices.Contains([]rune("\t\n\r\f"), r)
}
