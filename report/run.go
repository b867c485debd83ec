package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Run is the report on many realizations of a scenario.
type Run struct {
	Result       *sim.Result
	Units        units.System
	Requirements []RequirementResult
	Dependence   *decide.Dependence    // what the verdict rests on; nil: not looked at
	Besides      []*decide.Dependence  // over-pressure and oil lost, where they depend on something
	Emptying     *decide.EmptyingTable // how often a can without a drain must be emptied; nil: not looked at, or it drains
	Rare         *Rare                 // chances too small to see; nil: not asked for
	CutShort     bool                  // the run was finished, not all that was to be worked out from it
}

// Document is the report for people.
func (r Run) Document() *Document {
	res := r.Result
	d := &Document{}
	d.title(res.Scenario.Title, Layout(res.Scenario, r.Units))
	if event := Event(res.Scenario, r.Units); event != "" {
		d.paragraph(event)
	}
	rests := dependence{r.Dependence, r.Units}
	if r.Dependence != nil {
		d.paragraph(rests.band())
	}
	d.table(r.chances())
	if t := r.stints(); len(t.rows) > 0 {
		d.table(t)
	}
	if r.Rare != nil {
		rareWords{r.Rare, r}.write(d)
	}
	for _, text := range []string{FirstStint(res, r.Units), StintsVary(res)} {
		if text != "" {
			d.paragraph(text)
		}
	}
	d.table(r.amounts())
	d.facts(r.rest())
	if e := (emptying{r.Emptying, r.Units}); r.Emptying != nil && len(e.Rows) > 1 {
		d.table(e.table())
		d.paragraph(Emptied(r.Emptying, r.Units))
	}
	if r.Dependence != nil {
		rests.write(d)
	}
	d.paragraph(r.verdict())
	d.list("", cautions(res))
	return d
}

// verdict is the verdict with what it depends on, which comes first where it does.
func (r Run) verdict() string {
	drawn := Verdict(r.Result, r.Units)
	if r.roadReading() && (r.Dependence == nil || r.Dependence.DependsOnTrack()) {
		drawn = Happens(r.Result, r.Units)
	}
	with := " With all inputs drawn"
	if r.roadReading() {
		with += ", carry-over being " + RoadReading
	}
	with += ": " + strings.ToLower(drawn[:1]) + drawn[1:]
	if r.Dependence == nil {
		if text := unread(r.Result.Scenario, r.asked()); text != "" {
			return text + with
		}
		return drawn
	}
	rests := []string{dependence{r.Dependence, r.Units}.verdict()}
	depends := r.Dependence.Depends()
	for _, d := range r.Besides {
		rests = append(rests, dependence{d, r.Units}.verdict())
		depends = depends || d.Depends()
	}
	if depends {
		return strings.Join(rests, " ") + with
	}
	return strings.TrimSpace(drawn + " " + strings.Join(rests, " "))
}

// roadReading reports whether chances rest on a reading over a road interval alone.
func (r Run) roadReading() bool { return decide.TrackUnread(r.Result.Scenario) }

// asked begins a verdict on the session that it is about.
func (r Run) asked() string {
	length := r.Result.Sessions[VerdictSession(r.Result)].Length
	return fmt.Sprintf("Whether %s the limit of %s", r.driven().Meets(length), words.Show(r.Result.Scenario.Limits.Risk.Nominal(), units.Fraction, r.Units))
}

func (r Run) driven() words.Driven { return words.DrivenBy(r.Result.Scenario, r.Units) }

// mostTold is how many lengths of an event are told.
const mostTold = 10

// told lists the indices of the lengths that tables have: all, but of a long event
// the first, those in equal steps up to its end, and the ones that the verdict and
// requirements are about.
func (r Run) told() []int {
	n, step := len(r.Result.Sessions), 1
	if r.driven().Scheduled() {
		step = (n + mostTold - 1) / mostTold
	}
	var list []int
	for i := range n {
		asked := slices.ContainsFunc(r.Requirements, func(q RequirementResult) bool { return q.session == i })
		if i == 0 || (n-1-i)%step == 0 || i == VerdictSession(r.Result) || asked {
			list = append(list, i)
		}
	}
	return list
}

func (r Run) chances() *table {
	limits := r.Result.Scenario.Limits
	heading, length := "Chance within a session", "session"
	if r.driven().Scheduled() {
		heading, length = "Chance by the end of …", "the first"
	}
	if heading += ", and its 95 % interval from sampling alone"; r.roadReading() {
		heading += "; carry-over is " + RoadReading
	}
	t := &table{
		heading: heading,
		head: []string{
			length, "overflow\n(gets past)", "drain choked\n(backs up)",
			"over-pressure\n(> " + words.Show(limits.CrankcasePressure.Nominal(), units.Pressure, r.Units) + ")",
			"oil lost\n(> " + words.Show(limits.OilLost.Nominal(), units.Volume, r.Units) + ")",
		},
		words: []int{0},
	}
	for _, i := range r.told() {
		s := &r.Result.Sessions[i]
		row := []string{r.driven().Length(s.Length)}
		all := words.SessionChances(r.Result, s)
		for _, c := range all[:4] {
			row = append(row, c.Cell())
		}
		t.add(row...)
	}
	return t
}

func (r Run) amounts() *table {
	share, oil := words.ColumnOf(units.Fraction, r.Units), words.SmallVolumes(r.Units)
	to := "intake"
	if r.Result.Scenario.Separator.Outlet.To == scenarios.ToAir {
		to = "air"
	}
	heading, length := "Within a session", "session"
	if r.driven().Scheduled() {
		heading, length = "By the end of …", "the first"
	}
	t := &table{
		heading: heading + ": median, and what 95 % of the realizations stay within",
		head: []string{
			length, "peak fill\n" + share.Unit.Symbol + ", median", "peak fill\n" + share.Unit.Symbol + ", 95 %",
			"drain held\n" + share.Unit.Symbol + ", median",
			"oil to " + to + "\n" + oil.Unit.Symbol + ", median", "oil to " + to + "\n" + oil.Unit.Symbol + ", 95 %",
		},
		words: []int{0},
	}
	for _, i := range r.told() {
		s := &r.Result.Sessions[i]
		t.add(r.driven().Length(s.Length), share.Text(s.PeakFill.P50), share.Text(s.PeakFill.P95),
			share.Text(s.HeldShare.P50), oil.Text(s.OilToIntake.P50), oil.Text(s.OilToIntake.P95))
	}
	return t
}

func (r Run) rest() facts {
	res, u := r.Result, r.Units
	var f facts
	p := words.ColumnOf(units.Pressure, u)
	p.Decimals = 2
	f.add("crankcase", fmt.Sprintf("highest pressure of a%s %s (median), %s (95 %%); limit %s",
		map[bool]string{true: "n event", false: " session"}[r.driven().Scheduled()], p.WithUnit(res.PeakPressure.P50), p.WithUnit(res.PeakPressure.P95), p.WithUnit(res.Scenario.Limits.CrankcasePressure.Nominal())))
	switch res.Kind {
	case sim.Sealed, sim.BelowOil:
		mm := words.ColumnOf(units.Length, u)
		f.add("drain margin", fmt.Sprintf("%s (median), %s (5 %%) of oil column in the worst phase; below 0 it is held there",
			mm.WithUnit(res.DrainMargin.P50), mm.WithUnit(res.DrainMargin.P05)))
	case sim.Unsealed:
		f.add("gas up the drain", fmt.Sprintf("%.0f %% (median), %.0f %% (95 %%) of the flow that holds all oil up, in the worst phase",
			100*res.FloodShare.P50, 100*res.FloodShare.P95))
	}
	f.add("full throttle", r.hand())
	f.add("sampling", r.sampling())
	if left := len(res.Sessions) - len(r.told()); left > 0 {
		f.add("left out", fmt.Sprintf("%d of the %d lengths: --format json or csv has them all", left, len(res.Sessions)))
	}
	for _, q := range r.Requirements {
		f.add("required", q.Text(u))
	}
	return f
}

// hand says what full throttle in hand there is.
func (r Run) hand() string {
	res, u := r.Result, r.Units
	if res.Kind == sim.NoDrain {
		t := words.InHand(u, res.ToOver.P50, res.ToOver.P05)
		return fmt.Sprintf("in hand, from empty: %s (median), %s (5 %%) until it goes over", t[0], t[1])
	}
	t := words.InHand(u, res.ToStand.P50, res.ToStand.P05, res.ToOver.P50, res.ToOver.P05)
	return fmt.Sprintf("in hand, from empty: %s (median), %s (5 %%) until oil stands in the can; %s (median), %s (5 %%) until it goes over",
		t[0], t[1], t[2], t[3])
}

func (r Run) sampling() string {
	res := r.Result
	text := fmt.Sprintf("%s realizations, %s, seed %d; widest interval ± %s %%",
		words.Grouped(int64(res.Realizations)), words.Design(res.Sampling), res.Seed, words.Percent(res.Reached, res.Reached/10))
	if res.Wanted > 0 && res.Reached > res.Wanted {
		text += fmt.Sprintf(" (wanted ± %s %%)", words.Percent(res.Wanted, res.Wanted/10))
	}
	if res.Interrupted {
		text += "; INTERRUPTED, this is what was finished"
	}
	if r.CutShort {
		text += "; INTERRUPTED, what was still to be worked out is left out"
	}
	if missing := missingFrom(res); missing > 0 {
		text += fmt.Sprintf("; %s MORE ARE MISSING, this is what was there", words.Grouped(int64(missing)))
	}
	return text
}

// missingFrom counts the realizations that are missing from a result.
func missingFrom(res *sim.Result) int {
	n := 0
	for _, g := range res.Missing {
		n += g.To - g.From
	}
	return n
}

// Layout says in one line what is simulated.
func Layout(s *scenarios.Scenario, u units.System) string {
	q := func(x *scenarios.Quantity) string { return words.Notation(x, u) }
	text := "can of " + q(s.Separator.UsableVolume)
	d := s.Drain
	switch d.Return {
	case scenarios.EmptiedByHand:
		text += ", no drain: emptied by hand " + emptied(s, u)
	case scenarios.AboveOil:
		text += ", drains back above the oil, " + map[scenarios.Seal]string{
			scenarios.NoSeal: "no seal", scenarios.ValveSeal: "through a valve", scenarios.TrapSeal: "through a trap",
		}[d.Seal]
	case scenarios.BelowOil:
		text += ", drains back below the oil"
		if d.Seal == scenarios.ValveSeal {
			text += " through a valve"
		}
	}
	if d.Bore != nil {
		text += ", bore " + q(d.Bore)
	}
	if d.Fall != nil {
		text += ", fall " + q(d.Fall)
	}
	if s.VariantName != "" {
		text += fmt.Sprintf("; variant %q", s.VariantName)
	}
	return words.Sentence(text)
}

func emptied(s *scenarios.Scenario, u units.System) string {
	e := s.Drain.Emptied
	switch {
	case e.AtStops && e.Nth > 1:
		return "at every " + ordinal(e.Nth) + "stop"
	case e.AtStops:
		return "at stops"
	case e.Every != nil:
		return "every " + words.Notation(e.Every, u)
	}
	switch {
	case len(s.Duty.Schedule) == 0:
		return "before every session"
	case slices.ContainsFunc(s.Duty.Schedule, func(i scenarios.ScheduleItem) bool { return i.Emptied }):
		return "before the event and at stops of its schedule"
	}
	return "before the event"
}

// isNaN reports whether a spread does not apply.
func isNaN(s sim.Spread) bool { return math.IsNaN(s.P50) }
