package report

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// siSuffix holds what stands behind the name of a number in SI.
var siSuffix = map[units.Dimension]string{
	units.Length: "_m", units.Area: "_m2", units.Volume: "_m3", units.VolumeFlow: "_m3_s", units.MassFlow: "_kg_s", units.Mass: "_kg",
	units.Pressure: "_Pa", units.Temperature: "_K", units.TemperatureDifference: "_K", units.Density: "_kg_m3", units.Concentration: "_kg_m3",
	units.KinematicViscosity: "_m2_s", units.Time: "_s", units.Speed: "_m_s", units.Acceleration: "_m_s2", units.Distance: "_m",
	units.Frequency: "_Hz", units.Angle: "_rad", units.RoadSpeed: "_m_s",
	units.Power: "_W", units.VehicleMass: "_kg", units.DropletSize: "_m", units.TrackLength: "_m",
}

// keyOf is the name of an axis in SI.
func (r Vary) keyOf(axis int) string {
	a := r.Variation.Axes[axis]
	if q := r.quantity(axis); q != nil && q.Per != "" {
		return a.Path + "_SI"
	}
	return a.Path + siSuffix[a.Dimension]
}

// WriteCSV writes one row for each point and session length, SI. Lines that
// begin with # ahead of them say what it rests on, with every input.
func (r Vary) WriteCSV(w io.Writer) error {
	var b bytes.Buffer
	for _, line := range r.preamble() {
		b.WriteString(csvComment(line))
	}
	s := &sheet{}
	for i := range r.Variation.Axes {
		s.head = append(s.head, r.keyOf(i))
	}
	s.head = append(s.head, "length_s")
	for _, e := range []string{"overflow", "drain_choked", "over_pressure", "oil_lost", "overflow_or_choked"} {
		s.head = append(s.head, e+"_probability", e+"_low", e+"_high", e+"_events")
	}
	s.head = append(s.head, "drain_margin_nominal_m", "gas_up_drain_over_flooding_nominal", "crankcase_nominal_Pa",
		"peak_fill_p50", "peak_fill_p95", "oil_to_intake_mean_m3", "realizations", "problem")
	for _, p := range r.Variation.Points {
		r.rows(s, p)
	}
	if err := s.write(&b); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// rows adds a point, a row for each session length.
func (r Vary) rows(s *sheet, p decide.VariedPoint) {
	var at []any
	for _, v := range p.At {
		at = append(at, v)
	}
	if p.Result == nil {
		row := at
		for len(row) < len(s.head)-1 {
			row = append(row, "")
		}
		s.add(append(row, p.Problem)...)
		return
	}
	for i := range p.Result.Sessions {
		x := &p.Result.Sessions[i]
		row := append(append([]any{}, at...), x.Length)
		for _, c := range words.SessionChances(p.Result, x) {
			row = append(row, c.Probability, c.Low, c.High, c.Events)
		}
		s.add(append(row, p.Nominal.Margin, floodShare(p.Nominal), p.Nominal.Crankcase,
			x.PeakFill.P50, x.PeakFill.P95, x.OilToIntake.Mean, p.Result.Realizations, "")...)
	}
}

// preamble says what the rows rest on.
func (r Vary) preamble() []string {
	v, s := r.Variation, r.Variation.Scenario
	list := []string{
		r.Program + ": vary",
		"scenario = " + s.Title,
		"file sha256 = " + s.SHA256,
	}
	if s.VariantName != "" {
		list = append(list, "variant = "+s.VariantName)
	}
	list = append(list,
		fmt.Sprintf("seed = %d", v.Seed),
		"realizations = "+strings.ReplaceAll(strings.TrimSuffix(r.realizations(), " realizations"), ",", "")+" at each point",
		"sampling = "+v.Sampling,
		"intervals = 95 %, of sampling alone; chances and fills are shares of 1, all else is SI")
	if text := r.incomplete(); text != "" {
		list = append(list, "missing: "+text+" realizations are missing, this is what was there")
	}
	for _, f := range r.facts() {
		if f.name != "sampling" {
			list = append(list, f.name+": "+f.value)
		}
	}
	list = append(list, "the inputs as written: path = value; basis; source")
	for _, q := range s.Inputs {
		list = append(list, strings.TrimSuffix(fmt.Sprintf("%s = %s; %s; %s", q.Path, q.Notation(units.Metric), q.Basis, q.Source), "; "))
	}
	for _, rule := range s.Rules {
		list = append(list, strings.TrimSuffix(fmt.Sprintf("%s = %s; by rule; %s", rule.Path, rule.Text, rule.Source), "; "))
	}
	for _, c := range s.Correlations {
		list = append(list, fmt.Sprintf("rank correlation of %s and %s = %g", c.Between[0].Path, c.Between[1].Path, c.Rank))
	}
	return list
}

type axisJSON struct {
	Path      string   `json:"path"`
	Dimension string   `json:"dimension"`
	Key       string   `json:"key"` // the path with its SI unit
	Values    []number `json:"values"`
}

type variedPointJSON struct {
	At           []number      `json:"at"` // SI, by axis
	Problem      string        `json:"problem,omitempty"`
	Realizations int           `json:"realizations"`
	Missing      int           `json:"missing_realizations,omitempty"` // of a point of which some are there
	Margin       number        `json:"drain_margin_nominal_m"`
	FloodShare   number        `json:"gas_up_drain_over_flooding_nominal"`
	Crankcase    number        `json:"crankcase_nominal_Pa"`
	Sessions     []sessionJSON `json:"sessions"`
}

type varyJSON struct {
	Format   string            `json:"format"`
	Version  int               `json:"version"`
	Scenario scenarioJSON      `json:"scenario"`
	Seed     uint64            `json:"seed"`
	Sampling string            `json:"sampling"`
	Inputs   inputsJSON        `json:"inputs"`
	Limits   limitsJSON        `json:"limits"`
	Axes     []axisJSON        `json:"axes"`
	Notes    []string          `json:"notes"`
	Points   []variedPointJSON `json:"points"`
	Verdict  string            `json:"verdict"`
	Cautions []string          `json:"cautions"`
}

// WriteJSON writes all points for programs. What does not apply is null.
func (r Vary) WriteJSON(w io.Writer) error {
	v := r.Variation
	out := varyJSON{
		Format: "sumpward/vary", Version: 1, Scenario: scenarioOf(v.Scenario), Seed: v.Seed, Sampling: v.Sampling,
		Inputs: inputsOf(v.Scenario), Limits: limitsOf(v.Scenario), Notes: []string{}, Verdict: r.verdict(),
		Cautions: append([]string{RestsOn(v.Scenario)}, Cautions...),
	}
	for i, a := range v.Axes {
		x := axisJSON{Path: a.Path, Dimension: a.Dimension.String(), Key: r.keyOf(i)}
		for _, value := range a.Values {
			x.Values = append(x.Values, number(value))
		}
		out.Axes = append(out.Axes, x)
	}
	for _, f := range r.facts() {
		out.Notes = append(out.Notes, f.name+": "+f.value)
	}
	for _, p := range v.Points {
		out.Points = append(out.Points, variedPointOf(p))
	}
	return writeJSON(w, out)
}

func variedPointOf(p decide.VariedPoint) variedPointJSON {
	out := variedPointJSON{Problem: p.Problem, Sessions: []sessionJSON{}}
	for _, v := range p.At {
		out.At = append(out.At, number(v))
	}
	if p.Result == nil {
		nothing := number(math.NaN())
		out.Margin, out.FloodShare, out.Crankcase = nothing, nothing, nothing
		return out
	}
	out.Realizations, out.Missing = p.Result.Realizations, missingFrom(p.Result)
	out.Margin, out.FloodShare, out.Crankcase = number(p.Nominal.Margin), number(floodShare(p.Nominal)), number(p.Nominal.Crankcase)
	for i := range p.Result.Sessions {
		out.Sessions = append(out.Sessions, Run{}.session(&p.Result.Sessions[i]))
	}
	return out
}

func limitsOf(s *scenarios.Scenario) limitsJSON {
	l := s.Limits
	return limitsJSON{number(l.Risk.Nominal()), number(l.CrankcasePressure.Nominal()), number(l.OilLost.Nominal()), number(l.ChokeLevel.Nominal())}
}
