package report

import (
	"io"

	"sumpward/sim/diagnose"
)

type diagnoseSeenJSON struct {
	Kind   string   `json:"kind"`
	What   string   `json:"what"`
	Value  number   `json:"value"` // SI; of yes or no 1 or 0
	Error  number   `json:"error"`
	Over   []number `json:"over_s"`
	Layout string   `json:"layout,omitempty"`
}

type diagnoseShownJSON struct {
	P05   number `json:"p05"`
	P50   number `json:"p50"`
	P95   number `json:"p95"`
	Never number `json:"never"`
	Ratio number `json:"likelihood_ratio"`
}

type diagnoseFaultJSON struct {
	Fault         string              `json:"fault"`
	Words         string              `json:"words"`
	Fit           string              `json:"fit"`
	BaseRate      number              `json:"base_rate"`
	Chance        number              `json:"chance"`
	Low           number              `json:"low"` // of the sampling error
	High          number              `json:"high"`
	Error         number              `json:"standard_error"`
	LogLikelihood number              `json:"log_likelihood"`
	Ratio         number              `json:"likelihood_ratio"`
	Effective     number              `json:"effective_draws"`
	Draws         int                 `json:"draws"`
	Shows         []diagnoseShownJSON `json:"would_show"` // by observation
	Mend          string              `json:"mend,omitempty"`
	Source        string              `json:"source"`
}

type diagnoseCheckJSON struct {
	Check       string `json:"check"`
	Title       string `json:"title"`
	Minutes     number `json:"minutes"`
	Sheet       string `json:"sheet,omitempty"`
	Information number `json:"information_bits"`
	Settles     number `json:"settles"`
	Now         number `json:"true_fault_now"`
	After       number `json:"true_fault_after"`
}

type diagnoseApartJSON struct {
	Between     [2]string `json:"between"`
	Check       string    `json:"check"`
	Information number    `json:"information_bits"`
}

type diagnoseLeftOutJSON struct {
	Fault string `json:"fault"`
	Why   string `json:"why"`
}

type diagnoseLookJSON struct {
	Check string `json:"check"`
	Found string `json:"found"`
}

type diagnoseJSON struct {
	Format   string                `json:"format"`
	Version  int                   `json:"version"`
	Scenario scenarioJSON          `json:"scenario"`
	SeenHash string                `json:"seen_sha256"`
	Seed     uint64                `json:"seed"`
	Draws    int                   `json:"draws"`
	Verdict  string                `json:"verdict"`
	Doubt    number                `json:"doubt_bits"`
	Seen     []diagnoseSeenJSON    `json:"seen"`
	Looked   []diagnoseLookJSON    `json:"looked"`
	Faults   []diagnoseFaultJSON   `json:"faults"`
	Checks   []diagnoseCheckJSON   `json:"checks"`
	Apart    []diagnoseApartJSON   `json:"told_apart_by"`
	LeftOut  []diagnoseLeftOutJSON `json:"left_out"`
	Notes    []string              `json:"notes"`
	Cautions []string              `json:"cautions"`
}

// WriteJSON writes everything for programs.
func (r Diagnose) WriteJSON(w io.Writer) error {
	b := r.Found.Bank
	out := diagnoseJSON{
		Format: "sumpward/diagnose", Version: 1, Scenario: scenarioOf(b.Scenario()), SeenHash: r.Seen.SHA256, Seed: b.Seed, Draws: r.Found.Draws,
		Verdict: r.verdict(), Doubt: number(r.Found.Doubt), Seen: []diagnoseSeenJSON{}, Looked: []diagnoseLookJSON{}, Checks: []diagnoseCheckJSON{}, Apart: []diagnoseApartJSON{},
		LeftOut: []diagnoseLeftOutJSON{}, Notes: r.notes(), Cautions: Cautions,
	}
	for _, o := range b.Observations() {
		x := diagnoseSeenJSON{string(o.Kind), diagnoseSeen{o, r.Units}.name(), number(o.Value), number(o.Error), []number{}, o.Layout}
		for _, length := range o.Over {
			x.Over = append(x.Over, number(length))
		}
		out.Seen = append(out.Seen, x)
	}
	for _, l := range b.Looked() {
		out.Looked = append(out.Looked, diagnoseLookJSON(l))
	}
	for _, s := range r.Found.Standings {
		out.Faults = append(out.Faults, r.diagnoseFaultJSON(s))
	}
	for _, t := range r.Found.Next.Tellings {
		out.Checks = append(out.Checks, diagnoseCheckJSON{
			t.Check.Name, t.Check.Title, number(t.Check.Minutes), t.Check.Sheet, number(t.Information),
			number(r.settles(t)), number(r.Found.Next.Now), number(t.After),
		})
	}
	for _, p := range r.Found.Next.Apart {
		x := diagnoseApartJSON{Between: [2]string{p.A.Name, p.B.Name}, Information: number(p.Information)}
		if p.Check != nil {
			x.Check = p.Check.Name
		}
		out.Apart = append(out.Apart, x)
	}
	for _, x := range b.LeftOut {
		out.LeftOut = append(out.LeftOut, diagnoseLeftOutJSON{x.Fault.Name, x.Why})
	}
	return writeJSON(w, out)
}

func (r Diagnose) diagnoseFaultJSON(s diagnose.Standing) diagnoseFaultJSON {
	low, high := s.Interval()
	j := diagnoseFaultJSON{
		Fault: s.Name(), Words: s.Name(), Fit: string(s.Fit), BaseRate: number(s.BaseRate), Chance: number(s.Chance), Low: number(low), High: number(high),
		Error: number(s.Error), LogLikelihood: number(s.LogLikelihood), Ratio: number(s.Ratio), Effective: number(s.Draws),
		Shows: []diagnoseShownJSON{}, Source: "prior, no published source",
	}
	if s.Fault == nil {
		return j
	}
	b := r.Found.Bank
	f := b.Index(s.Fault)
	j.Words, j.Mend, j.Source, j.Draws = s.Fault.Words, s.Fault.Mend, s.Fault.Source, b.Draws[f]
	for _, x := range r.Found.Shows[f] {
		j.Shows = append(j.Shows, diagnoseShownJSON{number(x.P05), number(x.P50), number(x.P95), number(x.Never), number(x.Ratio)})
	}
	return j
}
