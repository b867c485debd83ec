// Package page writes one page that stands alone: the answer first, on one printed
// sheet, and behind it what it rests on. HTML with its own style sheet and drawings
// in SVG; no scripts, nothing from a network, no letters but those of the reader's
// machine. Text that comes from a scenario is escaped.
package page

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Page is what a page shows. Model, Result and Check are those of the layout that
// it is about; the rest may be missing, and so is then its part of the page.
type Page struct {
	Program string // name and version of the program
	Command string // that made it: "run", "size", "compare", "choose"
	Units   units.System

	Model  *sim.Model
	Result *sim.Result
	Check  *sim.DrainCheck

	Dependence *decide.Dependence // what the answer rests on, at the longest session
	Shorter    *decide.Dependence // the same of the session that the report's verdict is about, where that is another one

	Options *decide.Comparison // layouts side by side on the same draws, that of the page first, over many session lengths, the asked ones among them
	Prices  map[string]string  // by name of a layout, as they are to be shown
	Sizing  *decide.Sizing

	Emptying *decide.EmptyingTable // how often a can without a drain must be emptied

	Choice *decide.Choice
	Fan    *sim.Fan

	Pressures []sim.PhasePressure // crankcase pressure of the layout
	Before    []sim.PhasePressure // and of the car before fitting
}

//go:embed page.css
var style string

//go:embed page.html.tmpl
var layout string

var pageTemplate = template.Must(template.New("page").Parse(layout))

// Write writes a page as HTML. It is an error where the result has no session, or
// where the model, the result or the drain check is missing.
func Write(w io.Writer, p Page) error {
	if p.Model == nil || p.Result == nil || p.Check == nil {
		return errors.New("a page needs a model, its result and its drain check")
	}
	if len(p.Result.Sessions) == 0 {
		return errors.New("a page needs a result with at least one session length")
	}
	v, err := viewOf(p)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := pageTemplate.Execute(&b, v); err != nil {
		return fmt.Errorf("fill in the page: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

func (v *view) scenario() *scenarios.Scenario { return v.page.Result.Scenario }

// limit is the limit of every chance.
func (v *view) limit() float64 { return v.scenario().Limits.Risk.Nominal() }

// drains reports whether the can has a drain.
func (v *view) drains() bool { return v.page.Result.Kind != sim.NoDrain }
