package preset

import (
	"fmt"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

const canOutlet = "can outlet"

// Fall returns the range of the fall from a can to a return of this engine
// (one of [ReturnNames]), where nothing was taped. It is empty for a can
// without a drain.
//
// The fall is the height of the can's outlet less that of the return, both
// above the sump's oil:
//
//	from max(0, low - high) by most likely - middle to high - low
//
// A can below its return doesn't drain, so what would be negative is left out.
// A return below the oil counts from the oil's surface.
func (e Engine) Fall(returnName string) Range {
	r, ok := returnNamed(returnName)
	if !ok || r.returns == byHand {
		return Range{}
	}
	outlet := e.height(canOutlet)
	fall := Range{Path: "drain.fall", Source: "derived: can outlet " + outlet.Value + " above the sump's oil"}
	low, mode, high := ends(outlet)
	if r.returns == belowOil {
		fall.Value = millimetres(low, mode, high)
		fall.Source += "; " + outlet.Source
		return fall
	}
	lowest, highest := 0.0, 0.0
	for i, port := range e.ports(r.port) {
		from, _, to := ends(port)
		if i == 0 {
			lowest, highest = from, to
		}
		lowest, highest = min(lowest, from), max(highest, to)
		fall.Source += ", " + port.Name + " " + port.Value
	}
	least := max(0, low-highest)
	most := max(high-lowest, 0.03)
	fall.Value = millimetres(least, min(max(least, mode-(lowest+highest)/2), most), most)
	fall.Source += "; priors"
	return fall
}

// ports are the places where a return above the oil may be.
func (e Engine) ports(name string) []Range {
	if name != "" {
		if port := e.height(name); port.Name != "" {
			return []Range{port}
		}
	}
	ports := []Range{e.height("block breather")}
	if e.Turbo {
		ports = append(ports, e.height("turbo drain"))
	}
	return ports
}

// height returns the height of a place, or an empty range.
func (e Engine) height(name string) Range {
	for _, h := range e.Heights {
		if h.Name == name {
			return h
		}
	}
	return Range{}
}

// ends are the ends of a range of lengths and its most likely value, m.
func ends(r Range) (low, mode, high float64) {
	d, err := uncertainty.Parse(r.Value, units.Length)
	if err != nil {
		return 0, 0, 0
	}
	low, high = d.Range()
	return low, d.Nominal(), high
}

// millimetres writes a range of lengths in m, in whole 5 mm.
func millimetres(low, mode, high float64) string {
	round := func(v float64) int { return 5 * int(v/0.005+0.5) }
	a, b, c := round(low), round(mode), round(high)
	if b <= a || b >= c {
		return fmt.Sprintf("%d .. %d mm", a, c)
	}
	return fmt.Sprintf("%d .. %d .. %d mm", a, b, c)
}
