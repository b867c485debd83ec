package decide

import (
	"errors"
	"fmt"
	"reflect"
	"strconv"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/sim"
)

// Names of layouts that are no variant of the file.
const (
	AsWritten           = "as written"
	LowerReturn         = "lower return"
	LargerCan           = "larger can"
	LargerCanLower      = "larger can and lower return"
	EmptiedAtHalfTime   = "emptied at half time"
	EmptiedTwiceAsOften = "emptied twice as often"
)

// What the standard changes change.
const (
	lowerBy     = 0.075 // m more fall
	largerTimes = 2.0   // as much usable volume, on the same cross-section
)

// Options returns the layouts that are worth seeing beside a scenario, the scenario
// itself first.
//
//   - A file with variants: the file as written, and its variants.
//   - One of these variants: itself, the other variants, the file as written. They are
//     read again from where the scenario came from; where that has changed, or can't be
//     read, or the variant was changed since, it is treated as a file without variants.
//   - A file without variants, its can drained: LowerReturn (75 mm more fall, a stated
//     hose length longer by the same; the first point of a route 75 mm higher),
//     LargerCan (twice the usable volume on the same cross-section), and both.
//   - A file without variants, its can emptied by hand: LargerCan; and EmptiedAtHalfTime
//     of the longest session where it is emptied once a session, EmptiedTwiceAsOften
//     where it is emptied every so often.
//
// What is uncertain stays as uncertain as it was. A standard change that can't be (a
// can above what a scenario may hold) is left out.
func Options(s *scenarios.Scenario) ([]Layout, error) {
	switch {
	case s.VariantName != "":
		if file := fileOf(s); file != nil {
			return variantFirst(s, file)
		}
	case len(s.Variants) > 0:
		list := layoutList{}
		list.add(AsWritten, s, nil)
		list.addVariants(s, "")
		return list.layouts, list.err
	}
	return standard(s)
}

// layoutList gathers layouts until one fails.
type layoutList struct {
	layouts []Layout
	err     error
}

func (l *layoutList) add(name string, s *scenarios.Scenario, err error) {
	if l.err != nil {
		return
	}
	var m *sim.Model
	if err == nil {
		m, err = sim.NewModel(s)
	}
	if err != nil {
		l.layouts, l.err = nil, fmt.Errorf("%s: %w", name, err)
		return
	}
	l.layouts = append(l.layouts, Layout{Name: name, Model: m})
}

// addVariants adds the variants of a file, one name left out.
func (l *layoutList) addVariants(file *scenarios.Scenario, but string) {
	for _, name := range file.Variants {
		if name != but {
			v, err := file.Variant(name)
			l.add(name, v, err)
		}
	}
}

// variantFirst lists a variant, the others of its file, and the file as written.
func variantFirst(s, file *scenarios.Scenario) ([]Layout, error) {
	list := layoutList{}
	list.add(s.VariantName, s, nil)
	list.addVariants(file, s.VariantName)
	list.add(AsWritten, file, nil)
	return list.layouts, list.err
}

// fileOf returns the scenario that a variant belongs to, with the variant's session
// lengths; nil where it can't be had, or the variant isn't one of it as it stands.
func fileOf(s *scenarios.Scenario) *scenarios.Scenario {
	var file *scenarios.Scenario
	var err error
	if s.Example != "" {
		file, err = scenarios.Ready(s.Example)
	} else {
		file, err = scenarios.Load(s.File)
	}
	if err != nil || file.SHA256 != s.SHA256 {
		return nil
	}
	file, err = file.With(scenarios.Change{Path: "sessions", Value: lengthsList(s.Sessions)})
	if err != nil {
		return nil
	}
	if v, err := file.Variant(s.VariantName); err != nil || !alike(v, s) {
		return nil
	}
	return file
}

// alike reports whether two scenarios of one file are the same layout on the same day.
func alike(a, b *scenarios.Scenario) bool {
	return reflect.DeepEqual(a.Sessions, b.Sessions) &&
		reflect.DeepEqual(a.Engine, b.Engine) && reflect.DeepEqual(a.Oil, b.Oil) &&
		reflect.DeepEqual(a.CarryOver, b.CarryOver) && reflect.DeepEqual(a.Breathers, b.Breathers) &&
		reflect.DeepEqual(a.Separator, b.Separator) && reflect.DeepEqual(a.Drain, b.Drain) &&
		reflect.DeepEqual(a.Duty, b.Duty) && reflect.DeepEqual(a.Limits, b.Limits)
}

// standard lists a scenario and the standard changes of it.
func standard(s *scenarios.Scenario) ([]Layout, error) {
	list := layoutList{}
	name := AsWritten
	if s.VariantName != "" {
		name = s.VariantName
	}
	list.add(name, s, nil)
	for _, o := range standardChanges(s) {
		changed, err := s.With(o.changes...)
		if problems := (scenarios.Problems{}); errors.As(err, &problems) {
			continue // there can be no such layout
		}
		if o.name == name { // of a variant that can't be seen beside its file
			o.name = "still " + name
		}
		list.add(o.name, changed, err)
	}
	return list.layouts, list.err
}

// namedChanges is a change with its name.
type namedChanges struct {
	name    string
	changes []scenarios.Change
}

func standardChanges(s *scenarios.Scenario) []namedChanges {
	var all []namedChanges
	larger, errLarger := largerCan(s)
	if s.Drain.Return == scenarios.EmptiedByHand {
		if errLarger == nil {
			all = append(all, namedChanges{LargerCan, larger})
		}
		return append(all, emptiedSooner(s)...)
	}
	lower, errLower := lowerReturn(s.Drain)
	if errLower == nil {
		all = append(all, namedChanges{LowerReturn, lower})
	}
	if errLarger == nil {
		all = append(all, namedChanges{LargerCan, larger})
	}
	if errLower == nil && errLarger == nil {
		all = append(all, namedChanges{LargerCanLower, append(larger, lower...)})
	}
	return all
}

func largerCan(s *scenarios.Scenario) ([]scenarios.Change, error) {
	volume, err := multiplied(s.Separator.UsableVolume.Distribution, largerTimes)
	return []scenarios.Change{{Path: "separator.usable_volume", Value: volume}}, err
}

// lowerReturn gives a drain more fall.
func lowerReturn(d scenarios.Drain) ([]scenarios.Change, error) {
	if len(d.Route) > 0 {
		height, err := moved(d.Route[0].Z.Distribution, lowerBy)
		return []scenarios.Change{{Path: "drain.route.1.z", Value: height}}, err
	}
	fall, err := moved(d.Fall.Distribution, lowerBy)
	if err != nil {
		return nil, err
	}
	changes := []scenarios.Change{{Path: fallPath, Value: fall}}
	if d.Length == nil {
		return changes, nil
	}
	length, err := moved(d.Length.Distribution, lowerBy)
	return append(changes, scenarios.Change{Path: lengthPath, Value: length}), err
}

// emptiedSooner has a can emptied more often. One that is emptied at every stop can't be.
func emptiedSooner(s *scenarios.Scenario) []namedChanges {
	every := func(name string, seconds float64) []namedChanges {
		text := "every " + strconv.FormatFloat(seconds, 'f', -1, 64) + " s"
		return []namedChanges{{name, []scenarios.Change{{Path: "drain.emptied", Value: text}}}}
	}
	switch e := s.Drain.Emptied; {
	case e.AtStops:
		return nil
	case e.Every != nil:
		return every(EmptiedTwiceAsOften, e.Every.Nominal()/2)
	}
	return every(EmptiedAtHalfTime, s.Sessions[len(s.Sessions)-1]/2)
}

// multiplied returns the distribution of k times a value, k above 0, with its cut.
func multiplied(d uncertainty.Distribution, k float64) (uncertainty.Distribution, error) {
	law, err := multipliedLaw(d, k)
	if err != nil || d.IsExact() {
		return law, err
	}
	law, _, err = law.Truncate(d.Low*k, d.High*k)
	return law, err
}

func multipliedLaw(d uncertainty.Distribution, k float64) (uncertainty.Distribution, error) {
	switch d.Kind {
	case uncertainty.NormalLaw:
		return uncertainty.Normal(d.A*k, d.B*k)
	case uncertainty.UniformLaw:
		return uncertainty.Uniform(d.A*k, d.B*k)
	case uncertainty.TriangularLaw:
		return uncertainty.Triangular(d.A*k, d.B*k, d.C*k)
	case uncertainty.LogNormalLaw:
		return uncertainty.LogNormal(d.A*k, d.B)
	case uncertainty.BetaLaw:
		return uncertainty.Beta(d.A, d.B, d.From*k, d.To*k)
	case uncertainty.TableLaw:
		values := make([]float64, len(d.Values))
		for i, v := range d.Values {
			values[i] = v * k
		}
		return uncertainty.Table(values, d.Weights)
	}
	return uncertainty.Exact(d.A * k), nil
}
