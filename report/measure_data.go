package report

import (
	"io"
	"math"

	"sumpward/scenarios"
	"sumpward/sim/decide"
)

var nan = math.NaN()

func zeroAsNaN(v float64) float64 {
	if v == 0 {
		return nan
	}
	return v
}

func pathsOf(inputs []*scenarios.Quantity) []string {
	list := []string{}
	for _, q := range inputs {
		list = append(list, q.Path)
	}
	return list
}

type settlingJSON struct {
	Test    string       `json:"test"`
	Title   string       `json:"title"`
	Where   string       `json:"where"`
	Minutes number       `json:"minutes"`
	Reads   string       `json:"reads"` // an input's path, or what several make together
	Inputs  []string     `json:"inputs"`
	Error   number       `json:"standard_error"` // SI; null: see the next
	Factor  number       `json:"geometric_standard_error"`
	Source  string       `json:"error_source"`
	From    number       `json:"from"` // SI, as all values of readings
	To      number       `json:"to"`
	Against []string     `json:"tips_with"`
	Tipping *tippingJSON `json:"tipping"`
	Decides number       `json:"decides"`
	Now     number       `json:"chance_moves_now"`
	Left    number       `json:"chance_moves_after"`
	AtWorst number       `json:"chance_moves_after_at_worst"`
}

func keptSide(t decide.TippingValue) string {
	return map[bool]string{true: "below", false: "above"}[t.KeptBelow]
}

func settlingOf(x decide.Settling) settlingJSON {
	j := settlingJSON{
		Test: x.Test.Name, Title: x.Test.Title, Where: x.Test.Where, Minutes: number(x.Test.Minutes), Reads: x.Reading.Of,
		Inputs: pathsOf(x.Inputs), Error: number(zeroAsNaN(x.Reading.Error.SD)), Factor: number(zeroAsNaN(x.Reading.Error.GSD)), Source: x.Reading.Source,
		From: number(x.From), To: number(x.To), Against: pathsOf(x.Against),
		Decides: number(x.Decides), Now: number(x.Now), Left: number(x.Left), AtWorst: number(x.AtWorst),
	}
	if j.Reads == "" {
		j.Reads = x.Inputs[0].Path
	}
	if t := x.Tipping; x.Tips {
		j.Tipping = &tippingJSON{number(t.Value), number(t.Low), number(t.High), keptSide(t)}
	}
	return j
}

type withoutJSON struct {
	Path   string `json:"path"`
	Assume string `json:"assume"`
}

type measureJSON struct {
	Format       string          `json:"format"`
	Version      int             `json:"version"`
	Scenario     scenarioJSON    `json:"scenario"`
	Seed         uint64          `json:"seed"`
	Realizations int             `json:"realizations"`
	Dependence   *dependenceJSON `json:"dependence"`
	Strongest    *string         `json:"strongest"` // where nothing tips
	Tests        []settlingJSON  `json:"tests"`
	Without      []withoutJSON   `json:"without_a_test"`
	Verdict      string          `json:"verdict"`
	Cautions     []string        `json:"cautions"`
}

// WriteJSON writes tests and what the verdict rests on for programs.
func (r Measure) WriteJSON(w io.Writer) error {
	s := r.Settlement
	out := measureJSON{
		Format: "sumpward/measure", Version: 1, Scenario: scenarioOf(s.Scenario), Seed: r.Seed, Realizations: r.Rested,
		Dependence: dependenceOf(s.Dependence), Tests: []settlingJSON{}, Without: []withoutJSON{},
		Verdict: r.stands() + " " + r.rests(), Cautions: Cautions,
	}
	if s.Strongest != nil {
		out.Strongest = &s.Strongest.Input.Path
	}
	for _, x := range s.Tests {
		out.Tests = append(out.Tests, settlingOf(x))
	}
	for _, x := range s.Without {
		out.Without = append(out.Without, withoutJSON{x.Input.Path, x.Assume})
	}
	return writeJSON(w, out)
}
