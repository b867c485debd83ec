package diagnose

import (
	"math"

	"sumpward/scenarios"
)

// wide is what would be seen where none of the faults is what is wrong: of a reading a
// normal law three times as wide as all faults together, of yes or no one in two.
type wide struct{ mean, sd float64 }

// wideness is how much wider than all faults together; prior.
const wideness = 3

// widen pools what the faults predict by their base rates.
func (b *Bank) widen() {
	b.wide = b.wide[:0]
	for o := range b.seen {
		var p pool
		for f := range b.Faults {
			for _, v := range b.predicted[f][o][:b.whole] {
				p.add(v, b.rates[f])
			}
		}
		b.wide = append(b.wide, p.wide())
	}
}

// pool adds up weighted predictions, those that never end apart.
type pool struct{ weight, sum, squares, never float64 }

func (p *pool) add(v, weight float64) {
	if math.IsInf(v, 0) {
		p.never += weight
		return
	}
	p.weight += weight
	p.sum += weight * v
	p.squares += weight * v * v
}

func (p *pool) wide() wide {
	if p.weight == 0 {
		return wide{}
	}
	m := p.sum / p.weight
	return wide{m, wideness * math.Sqrt(max(0, p.squares/p.weight-m*m))}
}

// logDensity is that of a reading, or of a yes or no.
func (w wide) logDensity(o *scenarios.Observation, value float64) float64 {
	if o.Whether() {
		return math.Log(0.5)
	}
	sd := math.Hypot(w.sd, o.Error)
	z := (value - w.mean) / sd
	return -z*z/2 - math.Log(sd*math.Sqrt(2*math.Pi))
}
