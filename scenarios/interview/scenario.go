package interview

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"sumpward/scenarios/preset"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// What stands for a use that isn't known.
const usualUse = "track day"

// File returns the scenario as a commented file, each line with its basis.
func (a Answers) File() ([]byte, error) {
	c := a.told.choice()
	c.Title = a.Title
	if c.Title == "" && len(a.Told()) > 0 {
		c.Title = "My car: " + c.Engine + ", " + c.Use
	}
	data, err := preset.Write(c, a.told.known)
	if err != nil {
		return nil, reason(err)
	}
	if first, rest, ok := strings.Cut(string(data), "\n"); ok && len(a.Told()) > 0 && strings.HasPrefix(first, "#") {
		data = []byte("# The rest is a preset, nobody's car: " + c.Engine + ", " + c.Use + ".\n" + rest)
	}
	return append([]byte(a.head()), data...), nil
}

// head tells what the answers were and what was taken where none was given.
func (a Answers) head() string {
	var b strings.Builder
	b.WriteString("# Written from these answers:\n")
	for _, t := range a.Told() {
		fmt.Fprintf(&b, "#   %s: %s\n", t.Question, t.Text)
	}
	if len(a.Told()) == 0 {
		b.WriteString("#   none\n")
	}
	if taken := a.Taken(); len(taken) > 0 {
		b.WriteString("# not told, so taken as: " + strings.Join(taken, "; ") + "\n")
	}
	if a.sized {
		b.WriteString("# can not told: sized, the smallest that keeps the limit, rounded up: " + a.told.known.CanVolume + "\n")
	}
	return b.String() + "#\n"
}

// Taken lists what stands for layouts that are not known.
func (a Answers) Taken() (list []string) {
	c := a.told.choice()
	if a.told.use == "" {
		list = append(list, c.Use)
	}
	if len(a.told.engines()) > 1 {
		list = append(list, c.Engine)
	}
	switch k := a.told.known; {
	case k.Return == "" && k.Seal == "":
		list = append(list, "back above the oil, through a valve")
	case k.Return == "":
		list = append(list, "back above the oil")
	case k.Seal == "" && !a.told.byHand() && a.told.aboveOil():
		list = append(list, "through a valve")
	}
	return list
}

// choice is the preset that stands for what was told.
func (t told) choice() preset.Choice {
	c := preset.Choice{Use: t.use, Engine: t.engines()[0].Name}
	if c.Use == "" {
		c.Use = usualUse
	}
	return c
}

// engines lists the engines that it could be, the one that stands for them first:
// the first layout, turbocharged where that isn't known, since that carries more
// blow-by.
func (t told) engines() []preset.Engine {
	var all, fit []preset.Engine
	for _, e := range preset.Engines() {
		if (t.layout == "" || e.Layout == t.layout) && t.mayBe(e.Turbo) {
			all = append(all, e)
			if t.sizeFits(e) {
				fit = append(fit, e)
			}
		}
	}
	if len(fit) == 0 {
		fit = all
	}
	if i := slices.IndexFunc(fit, func(e preset.Engine) bool { return e.Turbo }); i > 0 {
		fit[0], fit[i] = fit[i], fit[0]
	}
	return fit
}

func (t told) mayBe(turbo bool) bool {
	switch {
	case t.charged != maybeCharged:
		return turbo == (t.charged == turbocharged)
	case t.known.Boost != "":
		d, err := uncertainty.Parse(t.known.Boost, units.Pressure)
		return err != nil || turbo == (d.Nominal() > 0)
	}
	return true
}

// sizeFits reports whether engines of a layout come in the displacement told.
func (t told) sizeFits(e preset.Engine) bool {
	size, err := uncertainty.Parse(t.known.Displacement, units.Volume)
	if t.known.Displacement == "" || err != nil {
		return true
	}
	for _, r := range e.Ranges {
		if d, err := uncertainty.Parse(r.Value, units.Volume); r.Path == "engine.displacement" && err == nil {
			low, high := d.Range()
			return size.Nominal() >= low && size.Nominal() <= high
		}
	}
	return true
}

// aboveOil reports whether the oil goes back above the oil.
func (t told) aboveOil() bool {
	return !strings.HasPrefix(t.known.Return, "below") && !strings.HasPrefix(t.known.Return, "sump")
}

// Other is something else that the car could be, after the same answers.
type Other struct {
	Question string // that leaves it open
	Name     string // "V8"
	Instead  string // what was taken: "V6"
	Answers
}

// Others lists what else the car could be where no range stands for an answer that
// was not given: other uses, engines, ways back for the oil. One thing at a time.
func (a Answers) Others() (list []Other) {
	add := func(question, name, instead string, change func(t *told)) {
		o := Other{question, name, instead, a}
		change(&o.told)
		list = append(list, o)
	}
	if a.told.use == "" {
		for _, name := range preset.UseNames() {
			if name != usualUse {
				add("use", name, usualUse, func(t *told) { t.use = name })
			}
		}
	}
	engines := a.told.engines()
	for _, e := range engines[1:] {
		add("engine", e.Name, engines[0].Name, func(t *told) {
			t.layout, t.charged = e.Layout, aspirated
			if e.Turbo {
				t.charged = turbocharged
			}
		})
	}
	k := a.told.known
	if k.Return == "" && k.Seal == "" {
		add("return", "below the oil", "valve", func(t *told) { t.known.Return = "below the oil" })
		if k.Fall == "" && k.Bore == "" && k.Dip == "" {
			add("return", byHand, "valve", func(t *told) { t.known.Return = byHand })
		}
	}
	if k.Seal == "" && !a.told.byHand() && a.told.aboveOil() {
		add("return", "plain hose", "valve", func(t *told) { t.known.Seal = "none" })
	}
	return list
}

// reason takes out of what is wrong the name of the answer, which the question
// has already.
func reason(err error) error {
	var wrong *preset.Wrong
	if !errors.As(err, &wrong) {
		return err
	}
	text := wrong.What
	if wrong.Hint != "" {
		text += "\n  " + wrong.Hint
	}
	return errors.New(text)
}
