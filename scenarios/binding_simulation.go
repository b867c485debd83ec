package scenarios

import (
	"fmt"
	"sort"
	"strings"
)

const mostRealizations = 1_000_000_000

// sessions binds the session lengths, ascending.
func (b *binder) sessions() {
	if v := b.values["sessions"]; b.s.Duty.Event > 0 {
		b.eventSessions()
	} else if v != nil {
		b.s.Sessions = append(b.s.Sessions, v.times...)
	} else {
		f := fieldAt("sessions")
		b.s.Sessions = []float64{15 * 60, 20 * 60, 30 * 60, 60 * 60}
		b.rule("sessions", strings.Trim(f.Default, "[]"), f.Source)
	}
	sort.Float64s(b.s.Sessions)
	b.manyPhases()
}

// mostDriven is how many phases and stops the longest session may hold: about a
// second of work for each realization.
const mostDriven = 2_000_000

// manyPhases refuses a session of so many phases that it could not be simulated.
func (b *binder) manyPhases() {
	if len(b.s.Sessions) == 0 || len(b.problems) > 0 {
		return
	}
	longest := b.s.Sessions[len(b.s.Sessions)-1]
	driven := longest * (b.s.Duty.phaseRate() + b.s.Duty.itemRate())
	if !(driven > mostDriven) {
		return
	}
	b.problem(b.line("duty"), "duty", fmt.Sprintf("too many phases in the longest session (got about %.3g, allowed %d)", driven, mostDriven),
		"write longer phases, or shorter sessions; of a log, keep fewer laps or widen the tolerance")
}

// phaseRate is how many phases a second a duty has, at nominal durations; a circuit's
// are bounded by its length.
func (d Duty) phaseRate() float64 {
	switch {
	case d.Pattern != nil && d.Pattern.Burst != nil && d.Pattern.FullThrottle != nil:
		share := min(max(d.Pattern.FullThrottle.Nominal(), 1e-3), 1-1e-3)
		return 2 * share / d.Pattern.Burst.Nominal()
	case d.Log != nil:
		time := 0.0
		for _, p := range d.Log.Phases {
			time += p.Duration
		}
		return float64(len(d.Log.Phases)) / time
	case len(d.Lap) > 0:
		time := 0.0
		for _, p := range d.Lap {
			time += p.For.Nominal()
		}
		return float64(len(d.Lap)) / time
	}
	return 0
}

// itemRate is how many stints and stops a second a schedule has.
func (d Duty) itemRate() float64 {
	if len(d.Schedule) == 0 {
		return 0
	}
	return float64(len(d.Schedule)) / d.oncePass()
}

func (b *binder) limits() Limits {
	return Limits{
		Risk:              b.quantity("limits.risk"),
		CrankcasePressure: b.quantity("limits.crankcase_pressure"),
		OilLost:           b.quantity("limits.oil_lost"),
		ChokeLevel:        b.quantity("limits.choke_level"),
	}
}

func (b *binder) simulation() Simulation {
	s := Simulation{Seed: 1, SamplingError: b.exactly("simulation.sampling_error")}
	if v := b.values["simulation.seed"]; v != nil {
		s.Seed = v.count
	}
	v := b.values["simulation.realizations"]
	if v == nil || v.bad {
		return s
	}
	b.unused("the number of realizations is given", "simulation.sampling_error")
	if v.count < 1 || v.count > mostRealizations {
		b.problem(v.line, v.path, fmt.Sprintf("outside what is possible (got %d, allowed 1 to %d)", v.count, mostRealizations), v.field.hint(""))
	}
	s.Realizations = int(min(v.count, mostRealizations))
	return s
}

// correlations binds rank correlations between uncertain inputs.
func (b *binder) correlations() {
	for _, path := range b.elements["correlations"] {
		between, rank := b.values[path+".between"], b.values[path+".rank"]
		if between == nil {
			b.missing(path+".between", "the paths of two uncertain inputs")
		}
		if rank == nil {
			b.missing(path+".rank", "Spearman's rank correlation")
		}
		if between == nil || rank == nil || between.bad || rank.bad {
			continue
		}
		c := Correlation{Rank: rank.distribution.Nominal(), Line: between.line}
		if c.Rank <= -1 || c.Rank >= 1 {
			b.problem(rank.line, rank.path, "outside what is possible (got "+rank.text+", allowed more than -1 and less than 1)", "write: rank: 0.6")
			continue
		}
		if b.pair(&c, between) {
			b.s.Correlations = append(b.s.Correlations, c)
		}
	}
}

// pair finds the two inputs of a correlation.
func (b *binder) pair(c *Correlation, between *value) bool {
	if len(between.words) != 2 || between.words[0] == between.words[1] {
		b.problem(between.line, between.path, fmt.Sprintf("two different paths are wanted here (got %d: %s)", len(between.words), shorten(strings.Join(between.words, ", "))), between.field.hint(""))
		return false
	}
	for i, path := range between.words {
		q := b.s.Input(path)
		switch {
		case q == nil && b.variant != "" && fieldAt(path) != nil:
			b.warn(between.line, between.path, "dropped in this variant: "+path+" is not used")
			return false
		case q == nil:
			b.notAnInput(between, path)
			return false
		case q.IsExact():
			b.problem(between.line, between.path, path+" is exact: it can't go with anything (got "+q.Text+")", "give it a range, or leave the correlation out")
			return false
		}
		c.Between[i] = q
	}
	for _, before := range b.s.Correlations {
		if before.Between == c.Between || before.Between[0] == c.Between[1] && before.Between[1] == c.Between[0] {
			b.problem(between.line, between.path, "the same pair stands twice", "keep one of the two")
			return false
		}
	}
	return true
}

func (b *binder) notAnInput(between *value, path string) {
	var names []string
	for _, q := range b.s.Inputs {
		names = append(names, q.Path)
	}
	hint := "use the path of an uncertain input of this file"
	if near := suggest(path, names); near != "" {
		hint = "did you mean " + near + "?"
	}
	what := "unknown input (got " + shorten(path) + ")"
	if fieldAt(path) != nil {
		what = "not an input of this layout (got " + shorten(path) + ")"
	}
	b.problem(between.line, between.path, what, hint)
}

// Input returns the input of a path, or nil. An acceleration may be named
// either way ("duty.lap.3.right").
func (s *Scenario) Input(path string) *Quantity {
	for name, same := range map[string]string{".right": ".left", ".backward": ".forward"} {
		if strings.HasPrefix(path, "duty.lap.") && strings.HasSuffix(path, name) {
			path = strings.TrimSuffix(path, name) + same
		}
	}
	for _, q := range s.Inputs {
		if q.Path == path {
			return q
		}
	}
	return nil
}
