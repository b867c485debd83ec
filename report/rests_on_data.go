package report

import (
	"math"

	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

type estimateJSON struct {
	Probability number `json:"probability"`
	Low         number `json:"low"`
	High        number `json:"high"`
}

type inputDependenceJSON struct {
	Path    string       `json:"path"`
	From    number       `json:"from"` // SI, as all values of inputs
	To      number       `json:"to"`
	AtFrom  estimateJSON `json:"at_from"`
	AtTo    estimateJSON `json:"at_to"`
	Tenths  bool         `json:"of_tenths"` // of the lowest and highest tenth of the draws, not of the ends
	Tipping *tippingJSON `json:"tipping,omitempty"`
}

type tippingJSON struct {
	Value number `json:"value"`
	Low   number `json:"low"`
	High  number `json:"high"`
	Kept  string `json:"limit_kept"` // above or below
}

type pairDependenceJSON struct {
	Paths  [2]string    `json:"paths"`
	At     [2]number    `json:"at"`
	Chance estimateJSON `json:"chance"`
}

type dependenceJSON struct {
	Event   string                `json:"event"`
	Length  number                `json:"length_s"`
	Limit   number                `json:"limit"`
	Depends bool                  `json:"depends"`
	Least   estimateJSON          `json:"least"`
	Most    estimateJSON          `json:"most"`
	Inputs  []inputDependenceJSON `json:"inputs"`
	Pairs   []pairDependenceJSON  `json:"pairs"`
	Track   *trackJSON            `json:"carry_over_on_track,omitempty"` // where it was read over a road interval alone
}

// trackJSON is in kg/s of liquid oil at full throttle.
type trackJSON struct {
	From    number       `json:"from_kg_per_s"`
	To      number       `json:"to_kg_per_s"`
	AtFrom  estimateJSON `json:"at_from"`
	AtTo    estimateJSON `json:"at_to"`
	Depends bool         `json:"depends"`
	Tipping *tippingJSON `json:"tipping,omitempty"`
}

func trackOf(d *decide.Dependence) *trackJSON {
	t := d.Track
	if t == nil {
		return nil
	}
	out := &trackJSON{From: number(t.From), To: number(t.To), AtFrom: estimateOf(t.AtFrom), AtTo: estimateOf(t.AtTo), Depends: d.DependsOnTrack()}
	if tip := t.Tipping; out.Depends && !math.IsNaN(tip.Value) {
		out.Tipping = &tippingJSON{number(tip.Value), number(tip.Low), number(tip.High), "below"}
	}
	return out
}

func dependenceOf(d *decide.Dependence) *dependenceJSON {
	if d == nil {
		return nil
	}
	out := &dependenceJSON{
		Event: map[sim.Event]string{
			sim.Overflow: "overflow", sim.DrainChoked: "drain_choked", sim.OverPressure: "over_pressure", sim.OilLost: "oil_lost",
			sim.OverflowOrChoked: "overflow_or_choked",
		}[d.Event],
		Length: number(d.Length), Limit: number(d.Limit), Depends: d.Depends(), Least: estimateOf(d.Low), Most: estimateOf(d.High),
		Inputs: []inputDependenceJSON{}, Pairs: []pairDependenceJSON{},
	}
	for _, in := range d.Inputs {
		j := inputDependenceJSON{in.Input.Path, number(in.From), number(in.To), estimateOf(in.AtFrom), estimateOf(in.AtTo), in.Tenths, nil}
		if t := in.Tipping; in.Tips {
			j.Tipping = &tippingJSON{number(t.Value), number(t.Low), number(t.High), map[bool]string{true: "below", false: "above"}[t.KeptBelow]}
		}
		out.Inputs = append(out.Inputs, j)
	}
	for _, p := range d.Pairs {
		out.Pairs = append(out.Pairs, pairDependenceJSON{[2]string{p.A.Path, p.B.Path}, [2]number{number(p.AtA), number(p.AtB)}, estimateOf(p.Chance)})
	}
	out.Track = trackOf(d)
	return out
}

func estimateOf(e stats.Estimate) estimateJSON {
	return estimateJSON{number(e.Probability), number(e.Low), number(e.High)}
}
