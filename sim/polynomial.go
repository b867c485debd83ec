package sim

import "math"

// mostNodes is how many nodes a [polynomial] goes through at the most.
const mostNodes = 8

// polynomial is the coefficients of powers of x from -1 to 1; of differences or values at
// [nodes], on the way to them.
type polynomial [mostNodes]float64

// at is the polynomial at x, by Estrin's scheme: its parts don't wait for each other.
func (c *polynomial) at(x float64) float64 {
	x2 := x * x
	return (c[0] + c[1]*x + (c[2]+c[3]*x)*x2) + (c[4]+c[5]*x+(c[6]+c[7]*x)*x2)*(x2*x2)
}

// cubicAt is at of a polynomial through four nodes.
func (c *polynomial) cubicAt(x float64) float64 { return c[0] + c[1]*x + (c[2]+c[3]*x)*(x*x) }

// nodes are Chebyshev's of a number, cos((2i+1)π/2n).
type nodes struct {
	count int
	at    [mostNodes]float64
	per   [mostNodes][mostNodes]float64 // 1/(x_i - x_(i-j))
}

var four, six, eight = nodesOf(4), nodesOf(6), nodesOf(8)

func nodesOf(count int) (n nodes) {
	n.count = count
	for i := range count {
		n.at[i] = math.Cos(math.Pi * (float64(i) + 0.5) / float64(count))
		for j := 1; j <= i; j++ {
			n.per[i][j] = 1 / (n.at[i] - n.at[i-j])
		}
	}
	return n
}

// differences turns values at the nodes into Newton's divided differences.
func (n *nodes) differences(c *polynomial) {
	for j := 1; j < n.count; j++ {
		for i := n.count - 1; i >= j; i-- {
			c[i] = (c[i] - c[i-1]) * n.per[i][j]
		}
	}
}

// left is what the differences beyond the last would come to if they went on to shrink
// as the last three do.
func (n *nodes) left(differences *polynomial) float64 {
	last := func(i int) float64 { return math.Abs(differences[n.count-i]) }
	rate := max(last(1)/last(2), last(2)/last(3))
	return max(last(1), rate*last(2)) * rate
}

// inPowers turns divided differences into the coefficients of the powers of x.
func (n *nodes) inPowers(c *polynomial) (p polynomial) {
	p[0] = c[n.count-1]
	for i := n.count - 2; i >= 0; i-- {
		for j := n.count - 1 - i; j > 0; j-- {
			p[j] = p[j-1] - n.at[i]*p[j]
		}
		p[0] = c[i] - n.at[i]*p[0]
	}
	return p
}
