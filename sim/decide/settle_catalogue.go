package decide

import (
	"cmp"
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/goccy/go-yaml"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// Test is a bench or track test that a shop can do.
type Test struct {
	Name, Title string
	Where       string
	Minutes     float64 // with setting up
	Readings    []Reading
	Needs       []string
	Safety      []string
	Steps       []string // in order
	Record      []string // lines to fill in; ___ is a blank
	Write       []Written
}

// Reading is what a test reads.
type Reading struct {
	Of        string   // what is read where several inputs go into it at once; empty: each input by itself
	Paths     []string // inputs that it tells of; "*" stands for one part of a path
	Dimension units.Dimension
	Error     ReadingError
	Source    string // of the error
}

// Written is a value that a test puts into the scenario; ___ stands for what was read.
type Written struct {
	Path, Value string
	Of          string // a reading that puts it there though the scenario has it not
}

//go:embed settle_tests.yaml
var testsFile []byte

//go:embed settle_without.yaml
var withoutFile []byte

// errorPrior is the source of a reading's error where it names no other.
const errorPrior = "prior, no published source"

// Tests returns the tests that a shop can do, those with the least trouble first.
// How they are done is common practice, no source; errors and minutes are priors.
func Tests() []Test { return append([]Test(nil), catalogueOfTests()...) }

// TestsFor returns the tests that read an input of a scenario that is uncertain and
// not measured.
func TestsFor(s *scenarios.Scenario) []Test {
	var list []Test
	for _, t := range catalogueOfTests() {
		if slices.ContainsFunc(s.Inputs, func(q *scenarios.Quantity) bool {
			return !q.IsExact() && q.Basis != scenarios.Measured && t.reads(q.Path, s)
		}) {
			list = append(list, t)
		}
	}
	return list
}

// reads reports whether a test reads an input of a scenario.
func (t Test) reads(path string, s *scenarios.Scenario) bool {
	return slices.ContainsFunc(t.Readings, func(r Reading) bool { return r.Tells(path) && r.applies(s) })
}

// offered says of what a test may find that a scenario doesn't have yet when it can.
var offered = map[string]func(*scenarios.Scenario) bool{
	"a low point in the hose": func(s *scenarios.Scenario) bool { return s.Drain.Fall != nil },
	"laps as driven":          func(*scenarios.Scenario) bool { return true },
}

// WritesFor returns what the test puts into a scenario: what the layout has, one
// line for each element of a list, and what takes the place of what it has; block by
// block.
func (t Test) WritesFor(s *scenarios.Scenario) []Written {
	var list []Written
	for _, w := range t.Write {
		found := false
		for _, q := range s.Inputs {
			if matches(w.Path, q.Path) {
				found = true
				list = append(list, Written{Path: q.Path, Value: w.Value})
			}
		}
		applies := offered[w.Of]
		if c, known := combinedReadings[w.Of]; known {
			applies = c.applies
		}
		if !found && applies != nil && applies(s) {
			list = append(list, w)
		}
	}
	return byBlock(list)
}

// byBlock keeps together what is written into one block, or one element of a list,
// in the order in which they first come.
func byBlock(list []Written) []Written {
	first := map[string]int{}
	for i, w := range list {
		for _, block := range blocksOf(w.Path) {
			if _, seen := first[block]; !seen {
				first[block] = i
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Written) int {
		x, y := blocksOf(a.Path), blocksOf(b.Path)
		for i := range min(len(x), len(y)) {
			if x[i] != y[i] {
				return cmp.Compare(first[x[i]], first[y[i]])
			}
		}
		return 0
	})
	return list
}

// blocksOf lists the blocks that a path lies in, the outermost first.
func blocksOf(path string) []string {
	var list []string
	for i, c := range path {
		if c == '.' {
			list = append(list, path[:i])
		}
	}
	return list
}

// TestNamed returns the test of a name.
func TestNamed(name string) (Test, error) {
	var names []string
	for _, t := range catalogueOfTests() {
		if t.Name == name {
			return t, nil
		}
		names = append(names, t.Name)
	}
	return Test{}, fmt.Errorf("there is no test %q: there are %s", name, strings.Join(names, ", "))
}

var catalogueOfTests = sync.OnceValue(func() []Test {
	var file []struct {
		Name, Title, Where           string
		Minutes                      float64
		Needs, Safety, Steps, Record []string
		Reads                        []struct {
			Of, Error, Source string
			Inputs            []string
		}
		Write []struct{ Path, Value, Of string }
	}
	if err := yaml.UnmarshalWithOptions(testsFile, &file, yaml.Strict()); err != nil {
		panic("catalogue of tests: " + err.Error()) // a fault of this program; every test meets it
	}
	var list []Test
	for _, f := range file {
		t := Test{Name: f.Name, Title: f.Title, Where: f.Where, Minutes: f.Minutes, Needs: f.Needs, Safety: f.Safety, Steps: f.Steps, Record: f.Record}
		for _, r := range f.Reads {
			dimension := readingDimension(r.Of, r.Inputs)
			e, err := ParseReadingError(r.Error, dimension)
			if err != nil {
				panic(fmt.Sprintf("catalogue of tests: %s: %v: %v", f.Name, r.Inputs, err)) // as above
			}
			source := r.Source
			if source == "" {
				source = errorPrior
			}
			t.Readings = append(t.Readings, Reading{Of: r.Of, Paths: r.Inputs, Dimension: dimension, Error: e, Source: source})
		}
		for _, w := range f.Write {
			t.Write = append(t.Write, Written(w))
		}
		list = append(list, t)
	}
	return list
})

// readingDimension is what a reading is measured in.
func readingDimension(of string, paths []string) units.Dimension {
	switch of {
	case PressureReading:
		return units.Pressure
	case OilReading:
		return units.Volume
	case BlowByReading, BlowByClosedReading:
		return units.VolumeFlow
	}
	switch paths[0] {
	case "carry_over.during":
		return units.Time
	}
	for _, f := range scenarios.Fields() {
		if f.Path == paths[0] && f.Kind == scenarios.QuantityKind {
			return f.Dimension
		}
	}
	return units.Length // a coordinate of a point
}

// AssumeFor says what to do about an input that no test reads.
func AssumeFor(path string) string {
	for _, w := range catalogueOfAssumptions() {
		if (Reading{Paths: w.Inputs}).Tells(path) {
			return w.Assume
		}
	}
	return ""
}

type assumption struct {
	Inputs []string
	Assume string
}

var catalogueOfAssumptions = sync.OnceValue(func() []assumption {
	var list []assumption
	if err := yaml.UnmarshalWithOptions(withoutFile, &list, yaml.Strict()); err != nil {
		panic("catalogue of what no test reads: " + err.Error()) // as above
	}
	return list
})
