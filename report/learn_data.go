package report

import (
	"io"
	"math"

	"sumpward/sim/learn"
)

type learnedInputJSON struct {
	Path     string     `json:"path"`
	Told     bool       `json:"told"`
	Before   spreadJSON `json:"before"` // SI
	After    spreadJSON `json:"after"`
	Mean     number     `json:"mean_after"`
	Error    number     `json:"mean_after_standard_error"` // of the draws
	Narrower number     `json:"narrower"`                  // share
	Moved    number     `json:"distributions_apart"`       // 0..1
}

type learnedPairJSON struct {
	Between [2]string `json:"between"`
	Before  number    `json:"rank_before"`
	After   number    `json:"rank_after"`
}

type learnedReadingJSON struct {
	Kind     string     `json:"kind"`
	Line     int        `json:"line"`
	Seen     number     `json:"seen"` // SI; yes, wet: 1
	Error    number     `json:"standard_error"`
	Before   spreadJSON `json:"expected_before"`
	After    spreadJSON `json:"expected_after"`
	Residual number     `json:"residual"` // over all that it may differ by
	Chance   number     `json:"chance_after"`
	Rare     number     `json:"as_rare_before"` // share of cars that would show as much
	Fit      string     `json:"fits"`
}

type learnedChanceJSON struct {
	Before chanceJSON `json:"before"`
	After  chanceJSON `json:"after"`
}

type learnedSessionJSON struct {
	Length      number             `json:"length_s"`
	Overflow    learnedChanceJSON  `json:"overflow"`
	DrainChoked *learnedChanceJSON `json:"drain_choked"` // null: no drain
	Fails       learnedChanceJSON  `json:"overflow_or_choked"`
}

type seenJSON struct {
	Title   string `json:"title"`
	SHA256  string `json:"sha256"`
	Example string `json:"example,omitempty"`
}

type learnJSON struct {
	Format        string               `json:"format"`
	Version       int                  `json:"version"`
	Scenario      scenarioJSON         `json:"scenario"`
	Seen          seenJSON             `json:"seen"`
	Seed          uint64               `json:"seed"`
	Draws         int                  `json:"draws"`
	Worth         number               `json:"independent_draws"`
	Steps         int                  `json:"tempering_steps"`
	Evidence      number               `json:"log_marginal_likelihood"`
	EvidenceError number               `json:"log_marginal_likelihood_standard_error"`
	Inputs        []learnedInputJSON   `json:"inputs"`
	Pairs         []learnedPairJSON    `json:"pairs"`
	Readings      []learnedReadingJSON `json:"observations"`
	Sessions      []learnedSessionJSON `json:"sessions"`
	Warnings      []string             `json:"warnings"`
	Written       string               `json:"written,omitempty"`
	Verdict       string               `json:"verdict"`
	Cautions      []string             `json:"cautions"`
}

func learnedSpread(s learn.Spread) spreadJSON {
	return spreadJSON{P05: number(s.P05), P50: number(s.P50), P95: number(s.P95)}
}

func learnedChance(s learn.Session, event int) learnedChanceJSON {
	of := func(c learn.Chance) chanceJSON {
		return chanceJSON{number(c.Probability), number(c.Low), number(c.High), c.Events}
	}
	return learnedChanceJSON{of(s.Before[event]), of(s.After[event])}
}

// WriteJSON writes everything for programs, SI.
func (r Learn) WriteJSON(w io.Writer) error {
	l := r.Learned
	out := learnJSON{
		Format: "sumpward/learn", Version: 1, Scenario: scenarioOf(l.Scenario), Seen: seenJSON{l.Seen.Title, l.Seen.SHA256, l.Seen.Example},
		Seed: l.Seed, Draws: l.Len(), Worth: number(l.Own), Steps: len(l.Levels),
		Evidence: number(l.LogEvidence), EvidenceError: number(l.LogEvidenceError),
		Inputs: []learnedInputJSON{}, Pairs: []learnedPairJSON{}, Warnings: listed(l.Warnings), Written: r.Written,
		Verdict: r.verdict(), Cautions: append([]string{RestsOn(l.Scenario)}, Cautions...),
	}
	for i := range l.Inputs {
		in := &l.Inputs[i]
		out.Inputs = append(out.Inputs, learnedInputJSON{in.Quantity.Path, in.Told, learnedSpread(in.Before), learnedSpread(in.After),
			number(in.Mean), number(in.Error), number(in.Narrower()), number(in.Moved)})
	}
	for _, p := range l.Pairs {
		out.Pairs = append(out.Pairs, learnedPairJSON{[2]string{p.First.Path, p.Second.Path}, number(p.Before), number(p.After)})
	}
	for i := range l.Readings {
		x := &l.Readings[i]
		o := x.Observation
		out.Readings = append(out.Readings, learnedReadingJSON{string(o.Kind), o.Line, number(o.Value), number(o.Error),
			learnedSpread(x.Before), learnedSpread(x.After), number(x.Residual), number(x.Chance), number(x.Rare), fitWord(x.Fit())})
	}
	for _, s := range l.Sessions {
		x := learnedSessionJSON{Length: number(s.Length), Overflow: learnedChance(s, learn.Overflow), Fails: learnedChance(s, learn.OverflowOrChoked)}
		if s.Drains {
			choked := learnedChance(s, learn.DrainChoked)
			x.DrainChoked = &choked
		}
		out.Sessions = append(out.Sessions, x)
	}
	return writeJSON(w, out)
}

// WriteCSV writes one row for each input, SI.
func (r Learn) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"path", "told", "before_p05_SI", "before_p50_SI", "before_p95_SI", "after_p05_SI", "after_p50_SI", "after_p95_SI",
		"mean_after_SI", "mean_after_standard_error_SI", "narrower", "distributions_apart"}}
	for i := range r.Learned.Inputs {
		in := &r.Learned.Inputs[i]
		s.add(in.Quantity.Path, in.Told, in.Before.P05, in.Before.P50, in.Before.P95, in.After.P05, in.After.P50, in.After.P95,
			in.Mean, in.Error, finiteOr(in.Narrower()), in.Moved)
	}
	return s.write(w)
}

// finiteOr leaves out what is not finite.
func finiteOr(v float64) float64 {
	if math.IsInf(v, 0) {
		return math.NaN()
	}
	return v
}
