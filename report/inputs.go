package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Inputs lists every input of a scenario with its basis and source.
type Inputs struct {
	Scenario *scenarios.Scenario
	Follows  *sim.Follows    // what the inputs come to; nil: not looked at
	Circuit  *sim.CircuitLap // nil: the duty is no circuit
	Units    units.System
}

// Document is the list for people.
func (r Inputs) Document() *Document {
	s := r.Scenario
	d := &Document{}
	d.title(s.Title, Layout(s, r.Units))
	n := basisCount(s)
	d.paragraph(fmt.Sprintf("ok: %d inputs (%d measured, %d stated, %d assumed, lap and limits apart), %s",
		len(s.Inputs), n[scenarios.Measured], n[scenarios.Stated], n[scenarios.Assumed], howMany("warning", len(s.Warnings))))
	t := &table{head: []string{"input", "value", "basis"}, words: []int{0, 1, 2}, whole: 1}
	var sources []string
	for _, q := range s.Inputs {
		t.add(q.Path, r.value(q), strings.TrimSpace(string(q.Basis)+" "+noted(&sources, q.Source)))
	}
	d.table(t)
	d.facts(footnotes(sources))
	if len(s.Rules) > 0 {
		t := &table{heading: "Left out, and following from other inputs", head: []string{"input", "rule", "source"}, words: []int{0, 1, 2}, whole: 1}
		for _, rule := range s.Rules {
			t.add(rule.Path, rule.Text, rule.Source)
		}
		d.table(t)
	}
	if len(s.Correlations) > 0 {
		t := &table{heading: "Rank correlations", head: []string{"input", "with", "rank"}, words: []int{0, 1}}
		for _, c := range s.Correlations {
			t.add(c.Between[0].Path, c.Between[1].Path, fmt.Sprintf("%.3g", c.Rank))
		}
		d.table(t)
	}
	if r.Follows != nil {
		heading := fmt.Sprintf("What follows from it: medians, and in brackets what holds 90 %% of %s realizations", words.Grouped(int64(r.Follows.Realizations)))
		d.blocks = append(d.blocks, headed{heading, r.follows()})
	}
	d.list("Warnings", append(Warnings(s), r.outside()...))
	return d
}

func howMany(what string, n int) string {
	switch n {
	case 0:
		return "no " + what + "s"
	case 1:
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// noted returns the mark of a source, "[2]", and lists it if it is new.
func noted(sources *[]string, source string) string {
	if source == "" {
		return ""
	}
	i := slices.Index(*sources, source)
	if i < 0 {
		i = len(*sources)
		*sources = append(*sources, source)
	}
	return fmt.Sprintf("[%d]", i+1)
}

func footnotes(sources []string) facts {
	var f facts
	for i, s := range sources {
		f.add(fmt.Sprintf("[%d]", i+1), s)
	}
	return f
}

// leastCut is the smallest share cut off a distribution that is told.
const leastCut = 1e-4

// value is the input's distribution, and what was cut off it.
func (r Inputs) value(q *scenarios.Quantity) string {
	text := words.Notation(q, r.Units)
	if q.Cut >= leastCut {
		text += fmt.Sprintf(" (%s %% cut off)", words.Percent(q.Cut, q.Cut/2))
	}
	return text
}

// Warnings lists the warnings of a scenario.
func Warnings(s *scenarios.Scenario) []string {
	list := []string{}
	for _, w := range s.Warnings {
		text := w.Text
		if w.Path != "" {
			text = w.Path + ": " + text
		}
		if w.Line > 0 {
			text = fmt.Sprintf("line %d: %s", w.Line, text)
		}
		list = append(list, text)
	}
	return list
}

type inputJSON struct {
	Path      string          `json:"path"`
	Line      int             `json:"line"`
	Basis     scenarios.Basis `json:"basis"`
	Text      string          `json:"text"`
	Dimension string          `json:"dimension"`
	Nominal   number          `json:"nominal"` // SI
	P05       number          `json:"p05"`
	P50       number          `json:"p50"`
	P95       number          `json:"p95"`
	Exact     bool            `json:"exact"`
	Cut       number          `json:"cut"`
	Source    string          `json:"source,omitempty"`
}

type ruleJSON struct {
	Path   string `json:"path"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

type correlationJSON struct {
	Between [2]string `json:"between"`
	Rank    number    `json:"rank"`
}

type inputsReportJSON struct {
	Format       string            `json:"format"`
	Version      int               `json:"version"`
	Scenario     scenarioJSON      `json:"scenario"`
	Counts       inputsJSON        `json:"counts"`
	Inputs       []inputJSON       `json:"inputs"`
	Rules        []ruleJSON        `json:"rules"`
	Correlations []correlationJSON `json:"correlations"`
	Sessions     []number          `json:"sessions_s"`
	Variants     []string          `json:"variants"`
	Follows      *followsJSON      `json:"follows,omitempty"`
	Warnings     []string          `json:"warnings"`
}

// WriteJSON writes the list for programs: nominal value and quantiles in SI.
func (r Inputs) WriteJSON(w io.Writer) error {
	s := r.Scenario
	out := inputsReportJSON{
		Format: "sumpward/validate", Version: 1, Scenario: scenarioOf(s), Counts: inputsOf(s),
		Inputs: []inputJSON{}, Rules: []ruleJSON{}, Correlations: []correlationJSON{},
		Variants: listed(s.Variants), Follows: followsOf(r.Follows), Warnings: append(Warnings(s), r.outside()...),
	}
	for _, q := range s.Inputs {
		d := q.Distribution
		out.Inputs = append(out.Inputs, inputJSON{
			Path: q.Path, Line: q.Line, Basis: q.Basis, Text: q.Text, Dimension: q.Dimension.String(), Nominal: number(q.Nominal()),
			P05: number(d.Quantile(0.05)), P50: number(d.Quantile(0.5)), P95: number(d.Quantile(0.95)),
			Exact: q.IsExact(), Cut: number(q.Cut), Source: q.Source,
		})
	}
	for _, x := range s.Rules {
		out.Rules = append(out.Rules, ruleJSON{x.Path, x.Text, x.Source})
	}
	for _, c := range s.Correlations {
		out.Correlations = append(out.Correlations, correlationJSON{[2]string{c.Between[0].Path, c.Between[1].Path}, number(c.Rank)})
	}
	for _, l := range s.Sessions {
		out.Sessions = append(out.Sessions, number(l))
	}
	return writeJSON(w, out)
}

// WriteCSV writes one row for each input.
func (r Inputs) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"path", "line", "basis", "text", "dimension", "nominal_SI", "p05_SI", "p50_SI", "p95_SI", "exact", "cut", "source"}}
	for _, q := range r.Scenario.Inputs {
		d := q.Distribution
		s.add(q.Path, q.Line, string(q.Basis), q.Text, q.Dimension.String(), q.Nominal(),
			d.Quantile(0.05), d.Quantile(0.5), d.Quantile(0.95), q.IsExact(), q.Cut, q.Source)
	}
	return s.write(w)
}
