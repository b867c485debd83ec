package scenarios

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"

	"sumpward/scenarios/datalog"
	"sumpward/scenarios/uncertainty"
)

func (b *binder) duty() Duty {
	d := Duty{}
	var kinds []string
	for _, kind := range dutyKinds {
		if b.has("duty." + kind) {
			kinds = append(kinds, kind)
		}
	}
	switch {
	case len(kinds) == 0:
		for _, kind := range dutyKinds {
			if b.told("duty." + kind) {
				return d
			}
		}
		b.absent("duty", "what the engine does (one of lap, pattern, log and circuit)", fieldAt("duty.lap").hint(""))
	case len(kinds) > 1:
		b.problem(b.line("duty"), "duty", "one of lap, pattern, log and circuit is wanted (got "+strings.Join(kinds, " and ")+")", "leave all but one out")
	case b.values["duty."+kinds[0]].bad:
	case kinds[0] == "lap":
		d.Lap = b.lap()
	case kinds[0] == "pattern":
		d.Pattern = b.pattern()
	case kinds[0] == "log":
		d.Log = b.log()
	default:
		d.Circuit = b.circuit()
	}
	if !b.has("duty.circuit") && !b.told("duty.circuit") {
		b.unusedBelow("duty.car", "there is no circuit for it; write under duty: circuit: {layout: "+layoutNames[0]+"}")
	}
	d.LapVariation = b.quantity("duty.lap_variation")
	b.schedule(&d)
	return d
}

// dutyKinds are the ways to say what the engine does.
var dutyKinds = []string{"lap", "pattern", "log", "circuit"}

// emptiedNever warns of a can that is emptied at stops that don't come.
func (b *binder) emptiedNever() {
	d, emptied := b.s.Duty, b.s.Drain.Emptied
	if !emptied.AtStops || d.Lap == nil && d.Pattern == nil && d.Log == nil && d.Circuit == nil {
		return
	}
	b.emptiedAnyway()
	if d.Schedule != nil && d.Event > 0 && !d.engineStops() {
		if n := d.stopsInEvent(); n < emptied.Nth {
			b.warn(b.line("drain.emptied"), "drain.emptied", fmt.Sprintf("the schedule has %d stops in this event, so the can isn't emptied within it; write: emptied: at stops, or: emptied: every 30 min", n))
		}
		return
	}
	if d.stops() {
		return
	}
	instead := "write a phase of duty.lap: - {for: 10 min, engine: stopped}; or, without one: emptied: every 30 min"
	switch {
	case d.Pattern != nil:
		instead = "write: emptied: every 30 min; or a duty.lap, in place of the pattern, that holds: - {for: 10 min, engine: stopped}"
	case d.Circuit != nil:
		instead = "write: emptied: every 30 min; or a duty.schedule that holds: - {stop: 6 min}"
	case d.Log != nil:
		instead = "write: emptied: every 30 min; or bring a log whose rpm column reads 0 at stops"
	}
	b.warn(b.line("drain.emptied"), "drain.emptied", "the engine never stops in this duty, so the can isn't emptied within a session; "+instead)
}

// emptiedAnyway warns of a stop that leaves the can as it is, by its own word,
// where all are emptied.
func (b *binder) emptiedAnyway() {
	if b.s.Drain.Emptied.Nth != 1 {
		return
	}
	for _, path := range b.elements["duty.schedule"] {
		if v := b.values[path+".can"]; v != nil && v.word == "left" {
			b.unused("the can is emptied at all stops (drain.emptied)", path+".can")
		}
	}
}

// stops reports whether there are stops on the way, of the schedule or of the
// engine.
func (d Duty) stops() bool {
	return slices.ContainsFunc(d.Schedule, func(i ScheduleItem) bool { return i.Stop != nil }) || d.engineStops()
}

// engineStops reports whether the engine stops within a lap.
func (d Duty) engineStops() bool {
	if slices.ContainsFunc(d.Lap, func(p Phase) bool { return p.Stopped }) {
		return true
	}
	return d.Log != nil && slices.ContainsFunc(d.Log.Phases, func(p datalog.Phase) bool { return p.EngineStopped })
}

func (b *binder) pattern() *Pattern {
	return &Pattern{
		FullThrottle:  b.required("duty.pattern.full_throttle", "share of the time at full throttle"),
		Burst:         b.required("duty.pattern.burst", "mean length of a burst of full throttle"),
		BurstSpread:   b.quantity("duty.pattern.burst_spread"),
		LoadOtherwise: b.quantity("duty.pattern.load_otherwise"),
	}
}

func (b *binder) lap() []Phase {
	var phases []Phase
	running := false
	for _, path := range b.elements["duty.lap"] {
		p := Phase{For: b.required(path+".for", "how long the phase takes"), Stopped: b.word(path+".engine") == "stopped"}
		switch {
		case !p.Stopped:
			p.Load = b.required(path+".load", "0 % closed throttle, 100 % full throttle")
		case b.has(path + ".load"):
			b.unused("the engine is stopped", path+".load")
			fallthrough
		default:
			p.Load = b.still(path + ".load")
		}
		p.Forward = b.axis(path, "forward", "backward")
		p.Left = b.axis(path, "left", "right")
		phases = append(phases, p)
		running = running || !p.Stopped
	}
	if !running && len(phases) > 0 {
		b.problem(b.line("duty.lap"), "duty.lap", "the engine is stopped all the lap", "write: - {for: 9 s, load: 100 %}")
	}
	return phases
}

// still is the load of a stopped engine.
func (b *binder) still(path string) *Quantity {
	f := fieldAt(path)
	return b.add(&Quantity{Path: path, Line: b.line(path), Dimension: f.Dimension, Distribution: uncertainty.Exact(0), Basis: Stated, Text: "0 %", scale: 1})
}

// axis binds an acceleration that may be written either way.
func (b *binder) axis(path, positive, negative string) *Quantity {
	one, two := path+"."+positive, path+"."+negative
	b.conflict(one, two, "they are the same axis")
	if b.has(one) || !b.has(two) {
		return b.quantity(one)
	}
	q := b.given(two)
	turned, err := scaled(q.Distribution, -1)
	if err != nil {
		b.problem(q.Line, two, "a log-normal value can't be negative (got "+q.Text+")", "write: "+positive+": -0.6 .. -0.3 g")
		return q
	}
	q.Path, q.Distribution, q.Text = one, turned, q.Text+" "+negative
	return q
}

// tolerance returns the stated tolerances of cutting a log; one that is wrong,
// which has been told, counts as none.
func (b *binder) tolerance() datalog.Tolerance {
	nominal := func(name string) float64 {
		path := "duty.log.tolerance." + name
		if v := b.values[path]; v != nil && v.bad {
			return 0
		}
		return b.exactly(path)
	}
	t := datalog.Tolerance{Load: nominal("load"), Acceleration: nominal("acceleration"), Smoothing: nominal("smoothing")}
	if t.Smoothing == 0 {
		t.Smoothing = -1 // none
	}
	return t
}

// exactly returns an exact value of the file or the default; it is no input
// of the simulation.
func (b *binder) exactly(path string) float64 {
	if v := b.values[path]; v != nil {
		if v.bad {
			return math.NaN()
		}
		return v.distribution.Nominal()
	}
	d, err := fieldAt(path).assumed()
	if err != nil {
		return math.NaN()
	}
	return d.Nominal()
}

// log reads the data log.
func (b *binder) log() *DataLog {
	v := b.values["duty.log.file"]
	if v == nil {
		b.missing("duty.log.file", "the file of the log")
		return nil
	}
	if b.anyBad("duty.log") || !b.beside(v, "a log") {
		return nil
	}
	spec := datalog.Spec{Columns: b.nameMap("duty.log.columns"), Units: b.nameMap("duty.log.units"), Positive: b.nameMap("duty.log.positive"), Tolerance: b.tolerance()}
	log, err := b.src.readLog(v.word, spec)
	if err != nil {
		b.logProblems(v, err)
		return nil
	}
	for _, w := range log.Report.Warnings {
		b.warn(v.line, v.path, w)
	}
	return log
}

// anyBad reports whether something wrong has been told of a block that says how
// to read a file; its tolerance apart.
func (b *binder) anyBad(block string) bool {
	return slices.ContainsFunc(append(b.below(block), block), func(p string) bool {
		v := b.values[p]
		return v != nil && v.bad && !strings.HasPrefix(p, block+".tolerance")
	})
}

// beside insists on a file beside the scenario, or below.
func (b *binder) beside(v *value, what string) bool {
	name := v.word
	if besides(name) {
		return true
	}
	instead := path.Base(strings.ReplaceAll(name, `\`, "/"))
	if !besides(instead) {
		instead = v.field.Example
	}
	b.problem(v.line, v.path, what+" lies beside the scenario or in a folder below it (got "+shorten(name)+")", "write: "+v.field.Name()+": "+instead)
	return false
}

// cantRead tells why a file beside the scenario can't be read.
func (b *binder) cantRead(v *value, what string, err error) {
	hint := "put an ordinary file, not a link out of the folder, beside the scenario"
	if errors.Is(err, errAlone) {
		hint = ""
	}
	b.problem(v.line, v.path, what+" can't be read: "+shorten(err.Error()), hint)
}

func (b *binder) nameMap(path string) map[string]string {
	if v := b.values[path]; v != nil {
		return v.names
	}
	return nil
}

// logProblems tells of the problems of a log, with the log's own lines.
func (b *binder) logProblems(v *value, err error) {
	var list datalog.Errors
	var one *datalog.Error
	switch {
	case errors.As(err, &list):
		for _, e := range list {
			b.logProblem(v, e)
		}
	case errors.As(err, &one):
		b.logProblem(v, one)
	case errors.Is(err, fs.ErrNotExist):
		b.problem(v.line, v.path, "no such file (got "+shorten(v.word)+")", "put the log beside the scenario")
	default:
		b.cantRead(v, "the log", err)
	}
}

func (b *binder) logProblem(v *value, e *datalog.Error) {
	b.problem(v.line, v.path, inFile(v.word, e.Line, e.Column)+": "+e.What, e.Hint)
}

// inFile names a place in another file: "laps.csv:12: throttle".
func inFile(name string, line int, column string) string {
	if line > 0 {
		name = fmt.Sprintf("%s:%d", name, line)
	}
	if column != "" {
		name += ": " + column
	}
	return name
}
