package centreline

import "math"

// The WGS 84 ellipsoid.
//
// Source: NGA.STND.0036 (2014), defining parameters (from memory).
const (
	semiMajor  = 6_378_137.0       // m
	flattening = 1 / 298.257223563 // 1
	// square of the (first) eccentricity
	eccentricity2 = flattening * (2 - flattening)
)

// meridianRadius gives the radius of curvature in m of the meridian at
// latitude phi in rad:
//
//	M = a (1 - e²) / (1 - e² sin² φ)^(3/2)
func meridianRadius(phi float64) float64 {
	s := math.Sin(phi)
	return semiMajor * (1 - eccentricity2) / math.Pow(1-eccentricity2*s*s, 1.5)
}

// primeVerticalRadius gives the radius of curvature in m of the prime vertical
// at latitude phi in rad:
//
//	N = a / √(1 - e² sin² φ)
func primeVerticalRadius(phi float64) float64 {
	s := math.Sin(phi)
	return semiMajor / math.Sqrt(1-eccentricity2*s*s)
}

// meridianArc gives the length in m of the meridian between two latitudes in
// rad by Simpson's rule, one interval: to 1e-9 of it if they are within 1°.
func meridianArc(from, to float64) float64 {
	return (to - from) / 6 * (meridianRadius(from) + 4*meridianRadius((from+to)/2) + meridianRadius(to))
}

// project puts longitude and latitude in degrees on a transverse Mercator map
// in m whose meridian, true to scale, runs through the middle (mean) of the
// points, from where it counts east and north. With λ the longitude from there:
//
//	A = λ cos φ    T = tan² φ    C = e²/(1-e²) cos² φ
//	x = N (A + (1 - T + C) A³/6)
//	y = M-arc + N tan φ (A²/2 + (5 - T + 9C + 4C²) A⁴/24)
//
// Distances within 10 km of the middle are true to 1.3e-6, within 25 km to 8e-6
// (half the square of the distance over the radius of the Earth). They are
// those at the height of the ellipsoid: 1000 m above it, true ones are 1.6e-4
// longer, which is left out.
//
// Source: J. P. Snyder, Map Projections: A Working Manual, US Geological Survey
// Professional Paper 1395 (1987), eq. 8-9 and 8-10, cut after A⁴ (from memory).
func project(points []Point) {
	if len(points) == 0 {
		return
	}
	start := points[0].X // longitudes are counted from it, so that 180° is no edge
	var lon, lat float64
	for i, p := range points {
		points[i].X = math.Remainder(p.X-start, 360)
		lon += points[i].X / float64(len(points))
		lat += p.Y / float64(len(points))
	}
	const radian = math.Pi / 180
	for i, p := range points {
		phi := p.Y * radian
		sin, cos := math.Sincos(phi)
		n := primeVerticalRadius(phi)
		a := (p.X - lon) * radian * cos
		t, c := sin*sin/(cos*cos), eccentricity2/(1-eccentricity2)*cos*cos
		points[i].X = n * (a + (1-t+c)*a*a*a/6)
		points[i].Y = meridianArc(lat*radian, phi) + n*sin/cos*(a*a/2+(5-t+9*c+4*c*c)*a*a*a*a/24)
	}
}
