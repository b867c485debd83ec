package track

import "math"

// laidOut returns points on the centre line of pieces, about spacing metres
// apart; the closing error is spread over the lap.
func laidOut(pieces []Piece, spacing float64) []Centre {
	var points []Centre
	var at Centre
	heading, length := 0.0, 0.0
	var along []float64
	for _, p := range pieces {
		n := int(max(1, math.Round(p.Length/spacing)))
		for range n {
			points, along = append(points, at), append(along, length)
			h := p.Length / float64(n)
			run := h / math.Sqrt(1+p.Slope*p.Slope)
			half := h * p.Curvature / 2
			chord := run
			if half != 0 {
				chord *= math.Sin(half) / half
			}
			at.X += chord * math.Cos(heading+half)
			at.Y += chord * math.Sin(heading+half)
			at.Z += run * p.Slope
			heading += 2 * half
			length += h
		}
	}
	for i := range points {
		share := along[i] / length
		points[i].X -= share * at.X
		points[i].Y -= share * at.Y
		points[i].Z -= share * at.Z
	}
	return points
}
