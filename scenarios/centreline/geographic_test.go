package centreline

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const radian = math.Pi / 180

// Lengths on WGS 84. The quarter meridian is 10,001,965.729 m, a degree of the
// parallel at 45° 78.847 km, of the meridian about 45° 111.132 km; a degree at
// the equator 111,319.49 m along, 110,574 m across (tables of the ellipsoid, from
// memory, to the digits given).
func TestArcs(t *testing.T) {
	quarter := 0.0
	for i := range 90 {
		quarter += meridianArc(float64(i)*radian, float64(i+1)*radian)
	}
	assert.InDelta(t, 10_001_965.729, quarter, 1e-3)
	assert.InDelta(t, 111_132, meridianArc(44.5*radian, 45.5*radian), 0.5)
	assert.InDelta(t, 78_847, primeVerticalRadius(45*radian)*math.Cos(45*radian)*radian, 0.5)
	assert.InDelta(t, 111_319.49, primeVerticalRadius(0)*radian, 0.005)
	assert.InDelta(t, 110_574, meridianArc(-0.5*radian, 0.5*radian), 0.5)
	assert.InDelta(t, semiMajor*math.Sqrt(1-eccentricity2), semiMajor*(1-flattening), 1e-6) // b, both ways
}

// space gives the place in m of a point on the ellipsoid in earth-centred axes,
// which is exact.
func space(lon, lat float64) [3]float64 {
	n := primeVerticalRadius(lat * radian)
	sin, cos := math.Sincos(lat * radian)
	return [3]float64{n * cos * math.Cos(lon*radian), n * cos * math.Sin(lon*radian), n * (1 - eccentricity2) * sin}
}

// arc gives the distance s along the ellipsoid between two points in degrees,
// from the straight one and the radius of curvature R in their direction α:
//
//	s = d (1 + d²/(24 R²))    1/R = cos² α/M + sin² α/N (Euler)
func arc(a, b Point) float64 {
	p, q := space(a.X, a.Y), space(b.X, b.Y)
	d := math.Sqrt(math.Pow(p[0]-q[0], 2) + math.Pow(p[1]-q[1], 2) + math.Pow(p[2]-q[2], 2))
	phi := (a.Y + b.Y) / 2 * radian
	m, n := meridianRadius(phi), primeVerticalRadius(phi)
	north, east := m*(b.Y-a.Y), n*math.Cos(phi)*math.Remainder(b.X-a.X, 360)
	r := (north*north + east*east) / (north*north/m + east*east/n)
	return d * (1 + d*d/(24*r*r))
}

// On the map, distances between any two of many points about a middle are those
// on the ellipsoid, within the bound that project states.
func TestProjectKeepsDistances(t *testing.T) {
	for _, lat := range []float64{0, -37.4, 50.33, 67, -84} {
		for _, lon := range []float64{-0.3, 6.95, 144.97, -179.99, 179.999} {
			for radius, bound := range map[float64]float64{2500: 1.0e-7, 10_000: 1.3e-6, 25_000: 8e-6} {
				var degrees []Point
				for i := range 24 { // two rings, of which the outer has the radius
					r := radius * []float64{1, 0.4}[i%2]
					sin, cos := math.Sincos(float64(i) * math.Pi / 12)
					degrees = append(degrees, Point{
						X: math.Remainder(lon+r*cos/(6.39e6*math.Cos(lat*radian))/radian, 360),
						Y: lat + r*sin/6.39e6/radian,
						Z: 50})
				}
				flat := append([]Point(nil), degrees...)
				project(flat)
				worst := 0.0
				for i := range flat {
					for j := range i {
						true := arc(degrees[i], degrees[j])
						worst = max(worst, math.Abs(distance(flat[i], flat[j])/true-1))
					}
				}
				assert.LessOrEqual(t, worst, bound, "latitude %g, longitude %g, radius %g", lat, lon, radius)
				if lat < 60 && lat > -60 {
					assert.Greater(t, flat[0].X, 0.9*radius, "the first point lies in the east")
					assert.Greater(t, flat[6].Y, 0.9*radius, "the seventh lies in the north")
				}
				assert.Equal(t, 50.0, flat[0].Z)
			}
		}
	}
}

// The rest of the error is the scale of a transverse Mercator map, which is known:
// over a line from x1 to x2 its mean is 1 + (x1² + x1 x2 + x2²)/(6 M N). With that
// taken out, 1e-9 is left at most.
//
// Source: Snyder, eq. 8-11, cut after A² and integrated (derived).
func TestProjectHasTheScaleOfTransverseMercator(t *testing.T) {
	for _, lat := range []float64{0, -37.4, 50.33, 67} {
		var degrees []Point
		for i := range 24 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 12)
			degrees = append(degrees, Point{X: 7 + 25_000*cos/(6.39e6*math.Cos(lat*radian))/radian, Y: lat + 25_000*sin/6.39e6/radian})
		}
		flat := append([]Point(nil), degrees...)
		project(flat)
		square := meridianRadius(lat*radian) * primeVerticalRadius(lat*radian)
		for i, a := range flat {
			for j := range i {
				b := flat[j]
				scale := 1 + (a.X*a.X+a.X*b.X+b.X*b.X)/(6*square)
				true := arc(degrees[i], degrees[j])
				assert.InDelta(t, 1, distance(a, b)/scale/true, 1e-9, "latitude %g, %d to %d", lat, i, j)
			}
		}
	}
}

// inDegrees puts points in m near a place, close enough for a test of reading.
func inDegrees(points []Point, lon, lat float64) (all []Point) {
	for _, p := range points {
		all = append(all, Point{
			lon + p.X/(primeVerticalRadius(lat*radian)*math.Cos(lat*radian))/radian,
			lat + p.Y/meridianRadius(lat*radian)/radian,
			p.Z})
	}
	return all
}

// lineString writes points as a GeoJSON LineString.
func lineString(points []Point, columns int) string {
	rows := strings.Split(strings.TrimSpace(write(points, "", "%.9f", ",", columns)), "\n")
	return `{"type": "LineString", "coordinates": [[` + strings.Join(rows, "], [") + `]]}`
}

// Longitude and latitude give the same oval as metres do; a latitude that
// changes by 0.002° shears the test's own degrees by some 0.01 m.
func TestReadGeographic(t *testing.T) {
	flat, high := scaled(oval(60), 1, 0, 0, 0), oval(60)
	geo, geoHigh := inDegrees(flat, 7.2, 50.1), inDegrees(high, 7.2, 50.1)
	line, lineHigh := lineString(geo, 2), lineString(geoHigh, 3)
	feature := func(name, geometry string) string {
		return fmt.Sprintf(`{"type": "Feature", "properties": %s, "geometry": %s}`, name, geometry)
	}
	collection := func(features ...string) string {
		return `{"type": "FeatureCollection", "features": [` + strings.Join(features, ", ") + `]}`
	}
	polygon := strings.Replace(strings.Replace(strings.Replace(line, "LineString", "Polygon", 1), "[[", "[[[", 1), "]]", "]]]", 1)
	point := `{"type": "Point", "coordinates": [7.2, 50.1]}`
	for _, c := range []struct {
		name, text, called string
		spec               Spec
		height, metres     bool
		notes              []string
	}{
		{name: "header", text: write(geo, "lon,lat\n", "%.9f", ",", 2)},
		{name: "header, height", text: write(geoHigh, "Longitude [deg];Latitude [deg];Altitude [m]\n", "%.9f", ";", 3), height: true},
		{name: "header, height without a unit", text: write(geoHigh, "longitude,latitude,ele\n", "%.9f", ",", 3), height: true},
		{name: "header, height in feet", text: write(scaled(geoHigh, 1, 1/foot, 0, 0), "longitude,latitude,alt_ft\n", "%.9f", ",", 3), height: true},
		{name: "degrees stated", text: write(geoHigh, "", "%.9f", ",", 3), spec: Spec{Unit: "deg"}, height: true, notes: []string{"no header: the columns are taken for longitude, latitude, height"}},
		{name: "x and y in degrees", text: write(geo, "x [°],y [°]\n", "%.9f", ",", 2)},
		{name: "LineString", text: line},
		{name: "LineString, height", text: "\ufeff \n" + lineHigh, height: true},
		{name: "Feature", text: feature(`{"name": "Larkmoor"}`, line), called: "Larkmoor"},
		{name: "Feature without properties", text: feature("null", line)},
		{name: "Feature whose name is a number", text: feature(`{"name": 7}`, line)},
		{name: "FeatureCollection", text: collection(feature("null", point), `{"type": "Feature", "properties": {}, "geometry": null}`, feature(`{"name": "Larkmoor\u001b[31m"}`, line), feature("null", polygon)), called: "Larkmoor?[31m",
			notes: []string{"other geometries of the file are passed over: 2"}},
		{name: "Polygon", text: polygon, notes: []string{"a Polygon, read as the line that it holds"}},
		{name: "MultiLineString of one", text: strings.Replace(polygon, "Polygon", "MultiLineString", 1), notes: []string{"a MultiLineString, read as the line that it holds"}},
		{name: "four numbers", text: strings.Replace(lineHigh, "]]", ", 12]]", 1), height: true, notes: []string{"positions with more than three numbers, of which the rest is passed over: 1"}},
		{name: "crs", text: strings.Replace(line, "{", `{"crs": {"type": "name"}, `, 1), notes: []string{"crs is passed over: RFC 7946 has none"}},
		{name: "metres", text: lineString(high, 3), height: true, metres: true, notes: []string{"coordinates beyond ±180 and ±90 are no longitude and latitude: taken as metres"}},
		{name: "metres stated", text: lineString(high, 3), spec: Spec{Unit: "m"}, height: true, metres: true},
		{name: "kilometres stated", text: lineString(scaled(flat, 1e-3, 0, 0, 0), 2), spec: Spec{Unit: "km"}, metres: true},
		{name: "degrees about 180°", text: acrossTheDateLine(flat)},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := read(t, c.text, c.spec)
			want, called := flat, c.called
			if c.height {
				want = high
			}
			if called == "" {
				called = "oval.csv"
			}
			assertPoints(t, want, l.Points, 0.02)
			assert.Equal(t, c.height, l.HasHeight)
			assert.Equal(t, !c.metres, l.Geographic)
			assert.Equal(t, c.notes, l.Notes)
			assert.Empty(t, l.Warnings)
			assert.Equal(t, called, l.Name)
		})
	}
}

// Metres may lie within ±180 and ±90 for the most part.
func TestMetresNearTheOrigin(t *testing.T) {
	flat := scaled(oval(60), 0.65, 0, 0, 0)
	for i := range flat {
		flat[i].Y *= 0.6 // ± 78 m
	}
	l := read(t, lineString(flat, 2), Spec{})
	assert.False(t, l.Geographic)
	assertPoints(t, flat, l.Points, 1e-8)
}

func acrossTheDateLine(points []Point) string {
	all := inDegrees(points, 179.9999, 50.1)
	for i, p := range all {
		all[i].X = math.Remainder(p.X, 360)
	}
	return lineString(all, 2)
}

// A Feature as RFC 7946, section 3.2, asks for it: further members anywhere, a
// bounding box, an identifier.
func TestReadFeatureOfRFC7946(t *testing.T) {
	const text = `{
  "type": "Feature",
  "id": "f1",
  "bbox": [10.0, 50.0, 10.01, 50.01],
  "geometry": {
    "type": "LineString",
    "coordinates": [
      [10.000, 50.000], [10.005, 50.000], [10.010, 50.000], [10.010, 50.005],
      [10.010, 50.010], [10.005, 50.010], [10.000, 50.010], [10.000, 50.005], [10.000, 50.000]
    ]
  },
  "properties": {"name": "square", "surveyed": {"year": 2026}},
  "more": [1, 2, 3]
}`
	l, err := Read("square.geojson", strings.NewReader(text), Spec{})
	require.NoError(t, err)
	require.Len(t, l.Points, 8)
	assert.Equal(t, "square", l.Name)
	assert.Equal(t, []string{"the last point repeats the first and is dropped"}, l.Notes)
	for i, want := range map[int]float64{ // m along the parallel and the meridian
		2: 0.010 * radian * primeVerticalRadius(50*radian) * math.Cos(50*radian),
		6: 0.010 * radian * primeVerticalRadius(50.01*radian) * math.Cos(50.01*radian),
	} {
		assert.InDelta(t, want, distance(l.Points[i], l.Points[(i+6)%8]), 1e-3, "side to point %d", i)
	}
	assert.InDelta(t, meridianArc(50*radian, 50.01*radian), distance(l.Points[2], l.Points[4]), 1e-3)
}
