package diagnose

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
	"sumpward/sim/sampling"
)

// Fault is something that may be wrong with a car.
type Fault struct {
	Name, Words string
	Mend        string
	BaseRate    float64 // before anything was seen; only proportions count
	Source      string  // of the base rate and the ranges
	Changes     []Change
	FoundBy     map[string]float64 // chance that a look finds it where it is, by the name of the look
}

// Change is a twist of the car with its severity.
type Change struct {
	Name      string
	Severity  uncertainty.Distribution
	Dimension units.Dimension
	Text      string
}

// key is the address of the change's draws.
func (f *Fault) key(c *Change) sampling.Key {
	return sampling.InputKey("fault/" + f.Name + "/" + c.Name)
}

// prior is the source of what names none.
const prior = "prior, no published source"

//go:embed faults.yaml
var faultsFile []byte

// Faults returns the faults that are built in.
func Faults() []Fault { return slices.Clone(builtInFaults()) }

var builtInFaults = sync.OnceValue(func() []Fault {
	list, err := ParseFaults("faults.yaml", faultsFile)
	if err != nil {
		panic("built-in faults: " + err.Error()) // a fault of this program; every test meets it
	}
	return list
})

// LoadFaults reads a file of faults and adds them to those that are built in; one of
// the same name takes the other's place, one of base rate 0 takes it out.
func LoadFaults(path string) ([]Fault, error) {
	data, err := scenarios.ReadFile("faults", path)
	if err != nil {
		return nil, err
	}
	own, err := ParseFaults(path, data)
	if err != nil {
		return nil, err
	}
	list := Faults()
	for _, f := range own {
		i := slices.IndexFunc(list, func(b Fault) bool { return b.Name == f.Name })
		if i < 0 {
			list = append(list, f)
		} else {
			list[i] = f
		}
	}
	return slices.DeleteFunc(list, func(f Fault) bool { return f.BaseRate == 0 }), nil
}

// ParseFaults reads faults from the bytes of a file called name. The error is
// [scenarios.Problems].
func ParseFaults(name string, data []byte) ([]Fault, error) {
	var file []struct {
		Name, Words, Mend, Source string
		BaseRate                  *float64          `yaml:"base_rate"`
		FoundBy                   map[string]string `yaml:"found_by"`
		Changes                   []map[string]any
	}
	p := problems{file: name}
	if err := scenarios.CheckYAML(name, data); err != nil {
		return nil, err
	}
	if err := yaml.UnmarshalWithOptions(data, &file, yaml.Strict()); err != nil {
		text, line := yamlFault(err)
		p.add(line, "", text, "")
		return nil, p.list
	}
	lines := itemLines(data)
	var list []Fault
	for i, x := range file {
		p.line = 0
		if i < len(lines) {
			p.line = lines[i]
		}
		f := Fault{Name: strings.TrimSpace(x.Name), Words: x.Words, Mend: x.Mend, Source: x.Source, FoundBy: map[string]float64{}}
		if f.Source == "" {
			f.Source = prior
		}
		if f.Words == "" {
			f.Words = f.Name
		}
		switch {
		case f.Name == "":
			p.add(p.line, fmt.Sprint("fault ", i+1), "it has no name", "name: pinched hose")
		case f.Name == NoneName:
			p.add(p.line, f.Name, "the name stands for what no fault fits", "take another name")
		case slices.ContainsFunc(list, func(b Fault) bool { return b.Name == f.Name }):
			p.add(p.line, f.Name, "two faults have this name", "give each a name of its own")
		}
		switch {
		case x.BaseRate == nil:
			p.add(p.line, f.Name, "base_rate is missing", "base_rate: 5")
		case !(*x.BaseRate >= 0) || math.IsInf(*x.BaseRate, 1):
			p.add(p.line, f.Name, fmt.Sprintf("base_rate is how many of 100 cars have it (got %g, allowed 0 or more)", *x.BaseRate), "base_rate: 5")
		default:
			f.BaseRate = *x.BaseRate
		}
		for _, change := range x.Changes {
			for key, value := range change {
				if c, ok := p.change(f.Name, key, fmt.Sprint(value)); ok {
					f.Changes = append(f.Changes, c)
				}
			}
		}
		for look, share := range x.FoundBy {
			v, err := units.Parse(share, units.Fraction)
			if err != nil || v < 0 || v > 1 {
				p.add(p.line, f.Name, fmt.Sprintf("found_by: %s: a share is wanted (got %s)", look, share), look+": 90 %")
			}
			if !slices.ContainsFunc(Checks(), func(c Check) bool { return c.Name == look && c.Looks() }) {
				p.add(p.line, f.Name, fmt.Sprintf("found_by: there is no look %q", look), "known: "+strings.Join(lookNames(), ", "))
			}
			f.FoundBy[look] = v
		}
		list = append(list, f)
	}
	if len(list) == 0 && len(p.list) == 0 {
		p.add(1, "", "no fault in it", "- {name: …, base_rate: 5, changes: [{sag: 20 .. 90 mm}]}")
	}
	if len(p.list) > 0 {
		return nil, p.list
	}
	return list, nil
}

// problems collects what is wrong with a file.
type problems struct {
	file string
	line int
	list scenarios.Problems
}

func (p *problems) add(line int, path, what, hint string) {
	p.list = append(p.list, scenarios.Problem{File: p.file, Line: line, Path: path, What: what, Hint: hint})
}

// change reads one change of a fault.
func (p *problems) change(fault, name, text string) (Change, bool) {
	t, known := twists[name]
	if !known {
		hint := "known: " + strings.Join(twistNames(), ", ")
		if near := scenarios.Suggest(name, twistNames()); near != "" {
			hint = "did you mean " + near + "?"
		}
		p.add(p.line, fault, fmt.Sprintf("nothing is known that could be changed as %q", name), hint)
		return Change{}, false
	}
	c := Change{Name: name, Dimension: t.dimension, Text: text, Severity: uncertainty.Exact(1)}
	if name == circuitTwist {
		if text != "lost" {
			p.add(p.line, fault, "circuit: it can only be lost (got "+text+")", "circuit: lost")
			return c, false
		}
		return c, true
	}
	law, err := uncertainty.Parse(text, t.dimension)
	if err == nil {
		law, _, err = law.Truncate(t.low, t.high)
	}
	if err != nil {
		p.add(p.line, fault, name+": "+err.Error(), name+": "+uncertainty.Example(t.dimension))
		return c, false
	}
	c.Severity = law
	return c, true
}

// yamlFault is what is wrong with a file that can't be read as what it should be.
func yamlFault(err error) (text string, line int) {
	if e, ok := err.(yaml.Error); ok {
		if t := e.GetToken(); t != nil && t.Position != nil {
			line = t.Position.Line
		}
		return strings.ReplaceAll(e.GetMessage(), "\n", " "), line
	}
	return strings.ReplaceAll(err.Error(), "\n", " "), 0
}

// itemLines returns the lines on which the items of a list begin.
func itemLines(data []byte) []int {
	file, err := parser.ParseBytes(data, 0)
	if err != nil || len(file.Docs) == 0 {
		return nil
	}
	items, ok := file.Docs[0].Body.(*ast.SequenceNode)
	if !ok {
		return nil
	}
	var lines []int
	for _, v := range items.Values {
		lines = append(lines, v.GetToken().Position.Line)
	}
	return lines
}
