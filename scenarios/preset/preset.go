// Package preset writes a scenario to start from when little is known of a
// car: an engine layout and a use, as ranges with their sources.
//
// A preset is nobody's car. It gives a range for what differs between engines
// or uses, or is mostly unknown; where no difference between layouts, or
// between uses, is published, the range is shared and its source says so. What
// is known goes in as it was told ([Known]).
package preset

import (
	"errors"
	"fmt"
	"strings"

	"sumpward/scenarios"
)

// Choice is an engine layout and a use, by name (see [MatchEngine] and
// [MatchUse]: any case, with or without hyphens).
type Choice struct {
	Engine string // "flat four", or with its charging: "flat four turbo"
	Turbo  bool   // true makes a layout that doesn't say so a turbocharged one
	Use    string // "track day"
	Title  string // of the scenario; empty: one that says that it is a preset
}

// Known is what is known of a car, each answer as it would be typed, with its
// unit ("90 mm", "80 .. 100 mm", "dash 8"). An empty one isn't known: the
// preset's range stands for it.
type Known struct {
	Displacement string // swept volume
	Boost        string // above atmospheric at full load; "0 bar" without a charger
	Condition    string // fresh, used or tired
	OilUsed      string // a volume, or none, some or much
	OilOver      string // session, oil change, a time on these laps, or a road distance
	CanVolume    string // usable
	Return       string // one of [ReturnNames]
	Seal         string // none, valve or trap
	Fall         string // can outlet above the return; above the oil's surface with a return below it
	Bore         string // of the drain
	Dip          string // depth of a low point in the drain hose; "yes": of unknown depth; empty or "no": none
	BreatherLost bool   // one circuit was given up for the can
	VentsToAir   bool   // the can's outlet ends in the open
	CanWithinCan bool   // the gas passage closes as the can fills
}

// Write returns a commented scenario file of the choice, with what is known in
// it as stated and everything else as a range with its source, basis assumed.
//
// The file loads without a problem. An answer that can't be used is a [*Wrong],
// several are joined; an unknown engine or use is an [*UnknownName].
func Write(c Choice, known Known) ([]byte, error) {
	engine, errEngine := MatchEngine(c.Engine)
	use, errUse := MatchUse(c.Use)
	if err := errors.Join(errEngine, errUse); err != nil {
		return nil, err
	}
	if c.Turbo && !engine.Turbo {
		engine = engineOf(engine.Layout, true)
	}
	a, err := read(known)
	if err != nil {
		return nil, err
	}
	if port := a.at.port; port != "" && engine.height(port).Name == "" {
		return nil, &Wrong{Answer: "return", What: "there is no " + port + " on " + engine.Name, Hint: "name where the oil goes back: " + strings.Join(ReturnNames(), ", ")}
	}
	f := &file{engine: engine, use: use, known: a, answers: map[string]string{}}
	f.write(c.Title)
	data := []byte(f.b.String())
	if _, err := scenarios.Parse("preset", data, nil); err != nil {
		return nil, f.blame(err)
	}
	return data, nil
}

// Wrong is an answer that can't be used.
type Wrong struct {
	Answer string // the field of [Known], in words: "fall"
	What   string // what is wrong with it
	Hint   string // an answer that could be given, or what to do; may be empty
}

func (w *Wrong) Error() string {
	if w.Hint == "" {
		return w.Answer + ": " + w.What
	}
	return w.Answer + ": " + w.What + "\n  " + w.Hint
}

// blame turns the problems of a file into the answers that caused them.
func (f *file) blame(err error) error {
	var problems scenarios.Problems
	if !errors.As(err, &problems) {
		return err
	}
	var wrong []error
	for _, p := range problems {
		answer, ok := f.answers[p.Path]
		if !ok {
			return fmt.Errorf("preset %s, %s: %w", f.engine.Name, f.use.Name, err)
		}
		wrong = append(wrong, &Wrong{Answer: answer, What: p.What, Hint: plainHint(p)})
	}
	return errors.Join(wrong...)
}

// plainHint offers the value alone: whoever answers doesn't write a file.
func plainHint(p scenarios.Problem) string {
	name := p.Path[strings.LastIndexByte(p.Path, '.')+1:]
	if value, ok := strings.CutPrefix(p.Hint, "write: "+name+": "); ok {
		return "for instance " + value
	}
	return p.Hint
}
