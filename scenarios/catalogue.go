package scenarios

import (
	"fmt"
	"strings"
	"sync"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// Kind says how a field is written.
type Kind string

// The kinds of field.
const (
	BlockKind    Kind = "block"    // named fields within
	ListKind     Kind = "list"     // a list of blocks
	QuantityKind Kind = "quantity" // a number with its unit, exact or uncertain
	ExactKind    Kind = "exact"    // a number with its unit, exact only
	ChoiceKind   Kind = "choice"   // one of several words
	TextKind     Kind = "text"     // free text
	CountKind    Kind = "count"    // a whole number
	TimesKind    Kind = "times"    // a list of exact times, each once
	SpansKind    Kind = "spans"    // a list of exact times, one after another
	PointKind    Kind = "point"    // [x, y, z]
	PointsKind   Kind = "points"   // a list of points
	FittingsKind Kind = "fittings" // a list of fittings by name
	EmptiedKind  Kind = "emptied"  // when a can is emptied
	DuringKind   Kind = "during"   // a time, or a block
	NamesKind    Kind = "names"    // a block of texts
	PathsKind    Kind = "paths"    // a list of two paths
	InputsKind   Kind = "inputs"   // a list of paths
	WordsKind    Kind = "words"    // a list of words
	VariantsKind Kind = "variants" // named blocks of changed paths
)

// Field is one entry of the catalogue: what may be written at a path of the
// file, and what stands for it when it is left out.
type Field struct {
	Path      string // "drain.fall"; an element of a list is "*": "duty.lap.*.for"
	Kind      Kind
	Dimension units.Dimension // of a quantity
	Low, High string          // what physics allows, as written; empty where there is no bound
	Default   string          // as written; empty: none, or by rule
	Source    string          // of the default
	Choices   []string        // of a choice, and the keys of names
	Doc       string          // one line
	Example   string          // as written
	Per       string          // "per L": what the number is counted per, beside its unit
	Synonyms  []string        // names that people try

	scale     float64                                  // SI value over the value in the unit's SI; 0 counts as 1
	low, high float64                                  // SI
	assumed   func() (uncertainty.Distribution, error) // the default, read once
	children  []*Field
}

// Name returns the last part of the path.
func (f *Field) Name() string { return f.Path[strings.LastIndexByte(f.Path, '.')+1:] }

// block, quantity, exact, choice and other declare fields.
func block(path, doc string) Field { return Field{Path: path, Kind: BlockKind, Doc: doc} }

func quantity(path string, d units.Dimension, low, high, example, doc string) Field {
	return Field{Path: path, Kind: QuantityKind, Dimension: d, Low: low, High: high, Example: example, Doc: doc}
}

func exact(path string, d units.Dimension, low, high, example, doc string) Field {
	f := quantity(path, d, low, high, example, doc)
	f.Kind = ExactKind
	return f
}

func choice(path, doc string, choices ...string) Field {
	return Field{Path: path, Kind: ChoiceKind, Choices: choices, Example: choices[0], Doc: doc}
}

func other(kind Kind, path, example, doc string) Field {
	return Field{Path: path, Kind: kind, Example: example, Doc: doc}
}

// standard gives a field its default and that default's source. The default
// of a choice is the best example too.
func (f Field) standard(text, source string) Field {
	f.Default, f.Source = text, source
	if f.Kind == ChoiceKind {
		f.Example = text
	}
	return f
}

// also names what people call the field otherwise.
func (f Field) also(synonyms ...string) Field {
	f.Synonyms = synonyms
	return f
}

// per counts the quantity per something that units doesn't know; scale turns
// the SI value of the written unit into the SI value of the quantity.
func (f Field) per(what string, scale float64) Field {
	f.Per, f.scale = what, scale
	return f
}

// Sources that many defaults share.
const (
	prior      = "prior, no published source"
	fromMemory = "common practice, from memory"
	byDesign   = "chosen, no published source"
)

// catalogue is the tree of all fields.
type catalogue struct {
	root   *Field
	byPath map[string]*Field
	list   []*Field
}

// fields returns the catalogue of a scenario, put together once.
var fields = sync.OnceValue(func() *catalogue {
	return newCatalogue("one layout and one kind of day",
		headFields(), engineFields(), oilFields(), carryOverFields(), breatherFields(),
		separatorFields(), drainFields(), dutyFields(), simulationFields(), learnedFields())
})

func newCatalogue(doc string, parts ...[]Field) *catalogue {
	c := &catalogue{root: &Field{Kind: BlockKind, Doc: doc}, byPath: map[string]*Field{}}
	for _, part := range parts {
		for _, f := range part {
			c.add(f)
		}
	}
	return c
}

// at returns the field of a path in a file, or nil.
func (c *catalogue) at(path string) *Field {
	f := c.root
	parts := strings.Split(path, ".")
	for i := 0; i < len(parts); i++ {
		if f = f.child(parts[i]); f == nil {
			return nil
		}
		if f.Kind == ListKind {
			i++ // the element's name
		}
	}
	return f
}

// fieldAt returns the field of a path in a scenario, or nil.
func fieldAt(path string) *Field { return fields().at(path) }

func (c *catalogue) add(f Field) {
	field := &f
	if field.scale == 0 {
		field.scale = 1
	}
	field.low, field.high = bound(field, f.Low), bound(field, f.High)
	field.assumed = sync.OnceValues(field.readStandard)
	parent := c.root
	if i := strings.LastIndexByte(f.Path, '.'); i >= 0 {
		parent = c.byPath[f.Path[:i]]
		if strings.HasSuffix(f.Path[:i], ".*") {
			parent = c.byPath[strings.TrimSuffix(f.Path[:i], ".*")]
		}
	}
	if parent == nil || c.byPath[f.Path] != nil {
		panic("catalogue of fields: " + f.Path + " has no parent, or stands twice") // a fault of this program; every test meets it
	}
	parent.children = append(parent.children, field)
	c.byPath[f.Path] = field
	c.list = append(c.list, field)
}

// bound reads a bound of the catalogue.
func bound(f *Field, text string) float64 {
	if text == "" {
		return 0
	}
	value, err := units.Parse(text, f.Dimension)
	if err != nil {
		panic(fmt.Sprintf("catalogue of fields: %s: bound %q: %v", f.Path, text, err)) // as above
	}
	return value * f.scale
}

// child returns the field of a block, or of a list's elements, by its key.
func (f *Field) child(key string) *Field {
	for _, c := range f.children {
		if c.Name() == key {
			return c
		}
	}
	return nil
}

// readStandard reads the default of a field.
func (f *Field) readStandard() (uncertainty.Distribution, error) {
	d, err := parseQuantity(f.Default, f)
	if err != nil {
		return d, err
	}
	if d, err = scaled(d, f.scale); err != nil || f.Low == "" && f.High == "" {
		return d, err
	}
	d, _, err = d.Truncate(f.low, f.high)
	return d, err
}

// Fields lists what a scenario may contain, in the order of the catalogue.
func Fields() []Field {
	list := make([]Field, 0, len(fields().list))
	for _, f := range fields().list {
		list = append(list, *f)
	}
	return list
}
