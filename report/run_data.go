package report

import (
	"io"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/stats"
)

type chanceJSON struct {
	Probability number `json:"probability"`
	Low         number `json:"low"`
	High        number `json:"high"`
	Events      int64  `json:"events"`
}

type spreadJSON struct {
	P05 number `json:"p05"`
	P50 number `json:"p50"`
	P95 number `json:"p95"`
}

type meanSpreadJSON struct {
	Mean number `json:"mean"`
	P50  number `json:"p50"`
	P95  number `json:"p95"`
}

type sessionJSON struct {
	Length       number         `json:"length_s"`
	Overflow     chanceJSON     `json:"overflow"`
	DrainChoked  chanceJSON     `json:"drain_choked"`
	OverPressure chanceJSON     `json:"over_pressure"`
	OilLost      chanceJSON     `json:"oil_lost"`
	Fails        chanceJSON     `json:"overflow_or_choked"`
	PeakFill     spreadJSON     `json:"peak_fill"`
	HeldShare    *spreadJSON    `json:"held_share,omitempty"`
	OilToIntake  meanSpreadJSON `json:"oil_to_intake_m3"`
}

type stintJSON struct {
	Start            number     `json:"start_s"` // mean over the realizations that came to it, as all but the chances
	End              number     `json:"end_s"`
	StartTemperature number     `json:"oil_at_start_K"`
	EndTemperature   number     `json:"oil_at_end_K"`
	Reached          int        `json:"reached"` // realizations that came to it
	Overflow         chanceJSON `json:"overflow"`
	DrainChoked      chanceJSON `json:"drain_choked"`
	OverPressure     chanceJSON `json:"over_pressure"`
	Fails            chanceJSON `json:"overflow_or_choked"`
}

type scenarioJSON struct {
	Title   string `json:"title"`
	SHA256  string `json:"sha256"`
	Example string `json:"example,omitempty"`
	Variant string `json:"variant,omitempty"`
}

func scenarioOf(s *scenarios.Scenario) scenarioJSON {
	return scenarioJSON{s.Title, s.SHA256, s.Example, s.VariantName}
}

type inputsJSON struct {
	Measured int `json:"measured"`
	Stated   int `json:"stated"`
	Assumed  int `json:"assumed"`
}

func inputsOf(s *scenarios.Scenario) inputsJSON {
	n := basisCount(s)
	return inputsJSON{n[scenarios.Measured], n[scenarios.Stated], n[scenarios.Assumed]}
}

type balanceJSON struct {
	Carried  number `json:"carried_m3"`
	Drained  number `json:"drained_m3"`
	Uncaught number `json:"uncaught_m3"`
	Over     number `json:"over_the_top_m3"`
	Emptied  number `json:"emptied_m3"`
	Held     number `json:"held_m3"`
	Burnt    number `json:"burnt_m3"`
	Residual number `json:"residual"`
}

type handJSON struct {
	Stand *spreadJSON `json:"until_oil_stands_s,omitempty"`
	Over  spreadJSON  `json:"until_it_goes_over_s"`
	From  int         `json:"realizations"`
}

type limitsJSON struct {
	Risk     number `json:"risk"`
	Pressure number `json:"crankcase_pressure_Pa"`
	OilLost  number `json:"oil_lost_m3"`
	Choke    number `json:"choke_level"`
}

type requirementJSON struct {
	Text    string  `json:"text"`
	Outcome Outcome `json:"outcome"`
}

type worstJSON struct {
	Realization uint64 `json:"realization"`
	Overflow    number `json:"overflow_s"`
	PeakFill    number `json:"peak_fill"`
}

type runJSON struct {
	Format        string             `json:"format"`
	Version       int                `json:"version"`
	Scenario      scenarioJSON       `json:"scenario"`
	Seed          uint64             `json:"seed"`
	Realizations  int                `json:"realizations"`
	Missing       int                `json:"missing_realizations,omitempty"`
	Sampling      string             `json:"sampling"`
	SamplingError number             `json:"sampling_error"`
	Interrupted   bool               `json:"interrupted"`
	Inputs        inputsJSON         `json:"inputs"`
	Limits        limitsJSON         `json:"limits"`
	Sessions      []sessionJSON      `json:"sessions"`
	Stints        []stintJSON        `json:"stints,omitempty"` // of a schedule
	Balance       balanceJSON        `json:"balance"`
	PeakPressure  spreadJSON         `json:"peak_crankcase_pressure_Pa"`
	DrainMargin   *spreadJSON        `json:"drain_margin_m,omitempty"`
	FloodShare    *spreadJSON        `json:"gas_up_drain_over_flooding,omitempty"`
	Hand          handJSON           `json:"full_throttle_in_hand"`
	Worst         worstJSON          `json:"worst"`
	Requirements  []requirementJSON  `json:"requirements,omitempty"`
	Dependence    *dependenceJSON    `json:"rests_on,omitempty"`
	Besides       []*dependenceJSON  `json:"rests_on_besides,omitempty"` // over-pressure and oil lost, where they depend
	Emptying      *emptyingTableJSON `json:"emptying,omitempty"`
	Rare          *rareJSON          `json:"rare,omitempty"` // where it was asked for
	Verdict       string             `json:"verdict"`
	Warnings      []string           `json:"warnings"`
	Cautions      []string           `json:"cautions"`
	References    []string           `json:"references"`
}

// WriteJSON writes the result for programs. What never happens within the
// horizon (full throttle in hand, first overflow) is null.
func (r Run) WriteJSON(w io.Writer) error {
	res := r.Result
	limits := res.Scenario.Limits
	out := runJSON{
		Format: "sumpward/run", Version: 1, Scenario: scenarioOf(res.Scenario), Seed: res.Seed,
		Realizations: res.Realizations, Missing: missingFrom(res), Sampling: res.Sampling, SamplingError: number(res.Reached),
		Interrupted: res.Interrupted || r.CutShort, Inputs: inputsOf(res.Scenario),
		Limits: limitsJSON{
			number(limits.Risk.Nominal()), number(limits.CrankcasePressure.Nominal()),
			number(limits.OilLost.Nominal()), number(limits.ChokeLevel.Nominal()),
		},
		Balance: balanceJSON{
			number(res.Balance.Carried), number(res.Balance.Drained), number(res.Balance.Uncaught), number(res.Balance.Over),
			number(res.Balance.Emptied), number(res.Balance.Held), number(res.Balance.Burnt), number(res.Residual),
		},
		PeakPressure: spreadOf(res.PeakPressure), DrainMargin: optional(res.DrainMargin), FloodShare: optional(res.FloodShare),
		Hand:       handJSON{Over: spreadOf(res.ToOver), From: res.HandFrom},
		Worst:      worstJSON{res.Worst.Realization, number(res.Worst.Overflow), number(res.Worst.PeakFill)},
		Dependence: dependenceOf(r.Dependence), Verdict: r.verdict(), Warnings: listed(res.Warnings), Cautions: cautions(res), References: References(res),
	}
	if res.Kind != sim.NoDrain {
		s := spreadOf(res.ToStand)
		out.Hand.Stand = &s
	}
	out.Emptying = emptyingOf(r.Emptying, r.Units)
	if out.Rare = rareOf(r.Rare, res); out.Rare != nil {
		out.References = append(out.References, rareReference)
	}
	for _, d := range r.Besides {
		out.Besides = append(out.Besides, dependenceOf(d))
	}
	for i := range res.Sessions {
		out.Sessions = append(out.Sessions, r.session(&res.Sessions[i]))
	}
	stints := Stints(res)
	for i := range stints {
		out.Stints = append(out.Stints, stintOf(res, &stints[i]))
	}
	for _, q := range r.Requirements {
		out.Requirements = append(out.Requirements, requirementJSON{q.text, q.Outcome})
	}
	return writeJSON(w, out)
}

func (r Run) session(s *sim.SessionResult) sessionJSON {
	c := func(e stats.Estimate, events int64) chanceJSON {
		return chanceJSON{number(e.Probability), number(e.Low), number(e.High), events}
	}
	return sessionJSON{
		Length: number(s.Length), Overflow: c(s.Overflow, s.Events.Overflow),
		DrainChoked: c(s.DrainChoked, s.Events.DrainChoked), OverPressure: c(s.OverPressure, s.Events.OverPressure),
		OilLost: c(s.OilLost, s.Events.OilLost), Fails: c(s.Fails, s.Events.Fails),
		PeakFill: spreadOf(s.PeakFill), HeldShare: optional(s.HeldShare),
		OilToIntake: meanSpreadJSON{number(s.OilToIntake.Mean), number(s.OilToIntake.P50), number(s.OilToIntake.P95)},
	}
}

func stintOf(res *sim.Result, s *sim.StintResult) stintJSON {
	c := func(e sim.Event) chanceJSON {
		x := StintChance(res, s, e)
		return chanceJSON{number(x.Probability), number(x.Low), number(x.High), x.Events}
	}
	return stintJSON{
		Start: number(s.Start), End: number(s.End),
		StartTemperature: number(s.StartTemperature), EndTemperature: number(s.EndTemperature), Reached: s.Reached,
		Overflow: c(sim.Overflow), DrainChoked: c(sim.DrainChoked), OverPressure: c(sim.OverPressure), Fails: c(sim.OverflowOrChoked),
	}
}

func spreadOf(s sim.Spread) spreadJSON {
	return spreadJSON{number(s.P05), number(s.P50), number(s.P95)}
}

// optional is a spread where it applies.
func optional(s sim.Spread) *spreadJSON {
	if isNaN(s) {
		return nil
	}
	out := spreadOf(s)
	return &out
}

// listed is a list that is never null.
func listed(texts []string) []string {
	if texts == nil {
		return []string{}
	}
	return texts
}

// stintColumns follow the others where a result has stints.
var stintColumns = []string{"stint", "start_s", "end_s", "oil_at_start_K", "oil_at_end_K"}

// WriteCSV writes one row for each session length, SI. Of a schedule one row for
// each stint follows, which has a number in the column stint and no length.
func (r Run) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"length_s"}}
	for _, e := range []string{"overflow", "drain_choked", "over_pressure", "oil_lost", "overflow_or_choked"} {
		s.head = append(s.head, e+"_probability", e+"_low", e+"_high", e+"_events")
	}
	s.head = append(s.head, "peak_fill_p05", "peak_fill_p50", "peak_fill_p95", "held_share_p50",
		"oil_to_intake_mean_m3", "oil_to_intake_p50_m3", "oil_to_intake_p95_m3", "realizations", "seed")
	stints := Stints(r.Result)
	if len(stints) > 0 {
		s.head = append(s.head, stintColumns...)
	}
	if r.Rare != nil {
		s.head = append(s.head, rareColumns()...)
	}
	for i := range r.Result.Sessions {
		x := &r.Result.Sessions[i]
		row := []any{x.Length}
		for _, c := range words.SessionChances(r.Result, x) {
			row = append(row, c.Probability, c.Low, c.High, c.Events)
		}
		row = append(row, x.PeakFill.P05, x.PeakFill.P50, x.PeakFill.P95, x.HeldShare.P50,
			x.OilToIntake.Mean, x.OilToIntake.P50, x.OilToIntake.P95, r.Result.Realizations, r.Result.Seed)
		if len(stints) > 0 {
			row = append(row, blanks(len(stintColumns))...)
		}
		if r.Rare != nil {
			row = append(row, r.Rare.cells(i)...)
		}
		s.add(row...)
	}
	for i := range stints {
		x := &stints[i]
		row := []any{""}
		for _, e := range []sim.Event{sim.Overflow, sim.DrainChoked, sim.OverPressure, sim.OilLost, sim.OverflowOrChoked} {
			if e == sim.OilLost { // counts over the event
				row = append(row, blanks(4)...)
				continue
			}
			c := StintChance(r.Result, x, e)
			row = append(row, c.Probability, c.Low, c.High, c.Events)
		}
		row = append(row, blanks(7)...)
		row = append(row, x.Reached, r.Result.Seed, i+1, x.Start, x.End, x.StartTemperature, x.EndTemperature)
		if r.Rare != nil {
			row = append(row, r.Rare.cells(-1)...)
		}
		s.add(row...)
	}
	return s.write(w)
}

// blanks are so many cells of which nothing is known.
func blanks(n int) []any {
	list := make([]any, n)
	for i := range list {
		list[i] = ""
	}
	return list
}
