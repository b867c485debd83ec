// Package interview asks the few things that a shop knows of a car, in its own
// words, and turns the answers into a scenario.
//
// The questions are data: what is asked, an example, how an answer is read. Nothing
// here reads or prints. What isn't known stays a range of a preset, and where a
// preset has no range for it (a layout, a way back for the oil) the others that it
// could be are listed, to be looked at too ([Answers.Others]).
package interview

import "sumpward/scenarios/preset"

// Question is one question. An empty answer is "don't know".
type Question struct {
	Name    string   // of the flag that answers it, too: "fall"
	Text    string   // "Fall from the can's outlet to the return, as taped, car level?"
	Example string   // answers that are understood: "90 mm; 3 1/2 in"
	Empty   string   // what an empty answer does, other than don't know: "size it"
	More    string   // what it is for, and how to find out
	Choices []string // words to choose from; empty: none

	matters func(told) bool // after the answers so far; nil: always
	take    func(t *told, text string) error
}

// told is what the answers say, each in the words of a preset.
type told struct {
	use     string // name of the use; empty: not known
	layout  string // of the engine; empty: not known
	charged charging
	known   preset.Known
}

type charging int

const (
	maybeCharged charging = iota
	turbocharged
	aspirated
)

// Questions lists the questions, in the order in which they are asked.
func Questions() []Question {
	return []Question{
		{
			Name: "use", Text: "What is the car used for?", Choices: preset.UseNames(), take: takeUse,
			Example: "road; track day; sprint; endurance",
			More:    "It says how long a session is, and how much of it is full throttle.",
		},
		{
			Name: "engine", Text: "Engine: size, layout, turbo or not?", Choices: preset.EngineNames(), take: takeEngine,
			Example: "2.2 L flat four turbo; 5.0 L V8 NA",
			More:    "Inline four, flat four, V6 or V8. Any part may be left out. Size and boost give the blow-by.",
		},
		{
			Name: "boost", Text: "Peak boost?", take: takeBoost,
			Example: "1.1 bar; 16 psi; 0 bar, without a charger",
			More:    "Above atmospheric, at full load.",
			matters: func(t told) bool { return t.charged != aspirated && t.known.Boost == "" },
		},
		{
			Name: "condition", Text: "How worn is the engine?", Choices: preset.ConditionNames(),
			take: func(t *told, text string) error { t.known.Condition = text; return nil }, Example: "fresh; used; tired",
			More: "Rings wear, and blow-by grows: a tired engine may have three times that of a fresh one.",
		},
		{
			Name: "oil", Text: "Oil added, and over what?", Choices: preset.AmountNames(), take: takeOil,
			Example: "0.3 L a session; 1 L in 6000 km; none; some; much",
			More:    "What had to be topped up, or came out of the can. On track tells far more than on the road.",
		},
		{
			Name: "can", Text: "Usable volume of the can?", Empty: "size it", take: takeCan,
			Example: "0.45 L; 1/2 US qt; 0.45 L by hand",
			More:    "What it holds before oil leaves with the gas: about half of what it is sold as. By hand: it has no drain and is emptied.",
		},
		{
			Name: "return", Text: "Where does the oil go back, and is the hose sealed?", Choices: preset.ReturnNames(), take: takeReturn,
			Example: "block breather, valve; cam cover, plain hose; sump",
			More:    "Sealed: by a check valve, or a low point that holds oil (trap). A plain hose above the oil lets gas go up it.",
			matters: func(t told) bool { return !t.byHand() },
		},
		{
			Name: "fall", Text: "Fall from the can's drain to the return, car level?", take: takeFall,
			Example: "90 mm; 3 1/2 in; 60 .. 120 mm",
			More:    "Straight down, as taped. With a return below the oil: down to the oil, engine running.",
			matters: func(t told) bool { return !t.byHand() },
		},
		{
			Name: "bore", Text: "Bore of the drain hose?", take: takeBore,
			Example: "12 mm; 1/2 in; dash 8",
			More:    "Inside, at the narrowest fitting.",
			matters: func(t told) bool { return !t.byHand() },
		},
		{
			Name: "also", Text: "Does any of these apply?", Choices: alsoNames(), Empty: "none", take: takeAlso,
			Example: "breather lost; dip 30 mm; vents to air; can within a can",
			More: "Breather lost: one circuit was given up for the can. Dip: the drain hose has a low point, so deep. " +
				"Vents to air: the can's outlet ends in the open. Can within a can: the gas has less room as it fills.",
		},
	}
}

// byHand reports whether the can is emptied by hand.
func (t told) byHand() bool { return t.known.Return == byHand }

const byHand = "by hand"
