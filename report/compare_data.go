package report

import (
	"io"
	"math"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

type changeJSON struct {
	Path   string `json:"path"`
	Before string `json:"before"`
	After  string `json:"after"`
}

type layoutJSON struct {
	Name         string        `json:"name"`
	Scenario     scenarioJSON  `json:"scenario"`
	Changes      []changeJSON  `json:"changes,omitempty"` // from the first layout of the same file
	Inputs       inputsJSON    `json:"inputs"`
	Limits       limitsJSON    `json:"limits"`
	Limit        string        `json:"limit_of_risk"` // kept, broken, undecided
	Sessions     []sessionJSON `json:"sessions"`
	PeakPressure spreadJSON    `json:"peak_crankcase_pressure_Pa"`
}

type pairedJSON struct {
	Difference number `json:"difference"` // b less a
	Low        number `json:"low"`
	High       number `json:"high"`
	OnlyA      int64  `json:"only_a"` // realizations in which it came true in a alone
	OnlyB      int64  `json:"only_b"`
	Tells      bool   `json:"tells"`
	ToTell     number `json:"realizations_to_tell"` // null: no difference is seen
}

type meanDifferenceJSON struct {
	Difference number `json:"difference"`
	Low        number `json:"low"`
	High       number `json:"high"`
	Tells      bool   `json:"tells"`
	ToTell     number `json:"realizations_to_tell"`
}

type pairSessionJSON struct {
	Length       number             `json:"length_s"`
	Overflow     pairedJSON         `json:"overflow"`
	DrainChoked  pairedJSON         `json:"drain_choked"`
	OverPressure pairedJSON         `json:"over_pressure"`
	OilLost      pairedJSON         `json:"oil_lost"`
	Fails        pairedJSON         `json:"overflow_or_choked"`
	FailsRanking pairedJSON         `json:"overflow_or_choked_at_ranking_level"`
	OilToIntake  meanDifferenceJSON `json:"oil_to_intake_m3"`
}

type pairJSON struct {
	A        string             `json:"a"`
	B        string             `json:"b"`
	Pressure meanDifferenceJSON `json:"peak_crankcase_pressure_Pa"`
	Sessions []pairSessionJSON  `json:"sessions"`
}

type rankingJSON struct {
	Length    number     `json:"length_s"`
	Supported bool       `json:"supported"`
	Groups    [][]string `json:"groups"` // best first, without the car before fitting; one group: no ranking is supported
}

type compareJSON struct {
	Format       string        `json:"format"`
	Version      int           `json:"version"`
	Seed         uint64        `json:"seed"`
	Realizations int           `json:"realizations"`
	Sampling     string        `json:"sampling"`
	Level        number        `json:"level"`
	RankingLevel number        `json:"ranking_level"`
	Layouts      []layoutJSON  `json:"layouts"`
	Pairs        []pairJSON    `json:"pairs"`
	Rankings     []rankingJSON `json:"rankings"`
	Verdict      []string      `json:"verdict"`
	Cautions     []string      `json:"cautions"`
}

// WriteJSON writes all layouts and pairs for programs. How many realizations would
// tell is null where no difference is seen.
func (r Compare) WriteJSON(w io.Writer) error {
	c := r.Comparison
	out := compareJSON{
		Format: "sumpward/compare", Version: 1, Seed: c.Results[0].Seed, Realizations: c.Realizations, Sampling: c.Results[0].Sampling,
		Level: number(c.Level), RankingLevel: number(c.RankingLevel), Verdict: r.verdict(),
		Cautions: append([]string{RestsOn(r.scenario(0))}, Cautions...),
	}
	for i := range c.Layouts {
		out.Layouts = append(out.Layouts, r.layout(i))
	}
	for _, p := range c.Pairs {
		x := pairJSON{A: c.Layouts[p.A].Name, B: c.Layouts[p.B].Name, Pressure: meanDifferenceOf(p.Pressure)}
		for s := range p.Sessions {
			x.Sessions = append(x.Sessions, pairSessionOf(c.Sessions[s], &p.Sessions[s]))
		}
		out.Pairs = append(out.Pairs, x)
	}
	for s, length := range c.Sessions {
		x := rankingJSON{Length: number(length)}
		for _, group := range r.groups(s) {
			var names []string
			for _, i := range group {
				names = append(names, c.Layouts[i].Name)
			}
			x.Groups = append(x.Groups, names)
		}
		x.Supported = len(x.Groups) > 1
		out.Rankings = append(out.Rankings, x)
	}
	return writeJSON(w, out)
}

func (r Compare) layout(i int) layoutJSON {
	s, res := r.scenario(i), r.Comparison.Results[i]
	out := layoutJSON{
		Name: r.Comparison.Layouts[i].Name, Scenario: scenarioOf(s), Inputs: inputsOf(s), Limits: limitsOf(s), PeakPressure: spreadOf(res.PeakPressure),
		Limit: map[words.Standing]string{words.Within: "kept", words.Unclear: "undecided", words.Beyond: "broken"}[r.standing(i)],
	}
	if s.SHA256 == r.scenario(0).SHA256 {
		for _, c := range changesOf(r.scenario(0), s, units.Metric) {
			out.Changes = append(out.Changes, changeJSON{c.path, c.before, c.after})
		}
	}
	for n := range res.Sessions {
		out.Sessions = append(out.Sessions, Run{}.session(&res.Sessions[n]))
	}
	return out
}

func pairedOf(d stats.PairedDifference) pairedJSON {
	return pairedJSON{number(d.Difference), number(d.Low), number(d.High), d.OnlyFirst, d.OnlySecond, d.Tells(), number(d.TrialsToTell)}
}

func meanDifferenceOf(d stats.MeanDifference) meanDifferenceJSON {
	return meanDifferenceJSON{number(d.Difference), number(d.Low), number(d.High), d.Tells(), number(d.TrialsToTell)}
}

func pairSessionOf(length float64, s *decide.PairedSession) pairSessionJSON {
	return pairSessionJSON{
		Length: number(length), Overflow: pairedOf(s.Overflow), DrainChoked: pairedOf(s.DrainChoked), OverPressure: pairedOf(s.OverPressure),
		OilLost: pairedOf(s.OilLost), Fails: pairedOf(s.Fails), FailsRanking: pairedOf(s.FailsRanking), OilToIntake: meanDifferenceOf(s.OilToIntake),
	}
}

// WriteCSV writes one row for each pair and session length, SI: b less a.
func (r Compare) WriteCSV(w io.Writer) error {
	c := r.Comparison
	s := &sheet{head: []string{"a", "b", "length_s"}}
	for _, e := range []string{"overflow", "drain_choked", "over_pressure", "oil_lost", "overflow_or_choked"} {
		s.head = append(s.head, e+"_a", e+"_b", e+"_difference", e+"_low", e+"_high", e+"_only_a", e+"_only_b", e+"_to_tell")
	}
	for _, e := range []string{"oil_to_intake_m3", "peak_crankcase_pressure_Pa"} {
		s.head = append(s.head, e+"_difference", e+"_low", e+"_high", e+"_to_tell")
	}
	s.head = append(s.head, "realizations", "seed", "level")
	for _, p := range c.Pairs {
		for i := range p.Sessions {
			s.add(r.row(p, i)...)
		}
	}
	return s.write(w)
}

func (r Compare) row(p decide.Pair, session int) []any {
	c, x := r.Comparison, &p.Sessions[session]
	row := []any{c.Layouts[p.A].Name, c.Layouts[p.B].Name, c.Sessions[session]}
	for event, d := range []stats.PairedDifference{x.Overflow, x.DrainChoked, x.OverPressure, x.OilLost, x.Fails} {
		row = append(row, r.chance(p.A, session, event).Probability, r.chance(p.B, session, event).Probability,
			d.Difference, d.Low, d.High, d.OnlyFirst, d.OnlySecond, d.TrialsToTell)
	}
	pressure := p.Pressure // that of the longest session
	if session < r.last() {
		pressure = stats.MeanDifference{Difference: math.NaN(), Low: math.NaN(), High: math.NaN(), TrialsToTell: math.NaN()}
	}
	for _, d := range []stats.MeanDifference{x.OilToIntake, pressure} {
		row = append(row, d.Difference, d.Low, d.High, d.TrialsToTell)
	}
	return append(row, c.Realizations, c.Results[0].Seed, c.Level)
}
