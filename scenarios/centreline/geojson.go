package centreline

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"sumpward/scenarios/internal/problem"
	"sumpward/scenarios/units"
)

// maxFeatures is how many features of a FeatureCollection are looked at.
const maxFeatures = 10_000

// object is a GeoJSON object, of RFC 7946, sections 3.1 to 3.3.
type object struct {
	Type        string          `json:"type"`
	Geometry    *object         `json:"geometry"`
	Features    json.RawMessage `json:"features"`
	Coordinates json.RawMessage `json:"coordinates"`
	Properties  json.RawMessage `json:"properties"`
	CRS         json.RawMessage `json:"crs"`
	path        string          // of the object; ends in "." unless empty
}

// readGeoJSON reads the line of a GeoJSON text.
func (w *reading) readGeoJSON(text string, s Spec) {
	w.path = "coordinates" // whatever comes, there are no columns
	var o object
	if err := json.Unmarshal([]byte(text), &o); err != nil {
		w.notJSON(text, err)
		return
	}
	if len(s.Columns) > 0 {
		w.Add(0, "columns", "not for GeoJSON", "leave columns out")
	}
	if o.CRS != nil {
		w.note("crs is passed over: RFC 7946 has none")
	}
	g := w.findLine(&o)
	if g == nil {
		return
	}
	w.path = g.path + "coordinates"
	if g.Type != "LineString" && !w.onlyPart(g) {
		return
	}
	w.readPositions(g.Coordinates)
	w.settleCoordinates(s.Unit)
}

func (w *reading) notJSON(text string, err error) {
	line, what := 0, "not valid JSON ("+err.Error()+")"
	var syntax *json.SyntaxError
	var wrong *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		line = 1 + strings.Count(text[:min(int(syntax.Offset), len(text))], "\n")
	case errors.As(err, &wrong):
		line = 1 + strings.Count(text[:min(int(wrong.Offset), len(text))], "\n")
		what = fmt.Sprintf("not GeoJSON (%s is a JSON %s)", problem.Quoted(wrong.Field), wrong.Value)
	}
	w.Add(line, "", what, "export the line again")
}

// findLine gives the one geometry of a GeoJSON object that can be a line. If
// there is none, or more than one, it says so and gives nil.
func (w *reading) findLine(o *object) *object {
	const allowed = "allowed LineString"
	var rest string // the other types of the file
	var lines, others []*object
	all := w.geometries(o)
	for _, g := range all {
		switch g.Type {
		case "LineString":
			lines = append(lines, g)
		case "Polygon", "MultiLineString":
			others = append(others, g)
		default:
			rest = g.Type
		}
	}
	if lines == nil {
		lines = others
	}
	const keep = "keep one of them in the file"
	switch {
	case w.Len() > 0:
		return nil
	case len(lines) == 0:
		w.Add(0, "", fmt.Sprintf("no line found (got %s, %s)", problem.Quoted(rest), allowed), "export the centre line as a LineString")
		return nil
	case len(lines) > 1:
		w.Add(0, "", fmt.Sprintf("%d lines (got %s, allowed 1)", len(lines), nameLines(lines)), keep)
		return nil
	}
	if name := lines[0].name(); name != "" {
		w.line.Name = units.Shorten(name)
	}
	if len(all) > 1 {
		w.note("other geometries of the file are passed over: %d", len(all)-1)
	}
	return lines[0]
}

// geometries lists the geometries of an object; those of features keep the
// properties of theirs.
func (w *reading) geometries(o *object) (list []*object) {
	switch o.Type {
	case "Feature":
		if o.Geometry == nil {
			return []*object{{Type: "Feature without a geometry"}}
		}
		o.Geometry.path, o.Geometry.Properties = o.path+"geometry.", o.Properties
		return []*object{o.Geometry}
	case "FeatureCollection":
		for i, one := range w.elements(o.Features, "features", maxFeatures) {
			f := object{path: fmt.Sprintf("features[%d].", i)}
			if err := json.Unmarshal(one, &f); err != nil || f.Type != "Feature" {
				w.Add(0, fmt.Sprintf("features[%d]", i), "not a Feature (got "+problem.Quoted(string(one))+")", "")
				continue
			}
			if f.Geometry != nil { // a feature may be without
				list = append(list, w.geometries(&f)...)
			}
		}
		if list == nil {
			return []*object{{Type: "FeatureCollection without a geometry"}}
		}
		return list
	}
	return []*object{o}
}

// name gives the property "name" of the feature; empty if it has none.
func (o *object) name() string {
	var p struct{ Name any }
	if json.Unmarshal(o.Properties, &p) != nil {
		return ""
	}
	name, _ := p.Name.(string)
	return name
}

// nameLines names lines for a message, at most six.
func nameLines(lines []*object) string {
	var names []string
	for i, g := range lines {
		if i == 6 {
			names = append(names, "…")
			break
		}
		name := strings.TrimSuffix(g.path, ".geometry.")
		if own := g.name(); own != "" {
			name += " " + problem.Quoted(own)
		}
		names = append(names, name)
	}
	return strings.Join(names, ", ")
}

// onlyPart takes the only ring of a Polygon, or the only part of a
// MultiLineString, for the line. It reports false if there are several.
func (w *reading) onlyPart(g *object) bool {
	parts := w.elements(g.Coordinates, w.path, 1000)
	switch {
	case w.Len() > 0:
		return false
	case len(parts) == 1:
		g.Coordinates, w.path = parts[0], w.path+"[0]"
		w.note("a %s, read as the line that it holds", g.Type)
		return true
	case g.Type == "Polygon":
		w.Add(0, w.path, fmt.Sprintf("a Polygon with %d rings is an area (allowed 1 ring)", len(parts)), "export the centre line as a LineString")
	default:
		w.Add(0, w.path, fmt.Sprintf("a MultiLineString of %d parts (allowed 1)", len(parts)), "join the parts into one LineString")
	}
	return false
}

// elements gives the elements of a JSON array, at most limit.
func (w *reading) elements(raw json.RawMessage, path string, limit int) (list []json.RawMessage) {
	d := json.NewDecoder(bytes.NewReader(raw))
	if open, err := d.Token(); err != nil || open != json.Delim('[') {
		w.Add(0, path, "not an array (got "+problem.Quoted(string(raw))+")", "export the line again")
		return nil
	}
	for d.More() {
		var one json.RawMessage
		if err := d.Decode(&one); err != nil {
			w.Add(0, path, "can't be read: "+err.Error(), "")
			return nil
		}
		if len(list) == limit {
			w.Add(0, path, fmt.Sprintf("too many elements (got more than %d)", limit), "keep one line in the file, with a point every metre or two")
			return nil
		}
		list = append(list, one)
	}
	return list
}

// readPositions reads the coordinates of a line.
func (w *reading) readPositions(raw json.RawMessage) {
	more := 0
	for i, one := range w.elements(raw, w.path, MaxPoints) {
		var position []json.RawMessage
		if len(one) > 1000 || json.Unmarshal(one, &position) != nil || len(position) < 2 {
			w.Add(0, fmt.Sprintf("%s[%d]", w.path, i), "not a position (got "+problem.Quoted(string(one))+", allowed two or three numbers)", "")
			continue
		}
		if len(position) > 3 {
			more++
		}
		var v [3]float64
		for axis, x := range position[:min(len(position), 3)] {
			number, err := strconv.ParseFloat(string(x), 64)
			if err != nil {
				w.Add(0, fmt.Sprintf("%s[%d][%d]", w.path, i, axis), "not a number (got "+problem.Quoted(string(x))+")", "")
				number = math.NaN()
			}
			v[axis] = number
		}
		w.addPoint(v, len(position) > 2, i)
	}
	if more > 0 {
		w.note("positions with more than three numbers, of which the rest is passed over: %d", more)
	}
}

// settleCoordinates settles whether coordinates are longitude and latitude.
// RFC 7946 allows nothing else, but many exports hold metres: they are told by
// values that are no angles. A few such values among points that lie within
// 1° of each other are mistakes.
func (w *reading) settleCoordinates(unit string) {
	w.scale = [3]float64{1, 1, 1}
	if m, ok := factor(unit); ok {
		if w.line.Geographic = m == 0; m > 0 {
			w.scale = [3]float64{m, m, m}
		}
		return
	}
	inside := 0
	low, high := Point{X: math.Inf(1), Y: math.Inf(1)}, Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range w.points {
		if math.Abs(p.X) <= 180 && math.Abs(p.Y) <= 90 {
			inside++
			low.X, high.X = min(low.X, p.X), max(high.X, p.X)
			low.Y, high.Y = min(low.Y, p.Y), max(high.Y, p.Y)
		}
	}
	together := high.X-low.X < 1 && high.Y-low.Y < 1
	w.line.Geographic = inside == len(w.points) || together && 2*inside >= len(w.points)
	if !w.line.Geographic {
		w.note("coordinates beyond ±180 and ±90 are no longitude and latitude: taken as metres")
	}
}
