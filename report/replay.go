package report

import (
	"fmt"
	"io"
	"math"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Replay is one realization against time.
type Replay struct {
	Scenario *scenarios.Scenario
	Trace    *sim.Trace
	Units    units.System
}

// mostRows is about how many moments the table shows.
const mostRows = 40

// Document is the realization for people, thinned out.
func (r Replay) Document() *Document {
	d := &Document{}
	d.title(r.Scenario.Title, fmt.Sprintf("Realization %d of seed %d", r.Trace.Realization, r.Trace.Seed))
	d.table(r.table())
	d.facts(r.events())
	t := &table{heading: "Inputs as drawn", head: []string{"input", "drawn", "of"}, words: []int{0, 1, 2}}
	for _, in := range r.Trace.Inputs {
		t.add(in.Quantity.Path, in.Quantity.Format(in.Value, r.Units), words.Notation(in.Quantity, r.Units))
	}
	if len(t.rows) > 0 {
		d.table(t)
	}
	return d
}

func (r Replay) table() *table {
	u := r.Units
	share, temperature, pressure := words.ColumnOf(units.Fraction, u), words.ColumnOf(units.Temperature, u), words.ColumnOf(units.Pressure, u)
	volume, flow, time, mass := words.SmallVolumes(u), words.OilFlows(u), words.ColumnOf(units.Time, u), words.Masses(u)
	shown := thinned(r.Trace.Points, mostRows)
	t := &table{head: []string{
		time.Headed("time"), share.Headed("load"), temperature.Headed("sump"), pressure.Headed("crankcase"), pressure.Headed("to beat"),
		pressure.Headed("head"), volume.Headed("in can"), share.Headed("fill"), flow.Headed("drain"), mass.Headed("intake"), "",
	}}
	if len(shown) < len(r.Trace.Points) {
		t.heading = fmt.Sprintf("%d of %s moments (--format csv has them all)", len(shown), words.Grouped(int64(len(r.Trace.Points))))
	}
	for _, p := range shown {
		state := ""
		if p.Held {
			state = "held"
		}
		t.add(time.Text(p.Time), share.Text(p.Load), temperature.Text(p.Temperature), pressure.Text(p.Crankcase), pressure.Text(p.Against),
			pressure.Text(p.Head), volume.Text(p.OilInCan), share.Text(p.Fill),
			flow.Text(p.DrainFlow), mass.Text(p.ToIntake), state)
	}
	return t
}

// thinned returns up to n points at about equal distances in time, the first
// and the last among them.
func thinned(points []sim.TracePoint, n int) []sim.TracePoint {
	if len(points) <= n {
		return points
	}
	end := points[len(points)-1].Time
	var list []sim.TracePoint
	last := -1
	for k := range n {
		until := end * float64(k) / float64(n-1)
		i := max(last, 0)
		for i+1 < len(points) && points[i+1].Time <= until*(1+1e-12) {
			i++
		}
		if k == n-1 {
			i = len(points) - 1
		}
		if i != last {
			list = append(list, points[i])
			last = i
		}
	}
	return list
}

// events says when what happened first.
func (r Replay) events() facts {
	o := r.Trace.Outcome
	var f facts
	when := func(seconds float64) string {
		if math.IsInf(seconds, 1) {
			return "did not happen"
		}
		return "first after " + words.Show(seconds, units.Time, r.Units)
	}
	f.add("overflow", when(o.Overflow))
	if r.Trace.Car.Drain.Kind != sim.NoDrain {
		f.add("drain choked", when(o.DrainChoked))
	}
	f.add("over-pressure", when(o.OverPressure))
	f.add("oil lost", when(o.OilLost))
	return f
}

// WriteCSV writes every moment, SI.
func (r Replay) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"time_s", "phase", "load", "forward_m_s2", "left_m_s2", "sump_K", "crankcase_Pa", "to_beat_Pa", "head_Pa",
		"oil_in_can_m3", "fill", "drain_flow_m3_s", "to_intake_kg", "held"}}
	for _, p := range r.Trace.Points {
		s.add(p.Time, p.Phase+1, p.Load, p.Forward, p.Left, p.Temperature, p.Crankcase, p.Against, p.Head,
			p.OilInCan, p.Fill, p.DrainFlow, p.ToIntake, p.Held)
	}
	return s.write(w)
}

type drawnJSON struct {
	Path  string `json:"path"`
	Value number `json:"value"` // SI
}

type outcomeJSON struct {
	Overflow     number `json:"overflow_s"`
	DrainChoked  number `json:"drain_choked_s"`
	OverPressure number `json:"over_pressure_s"`
	OilLost      number `json:"oil_lost_s"`
}

type pointJSON struct {
	Time        number `json:"time_s"`
	Phase       int    `json:"phase"`
	Load        number `json:"load"`
	Forward     number `json:"forward_m_s2"`
	Left        number `json:"left_m_s2"`
	Temperature number `json:"sump_K"`
	Crankcase   number `json:"crankcase_Pa"`
	Against     number `json:"to_beat_Pa"`
	Head        number `json:"head_Pa"`
	OilInCan    number `json:"oil_in_can_m3"`
	Fill        number `json:"fill"`
	DrainFlow   number `json:"drain_flow_m3_s"`
	ToIntake    number `json:"to_intake_kg"`
	Held        bool   `json:"held"`
}

type replayJSON struct {
	Format      string       `json:"format"`
	Version     int          `json:"version"`
	Scenario    scenarioJSON `json:"scenario"`
	Seed        uint64       `json:"seed"`
	Realization uint64       `json:"realization"`
	Inputs      []drawnJSON  `json:"inputs"`
	First       outcomeJSON  `json:"first"`
	Points      []pointJSON  `json:"points"`
}

// WriteJSON writes every moment for programs. What did not happen is null.
func (r Replay) WriteJSON(w io.Writer) error {
	o := r.Trace.Outcome
	out := replayJSON{
		Format: "sumpward/replay", Version: 1, Scenario: scenarioOf(r.Scenario), Seed: r.Trace.Seed, Realization: r.Trace.Realization,
		Inputs: []drawnJSON{}, First: outcomeJSON{number(o.Overflow), number(o.DrainChoked), number(o.OverPressure), number(o.OilLost)},
	}
	for _, in := range r.Trace.Inputs {
		out.Inputs = append(out.Inputs, drawnJSON{in.Quantity.Path, number(in.Value)})
	}
	for _, p := range r.Trace.Points {
		out.Points = append(out.Points, pointJSON{
			number(p.Time), p.Phase + 1, number(p.Load), number(p.Forward), number(p.Left), number(p.Temperature), number(p.Crankcase),
			number(p.Against), number(p.Head), number(p.OilInCan), number(p.Fill), number(p.DrainFlow), number(p.ToIntake), p.Held,
		})
	}
	return writeJSON(w, out)
}
