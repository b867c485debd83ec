package report

import (
	"io"
	"strings"

	"sumpward/sim/sensitivity"
)

type indexJSON struct {
	Value number `json:"value"`
	Low   number `json:"low"`
	High  number `json:"high"`
	Error number `json:"standard_error"`
}

func indexOf(x sensitivity.Index) indexJSON {
	return indexJSON{number(x.Value), number(x.Low), number(x.High), number(x.Error)}
}

type driverJSON struct {
	Driver   string   `json:"driver"` // an input's path; else inputs or blocks, with + between them; luck
	Inputs   []string `json:"inputs"`
	Basis    []string `json:"basis"` // by input
	Tied     bool     `json:"tied"`  // by a rank correlation
	Learned  bool     `json:"learned_together"`
	LapLuck  bool     `json:"lap_luck"`
	Measured bool     `json:"measured"`
}

type shareJSON struct {
	Driver string    `json:"driver"`
	First  indexJSON `json:"first_order"`
	Total  indexJSON `json:"total"`
	Pooled bool      `json:"pooled"` // too little to tell by itself
}

type splitJSON struct {
	Output   string      `json:"output"`
	Told     bool        `json:"told"`
	Why      string      `json:"why_not,omitempty"`
	Mean     number      `json:"mean"`
	Variance number      `json:"variance"`
	Events   *int        `json:"events"` // of sampled; null: no event
	Sampled  int         `json:"sampled"`
	Alone    *indexJSON  `json:"sum_of_first_order"`
	Shares   []shareJSON `json:"shares"`
}

type sensitivityJSON struct {
	Format       string       `json:"format"`
	Version      int          `json:"version"`
	Scenario     scenarioJSON `json:"scenario"`
	Seed         uint64       `json:"seed"`
	Sampling     string       `json:"sampling"`
	By           string       `json:"by"`
	Length       number       `json:"length_s"`
	BasePoints   int          `json:"base_points"`
	Realizations int          `json:"realizations"`
	Inputs       inputsJSON   `json:"inputs"`
	Drivers      []driverJSON `json:"drivers"`
	Outputs      []splitJSON  `json:"outputs"`
	PinDown      []string     `json:"what_to_pin_down_first"`
	Cautions     []string     `json:"cautions"`
}

// outputKeys are the outputs in SI.
var outputKeys = map[sensitivity.Output]string{
	sensitivity.OverflowOrChoked: "overflow_or_choked", sensitivity.Overflow: "overflow", sensitivity.DrainChoked: "drain_choked",
	sensitivity.PeakFill: "peak_fill", sensitivity.FirstOverflow: "first_overflow_s", sensitivity.OilToIntake: "oil_to_intake_m3",
}

// driverKey names a driver for programs.
func driverKey(d *sensitivity.Driver) string {
	switch {
	case d.Luck():
		return "lap_luck"
	case len(d.Blocks) > 0:
		return strings.Join(d.Blocks, "+")
	}
	return strings.Join(pathsOf(d.Inputs), "+")
}

func driverOf(d *sensitivity.Driver) driverJSON {
	out := driverJSON{Driver: driverKey(d), Inputs: pathsOf(d.Inputs), Basis: []string{}, Tied: d.Tied, Learned: d.Learned, LapLuck: d.Luck(), Measured: d.Measured()}
	for _, q := range d.Inputs {
		out.Basis = append(out.Basis, string(q.Basis))
	}
	return out
}

// splitName names how the variance is split.
func (r Sensitivity) splitName() string {
	return map[sensitivity.Split]string{sensitivity.ByInput: "input", sensitivity.ByBlock: "group"}[r.Result.Split]
}

// WriteJSON writes all shares for programs. Indices are as estimated: below 0 or above
// 1 by their error. Those of an output that can't be told are left out.
func (r Sensitivity) WriteJSON(w io.Writer) error {
	x := r.Result
	out := sensitivityJSON{
		Format: "sumpward/sensitivity", Version: 1, Scenario: scenarioOf(x.Scenario), Seed: x.Seed, Sampling: x.Sampling, By: r.splitName(),
		Length: number(x.Length), BasePoints: x.Points, Realizations: x.Realizations, Inputs: inputsOf(x.Scenario),
		Drivers: []driverJSON{}, Outputs: []splitJSON{}, PinDown: []string{}, Cautions: Cautions,
	}
	for i := range x.Drivers {
		out.Drivers = append(out.Drivers, driverOf(&x.Drivers[i]))
	}
	for i := range x.Outputs {
		out.Outputs = append(out.Outputs, r.split(&x.Outputs[i]))
	}
	if lead := r.lead(); lead != nil {
		out.PinDown = r.pinDown(lead)
	}
	return writeJSON(w, out)
}

func (r Sensitivity) split(o *sensitivity.OutputResult) splitJSON {
	out := splitJSON{
		Output: outputKeys[o.Output], Told: o.Telling == sensitivity.Told, Why: strings.TrimSuffix(untoldWhy(o), "."), Mean: number(o.Mean), Variance: number(o.Variance),
		Sampled: o.Sampled, Shares: []shareJSON{},
	}
	if o.Events >= 0 {
		out.Events = &o.Events
	}
	if !out.Told {
		return out
	}
	alone := indexOf(o.Alone)
	out.Alone = &alone
	for i, p := range o.Parts {
		out.Shares = append(out.Shares, shareJSON{driverKey(&r.Result.Drivers[i]), indexOf(p.First), indexOf(p.Total), pooled(o, i)})
	}
	return out
}

// pooled reports whether a driver is one of the rest.
func pooled(o *sensitivity.OutputResult, driver int) bool {
	_, rest := o.Ranked()
	for _, i := range rest {
		if i == driver {
			return true
		}
	}
	return false
}

// WriteCSV writes one row for each outcome that can be told and each driver.
func (r Sensitivity) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"output", "driver", "basis", "first_order", "first_order_low", "first_order_high", "first_order_standard_error",
		"total", "total_low", "total_high", "total_standard_error", "pooled", "length_s", "events", "sampled", "realizations", "seed"}}
	for k := range r.Result.Outputs {
		o := &r.Result.Outputs[k]
		if o.Telling != sensitivity.Told {
			continue
		}
		var events any = ""
		if o.Events >= 0 {
			events = o.Events
		}
		for i, p := range o.Parts {
			d := driverOf(&r.Result.Drivers[i])
			s.add(outputKeys[o.Output], d.Driver, strings.Join(d.Basis, "+"), p.First.Value, p.First.Low, p.First.High, p.First.Error,
				p.Total.Value, p.Total.Low, p.Total.High, p.Total.Error, pooled(o, i), r.Result.Length, events, o.Sampled, r.Result.Realizations, r.Result.Seed)
		}
	}
	return s.write(w)
}
