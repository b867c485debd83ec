package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// Ask is the short answer to what was told of a car: whether it does, first between
// which chances what is not known leaves that open, what it depends on, and what to
// find out first. It fits on a screen.
type Ask struct {
	Result     *sim.Result
	Dependence *decide.Dependence
	Sizing     *decide.Sizing // where the can was to be sized, for its longest session; nil: it was told
	Others     []AskOther     // what else the car could be
	Taken      []string       // what stands for layouts that were not told
	Unread     string         // why little is known of the oil carried over on track; empty: it was read there
	Units      units.System
}

// AskOther is something else that the car could be, for which no range of an input
// stands: another engine, use or way back for the oil.
type AskOther struct {
	Question string // "engine"
	Name     string // "V8"
	Instead  string // what was taken: "V6"
	Fails    stats.Estimate
	Length   float64 // s, of the session
}

// Document is the answer for people.
func (r Ask) Document() *Document {
	d := &Document{}
	s := r.Result.Scenario
	about := Layout(s, r.Units)
	if len(r.Taken) > 0 {
		about += "; not told, so taken as: " + strings.Join(r.Taken, ", ")
	}
	d.title(s.Title, about)
	d.paragraph(r.answer())
	d.paragraph(r.drawn())
	if t := r.table(); len(t.rows) > 0 {
		d.table(t)
	}
	if first, _ := r.FindOut(); first != "" {
		d.paragraph("Find out first: " + first)
	}
	d.paragraph("Estimates, no warranty: a qualified person signs it off. Hot oil burns: keep clear of exhaust and turbo. Series rules and road law come first.")
	return d
}

// WriteCSV writes what run writes.
func (r Ask) WriteCSV(w io.Writer) error { return r.run().WriteCSV(w) }

// WriteJSON writes what run writes.
func (r Ask) WriteJSON(w io.Writer) error { return r.run().WriteJSON(w) }

func (r Ask) run() Run { return Run{Result: r.Result, Units: r.Units, Dependence: r.Dependence} }

// AskSession is the index of the session length that the answer speaks of: the
// shortest that surely breaks the limit by overflow or a choked drain, else the
// longest.
func AskSession(res *sim.Result) int {
	limit := res.Scenario.Limits.Risk.Nominal()
	for i := range res.Sessions {
		if res.Sessions[i].Fails.Low > limit {
			return i
		}
	}
	return len(res.Sessions) - 1
}

// answer is the answer in a few sentences, what is not known first.
func (r Ask) answer() string {
	var parts []string
	if r.Unread != "" {
		parts = append(parts, "Depends on carry-over on track: "+r.Unread+".")
	}
	if r.Dependence != nil {
		parts = append(parts, r.band(), r.judged())
	}
	if r.Sizing != nil {
		parts = append(parts, r.size())
	}
	return strings.Join(parts, " ")
}

// ends are the least and the greatest chance that what is not known leaves open.
func (r Ask) ends() (low, high stats.Estimate) {
	low, high = r.Dependence.Low, r.Dependence.High
	for _, o := range r.Others {
		if o.Fails.Probability < low.Probability {
			low = o.Fails
		}
		if o.Fails.Probability > high.Probability {
			high = o.Fails
		}
	}
	return low, high
}

func (r Ask) band() string {
	d := dependence{r.Dependence, r.Units}
	low, high := r.ends()
	from, to := d.count(low), d.count(high)
	if r.Dependence.DependsOnTrack() {
		if from != to {
			from += " to " + to
		}
		return d.withRoad(fmt.Sprintf("%s in %s simulated %s sessions.", words.Sentence(d.what()), from, words.Length(d.Length, r.Units)))
	}
	session := fmt.Sprintf("simulated %s sessions", words.Length(d.Length, r.Units))
	switch {
	case !r.seenToMove():
		return fmt.Sprintf("%s in %s %s; nothing that is not known is seen to move that by itself.", words.Sentence(d.what()), from, session)
	case from == to:
		return fmt.Sprintf("Whatever is not known, %s in %s %s.", d.what(), from, session)
	}
	return fmt.Sprintf("Depending on what is not known, %s in %s to %s %s.", d.what(), from, to, session)
}

// seenToMove reports whether an input was seen to move the chance, so that the ends
// of its range were simulated, or something else that the car could be was.
func (r Ask) seenToMove() bool {
	return len(r.Others) > 0 || slices.ContainsFunc(r.Dependence.Inputs, func(in decide.InputDependence) bool { return !in.Tenths })
}

// judged says how the band stands to the limit.
func (r Ask) judged() string {
	low, high := r.ends()
	limit := "the limit of " + words.Show(r.Dependence.Limit, units.Fraction, r.Units)
	switch {
	case r.Dependence.DependsOnTrack():
		return fmt.Sprintf("It keeps %s %s: weigh what a sealed can catches in one session.", limit, TrackTipping(r.Dependence.Track, r.Units))
	case high.High <= r.Dependence.Limit:
		return "That keeps " + limit + "."
	case low.Low > r.Dependence.Limit && !r.seenToMove():
		return "That breaks " + limit + ": change the layout."
	case low.Low > r.Dependence.Limit:
		return "None of that keeps " + limit + ": change the layout."
	case len(r.Dependence.Tips()) == 0 && len(r.Dependence.Pairs) > 0:
		return dependence{r.Dependence, r.Units}.verdict()
	case low.High <= r.Dependence.Limit && high.Low > r.Dependence.Limit:
		return "So whether it keeps " + limit + " depends on that."
	}
	return "That is too close to " + limit + " to tell."
}

// size says which can does, all that is not known drawn at random.
func (r Ask) size() string {
	v := sizingWords{r.Sizing, r.Units, len(r.Sizing.Sessions) - 1}
	t := r.Sizing.Volume[v.longest]
	if !t.Found || math.IsNaN(t.Buy) {
		return v.volume()
	}
	with := "all of that drawn at random"
	if decide.TrackUnread(r.Result.Scenario) {
		with += " and " + RoadReading
	}
	return fmt.Sprintf("The smallest can that keeps it, %s: %s (%s, rounded up; sampling leaves %s).",
		with, size(t.Buy, units.Volume, r.Units), size(t.Value, units.Volume, r.Units), span(t.Low, t.High, units.Volume, r.Units))
}

// drawn says what happens with all that is not known drawn at random, and what of
// it can and drain don't mend.
func (r Ask) drawn() string {
	w := wordingOf(r.Result, r.Units, r.Result.Scenario.Limits.Risk.Nominal(), AskSession(r.Result))
	list := []string{"the can overflows in " + w.count(w.chances[words.Overflow])}
	if r.Result.Kind != sim.NoDrain {
		list = append(list, "its drain backs up in "+w.count(w.chances[words.DrainChoked]))
	}
	if w.chances[words.OverPressure].StandingTo(w.limit) == words.Beyond {
		list = append(list, "crankcase pressure goes over its limit in "+w.count(w.chances[words.OverPressure])+", too many: look at breathers and separator element")
	}
	if w.chances[words.OilLost].StandingTo(w.limit) == words.Beyond {
		list = append(list, "more oil is lost than allowed in "+w.count(w.chances[words.OilLost])+", too many: look for what moves it")
	}
	road := ""
	if decide.TrackUnread(r.Result.Scenario) {
		road = " and " + RoadReading
	}
	return fmt.Sprintf("With all of it drawn at random%s, %s sessions, sampling ± %s %%: %s.",
		road, words.Length(w.session.Length, r.Units), words.Percent(r.Result.Reached, r.Result.Reached), strings.Join(list, "; "))
}

// pressed reports whether crankcase pressure breaks the limit by itself.
func (r Ask) pressed() bool {
	limit := r.Result.Scenario.Limits.Risk.Nominal()
	return r.Result.Sessions[AskSession(r.Result)].OverPressure.Low > limit
}

// mostAsked is how many inputs the table lists.
const mostAsked = 4

// table lists what moves the chance most: what tips it first.
func (r Ask) table() *table {
	t := &table{
		head: []string{"what moves it most", "chance", "to", "keeps the limit"}, words: []int{0, 3},
	}
	if r.Dependence == nil {
		return t
	}
	for _, o := range r.open() {
		t.add("the "+o.question+", "+o.least.Name+" .. "+o.most.Name, brief(o.least.Fails), brief(o.most.Fails), r.kept(o))
	}
	for _, in := range r.strongest() {
		keeps := words.None
		if in.Tips {
			keeps = r.tipping(in)
		}
		t.add(words.InputName(in.Input.Path)+", "+span(in.From, in.To, in.Input.Dimension, r.Units), brief(in.AtFrom), brief(in.AtTo), keeps)
	}
	if len(t.rows) > mostAsked {
		t.rows = t.rows[:mostAsked]
	}
	return t
}

// brief writes a chance in few letters; never a bare 0 %.
func brief(e stats.Estimate) string {
	switch e.Probability {
	case 0:
		return "< " + words.Percent(e.High, e.High/2) + " %"
	case 1:
		return "> " + words.Percent(e.Low, e.HalfWidth()) + " %"
	}
	return words.Percent(e.Probability, e.HalfWidth()) + " %"
}

// tipping says on which side of which values the limit is kept.
func (r Ask) tipping(in decide.InputDependence) string {
	side := "above "
	if in.Tipping.KeptBelow {
		side = "below "
	}
	low, high := min(in.Tipping.Low, in.Tipping.High), max(in.Tipping.Low, in.Tipping.High)
	if math.IsInf(low, 0) || math.IsInf(high, 0) || math.IsNaN(low) || math.IsNaN(high) {
		return side + in.Input.Format(in.Tipping.Value, r.Units)
	}
	return side + span(low, high, in.Input.Dimension, r.Units)
}

// strongest are the inputs worth a line: those that tip, then those that move most.
func (r Ask) strongest() []decide.InputDependence {
	list := r.Dependence.Tips()
	for _, in := range r.Dependence.Inputs {
		if !in.Tips && !in.Tenths && in.AtFrom.Probability != in.AtTo.Probability {
			list = append(list, in)
		}
	}
	return list
}

// open is what a question leaves open that no range stands for.
type open struct {
	question    string
	least, most AskOther
}

func (o open) effect() float64 { return o.most.Fails.Probability - o.least.Fails.Probability }

// open lists by question what the car could be, by how far it moves the chance; what
// moves it less than every input does is left out.
func (r Ask) open() (list []open) {
	for _, o := range r.Others {
		told := AskOther{Name: o.Instead, Fails: r.Dependence.Chance, Length: r.Dependence.Length}
		if len(list) == 0 || list[len(list)-1].question != o.Question {
			list = append(list, open{o.Question, told, told})
		}
		l := &list[len(list)-1]
		if o.Fails.Probability < l.least.Fails.Probability {
			l.least = o
		}
		if o.Fails.Probability > l.most.Fails.Probability {
			l.most = o
		}
	}
	kept := list[:0]
	for _, o := range list {
		if o.least.Fails.High < o.most.Fails.Low {
			kept = append(kept, o)
		}
	}
	return kept
}

// kept says which way keeps the limit.
func (r Ask) kept(o open) string {
	if o.least.Fails.High <= r.Dependence.Limit && o.most.Fails.Low > r.Dependence.Limit {
		return o.least.Name
	}
	return words.None
}

// FindOut says what to find out first, and how, with the name of the test that reads
// it; empty where there is none, or where nothing that is not known moves the chance.
//
// What decides by itself comes before what only moves the chance, and of these what
// moves it most.
func (r Ask) FindOut() (text, test string) {
	if r.Dependence == nil {
		return "", ""
	}
	if t, ok := r.testOf("carry_over.full_throttle"); ok && r.Dependence.DependsOnTrack() {
		return "carry-over on track. " + byTest(t), t.Name
	}
	most := 0.0
	for _, in := range r.strongest() {
		effect := math.Abs(in.AtTo.Probability - in.AtFrom.Probability)
		if in.Tips {
			effect++
		}
		if t, ok := r.testOf(in.Input.Path); ok && effect > most {
			most, text, test = effect, words.InputName(in.Input.Path)+". "+byTest(t), t.Name
		}
	}
	for _, o := range r.open() {
		effect := o.effect()
		if r.kept(o) != words.None {
			effect++
		}
		if effect > most {
			most, text, test = effect, askFor[o.question], ""
		}
	}
	if t, ok := r.testOf("engine.wear"); text == "" && ok && r.pressed() {
		return "crankcase pressure. " + byTest(t), t.Name
	}
	return text, test
}

// askFor says how to settle what no range stands for.
var askFor = map[string]string{
	"use":    "what the car is used for, and how long a session is. Ask its owner.",
	"engine": "which engine it is: layout, size, turbo or not. Ask its owner.",
	"return": "where the oil goes back, and whether the hose is sealed. Follow the hose from the can with a light.",
}

// testOf is the shop test that tells of an input with the least trouble.
func (r Ask) testOf(path string) (decide.Test, bool) {
	for _, t := range decide.TestsFor(r.Result.Scenario) {
		for _, reading := range t.Readings {
			if reading.Tells(path) {
				return t, true
			}
		}
	}
	return decide.Test{}, false
}

func byTest(t decide.Test) string {
	return fmt.Sprintf("%s: %s, %.0f minutes.", t.Title, t.Where, t.Minutes)
}
