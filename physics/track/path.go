package track

import (
	"fmt"
	"math"
)

// DefaultStep is the longest cell that others should use, m. Cells are driven by
// closed forms, so that on a circuit of pieces shorter ones change the lap time
// by about 1e-6 of it; they are short for the sake of the samples. On a centre
// line, where the curvature of a cell is the mean along it, shorter ones change
// the lap time by about 3e-4 of it, in proportion to the square of the step.
const DefaultStep = 10.0

// Limits of what is taken for a circuit.
const (
	leastRadius   = 1.0         // m
	steepestSlope = 1.0         // rise over run
	mostBanking   = math.Pi / 3 // rad
	mostCells     = 1_000_000
)

// Piece is a stretch of constant curvature.
type Piece struct {
	Length    float64 // m along the centre line, above 0
	Curvature float64 // heading turned through in a metre of centre line, 1/m; positive turning left, 0 straight, -1 to 1
	Slope     float64 // rise over run, positive uphill, -1 to 1
	Banking   float64 // rad, positive: the surface leans into the corner; of a straight: its right side is higher; within 60°
}

// Cell is a stretch of a path that is driven in one go. Its fields mean what
// those of a Piece mean.
type Cell struct {
	Length    float64 // m
	Curvature float64 // 1/m
	Slope     float64 // rise over run
	Banking   float64 // rad
}

// Path is a circuit as cells of constant curvature, slope and banking. Make it
// with FromPieces or FromCentreLine, and don't change it.
type Path struct {
	Cells   []Cell
	Length  float64 // m
	Turning float64 // heading turned through in a lap, rad; 2π of a plain circuit driven anticlockwise
	Gap     float64 // m between end and start as laid out: pieces as they are joined, a centre line as it was given

	surfaces []surface
}

// surface is the lie of a cell as a left-hander: a right-hander is driven as its
// mirror image.
type surface struct {
	start                  float64 // m along the path
	side                   float64 // 1 left, -1 right
	curvature              float64 // 1/m, never negative
	cosSlope, sinSlope     float64
	cosBanking, sinBanking float64
}

// FromPieces makes a path of pieces that are driven in their order. step is the
// longest cell, m; 0 stands for DefaultStep. Pieces that don't close are no
// error: see Gap and Turning.
func FromPieces(pieces []Piece, step float64) (*Path, error) {
	step, err := checkedStep(step)
	if err != nil {
		return nil, err
	}
	if len(pieces) == 0 {
		return nil, fmt.Errorf("the circuit has no pieces: give at least one")
	}
	var cells []Cell
	for i, piece := range pieces {
		if err := piece.check(); err != nil {
			return nil, fmt.Errorf("piece %d: %w", i+1, err)
		}
		n := math.Ceil(piece.Length/step - 1e-9)
		if n = max(n, 1); float64(len(cells))+n > mostCells {
			return nil, fmt.Errorf("piece %d: more than %d cells: shorten the circuit or lengthen the step of %g m", i+1, mostCells, step)
		}
		cell := Cell{piece.Length / n, piece.Curvature, piece.Slope, piece.Banking}
		for range int(n) {
			cells = append(cells, cell)
		}
	}
	p := newPath(cells)
	p.Length, p.Turning = 0, 0
	for _, piece := range pieces {
		p.Length += piece.Length
		p.Turning += piece.Length * piece.Curvature
	}
	p.Gap = gap(pieces)
	return p, nil
}

func checkedStep(step float64) (float64, error) {
	if step == 0 {
		return DefaultStep, nil
	}
	if !(step > 0) || math.IsInf(step, 0) {
		return 0, fmt.Errorf("the step is %g m: give a length above 0", step)
	}
	return step, nil
}

// check tells what is wrong with a piece.
func (p Piece) check() error {
	switch {
	case !(p.Length > 0) || math.IsInf(p.Length, 0):
		return fmt.Errorf("its length is %g m: give a length above 0", p.Length)
	case !(math.Abs(p.Curvature)*leastRadius <= 1):
		return fmt.Errorf("its radius is %.3g m, below %g m: give a larger one", 1/math.Abs(p.Curvature), leastRadius)
	case !(math.Abs(p.Slope) <= steepestSlope):
		return fmt.Errorf("its slope is %.4g %%, beyond %g %%: give a gentler one", 100*p.Slope, 100*steepestSlope)
	case !(math.Abs(p.Banking) <= mostBanking):
		return fmt.Errorf("its banking is %.4g°, beyond %.0f°: give a smaller one", p.Banking*180/math.Pi, mostBanking*180/math.Pi)
	}
	return nil
}

// newPath takes cells, adds up length and turning, and works out the lie of each
// cell.
func newPath(cells []Cell) *Path {
	p := &Path{Cells: cells, surfaces: make([]surface, len(cells))}
	for i, c := range cells {
		s := surface{start: p.Length, side: 1, curvature: math.Abs(c.Curvature)}
		if c.Curvature < 0 {
			s.side = -1
		}
		s.cosSlope = 1 / math.Sqrt(1+c.Slope*c.Slope)
		s.sinSlope = c.Slope * s.cosSlope
		s.sinBanking, s.cosBanking = math.Sincos(c.Banking)
		p.surfaces[i] = s
		p.Length += c.Length
		p.Turning += c.Length * c.Curvature
	}
	return p
}

// gap lays pieces out one after another and returns how far the end is from the
// start, m.
func gap(pieces []Piece) float64 {
	var x, y, z, heading float64
	for _, p := range pieces {
		run := p.Length / math.Sqrt(1+p.Slope*p.Slope)
		half := p.Length * p.Curvature / 2
		chord := run
		if half != 0 {
			chord *= math.Sin(half) / half
		}
		sin, cos := math.Sincos(heading + half)
		x, y, z = x+chord*cos, y+chord*sin, z+run*p.Slope
		heading += 2 * half
	}
	return math.Hypot(math.Hypot(x, y), z)
}
