package scenarios

import (
	"fmt"
	"strconv"
	"strings"

	"sumpward/scenarios/uncertainty"
)

// value is what the file says at one path, decoded as its field asks.
type value struct {
	field *Field
	path  string
	line  int
	node  *node
	bad   bool // a problem has been told; nothing below counts

	distribution uncertainty.Distribution
	cut          float64
	basis        Basis
	source       string
	text         string

	word  string   // choice, text, emptied
	words []string // fittings, paths
	count uint64
	times []float64
	names map[string]string
}

// decoder goes through a file along the catalogue of fields. It notes every
// problem and goes on.
type decoder struct {
	catalogue *catalogue
	file      string
	memory    *memory
	variant   string
	values    map[string]*value
	elements  map[string][]string // paths of a list's elements, in order
	meant     map[string]bool     // paths that a wrong key was probably meant for
	problems  Problems
	warnings  []Warning
}

// newDecoder returns the decoder of a scenario.
func newDecoder(src *source, variant string) *decoder { return newDecoderOf(fields(), src, variant) }

func newDecoderOf(c *catalogue, src *source, variant string) *decoder {
	return &decoder{
		catalogue: c, file: src.name(), memory: src.memory, variant: variant,
		values: map[string]*value{}, elements: map[string][]string{}, meant: map[string]bool{},
	}
}

func (d *decoder) problem(line int, path, what, hint string) {
	d.problems = append(d.problems, Problem{File: d.file, Line: line, Path: path, What: what, Hint: hint, Variant: d.variant})
}

func (d *decoder) warn(line int, path, text string) {
	d.warnings = append(d.warnings, Warning{Line: line, Path: path, Text: text})
}

// has reports whether the file says something at a path, right or wrong.
func (d *decoder) has(path string) bool { return d.values[path] != nil }

// told reports whether a problem at a path, or around it, has been told: a
// wrong block, or a wrong key that was probably meant for it.
func (d *decoder) told(path string) bool {
	for {
		if v := d.values[path]; d.meant[path] || v != nil && v.bad {
			return true
		}
		i := strings.LastIndexByte(path, '.')
		if i < 0 {
			return false
		}
		path = path[:i]
	}
}

// line returns the line of a path, or of the nearest block around it.
func (d *decoder) line(path string) int {
	for {
		if v := d.values[path]; v != nil {
			return v.line
		}
		i := strings.LastIndexByte(path, '.')
		if i < 0 {
			return 1
		}
		path = path[:i]
	}
}

// decode reads the value of one field.
func (d *decoder) decode(f *Field, n *node, path string, line int) {
	v := &value{field: f, path: path, line: line, node: n, basis: Stated}
	d.values[path] = v
	if n.kind == nullNode {
		v.bad = true
		d.problem(line, path, "nothing is written here", f.hint(""))
		return
	}
	switch f.Kind {
	case BlockKind:
		d.block(v)
	case ListKind:
		d.list(v)
	case QuantityKind, ExactKind:
		d.quantity(v)
	case ChoiceKind:
		d.choice(v)
	case CountKind:
		d.count(v)
	case TimesKind, SpansKind:
		d.times(v)
	case PointKind:
		d.point(v)
	case PointsKind:
		d.points(v)
	case DuringKind:
		if n.kind == mappingNode && n.get("value") == nil && n.get("distribution") == nil {
			d.block(v)
			return
		}
		during := *f
		during.Dimension, during.low, during.high, during.Low, during.High = duringTime.Dimension, duringTime.low, duringTime.high, duringTime.Low, duringTime.High
		v.field = &during
		d.quantity(v)
	case FittingsKind, PathsKind, InputsKind, WordsKind:
		v.words = d.words(v)
	case NamesKind:
		d.names(v)
	case VariantsKind:
		d.variantNames(v)
	default:
		v.word, v.bad = d.word(v)
	}
}

// block decodes the fields within a block.
func (d *decoder) block(v *value) {
	if v.node.kind != mappingNode {
		v.bad = true
		d.problem(v.line, v.path, "a block of fields is wanted here (got "+v.node.describe()+")", v.field.blockHint())
		return
	}
	for _, e := range v.node.entries {
		path := join(v.path, e.key)
		child := v.field.child(e.key)
		if child == nil {
			d.unknown(v.field, v.path, e)
			continue
		}
		d.decode(child, e.value, path, e.line)
	}
}

// list decodes a list of blocks; each element goes by its name, or its number
// from 1. Only breathers may be an empty list: every circuit was lost.
func (d *decoder) list(v *value) {
	if v.node.kind != listNode || len(v.node.items) == 0 && v.path != "breathers" {
		v.bad = true
		d.problem(v.line, v.path, "a list is wanted here (got "+v.node.describe()+")", v.field.hint(""))
		return
	}
	if len(v.node.items) > mostElements {
		v.bad = true
		d.problem(v.line, v.path, fmt.Sprintf("too many (got %d, allowed 1 to %d)", len(v.node.items), mostElements), "")
		return
	}
	for i, item := range v.node.items {
		path := join(v.path, d.elementName(v, i, item))
		if d.has(path) {
			d.problem(item.line, path, "the name is used twice", "give each its own name")
			continue
		}
		element := &value{field: v.field, path: path, line: item.line, node: item}
		d.values[path] = element
		d.elements[v.path] = append(d.elements[v.path], path)
		d.block(element)
	}
}

// elementName names an element: breathers by name, all others by number.
func (d *decoder) elementName(v *value, i int, item *node) string {
	if v.path != "breathers" {
		return strconv.Itoa(i + 1)
	}
	name := item.get("name")
	if name == nil || name.kind != scalarNode || strings.TrimSpace(name.text) == "" {
		return ordinal(i)
	}
	if strings.ContainsAny(name.text, ".*\n") || len(name.text) > 40 {
		d.problem(name.line, v.path, "a name has at most 40 characters, and no dot, star or line break (got "+shorten(name.text)+")", "write: name: "+ordinal(i))
		return ordinal(i)
	}
	return strings.TrimSpace(name.text)
}

// word reads a text.
func (d *decoder) word(v *value) (word string, bad bool) {
	if v.node.kind != scalarNode || strings.TrimSpace(v.node.text) == "" {
		d.problem(v.line, v.path, "a text is wanted here (got "+v.node.describe()+")", v.field.hint(""))
		return "", true
	}
	const longest = 500
	if len(v.node.text) > longest {
		d.problem(v.line, v.path, fmt.Sprintf("the text is too long (got %d characters, allowed 1 to %d)", len(v.node.text), longest), "")
		return "", true
	}
	return strings.TrimSpace(v.node.text), false
}

// choice reads one of several words.
func (d *decoder) choice(v *value) {
	word, bad := d.word(v)
	if bad {
		v.bad = true
		return
	}
	for _, c := range v.field.Choices {
		if strings.EqualFold(c, word) {
			v.word = c
			return
		}
	}
	v.bad = true
	meant := suggest(word, v.field.Choices)
	if meant == "" {
		meant = v.field.Example
	}
	d.problem(v.line, v.path, "not one of the choices (got "+shorten(word)+", allowed "+strings.Join(v.field.Choices, ", ")+")", "write: "+v.field.Name()+": "+meant)
}

// count reads a whole number.
func (d *decoder) count(v *value) {
	text := strings.TrimSpace(v.node.text)
	n, err := strconv.ParseUint(text, 10, 63)
	if v.node.kind == scalarNode && err == nil {
		v.count = n
		return
	}
	v.bad = true
	d.problem(v.line, v.path, "a whole number is wanted here (got "+v.node.describe()+")", v.field.hint(""))
}

// words reads a list of words.
func (d *decoder) words(v *value) []string {
	var words []string
	for _, item := range v.node.items {
		if item.kind != scalarNode || strings.TrimSpace(item.text) == "" {
			v.bad = true
			d.problem(item.line, v.path, "a word is wanted here (got "+item.describe()+")", v.field.hint(""))
			continue
		}
		words = append(words, strings.TrimSpace(item.text))
	}
	if v.node.kind != listNode {
		v.bad = true
		d.problem(v.line, v.path, "a list of words is wanted here (got "+v.node.describe()+")", v.field.hint(""))
	}
	return words
}

// names reads a block of texts whose keys are known.
func (d *decoder) names(v *value) {
	if v.node.kind != mappingNode {
		v.bad = true
		d.problem(v.line, v.path, "a block of names is wanted here (got "+v.node.describe()+")", v.field.hint(""))
		return
	}
	v.names = map[string]string{}
	for _, e := range v.node.entries {
		known := false
		for _, c := range v.field.Choices {
			known = known || c == e.key
		}
		if !known {
			v.bad = true
			d.unknownAmong(v.field.Choices, v.path, e)
			continue
		}
		entry := &value{field: v.field, path: join(v.path, e.key), line: e.line, node: e.value}
		if word, bad := d.word(entry); !bad {
			v.names[e.key] = word
		} else {
			v.bad = true
		}
	}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// hint returns a line that can be pasted, with an example where text is empty.
func (f *Field) hint(text string) string {
	if text == "" {
		text = f.Example
	}
	return "write: " + f.Name() + ": " + text
}

// blockHint returns a block that can be pasted.
func (f *Field) blockHint() string {
	if f.Path == "" {
		return f.children[0].hint("") // the version of the format
	}
	for _, c := range f.children {
		if c.Example != "" {
			return "write: " + f.Name() + ": {" + c.Name() + ": " + c.Example + "}"
		}
	}
	return ""
}
