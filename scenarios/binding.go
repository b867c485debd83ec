package scenarios

import "strings"

// binder ties decoded values and defaults to a Scenario, and checks what one
// value means for another.
type binder struct {
	*decoder
	s   *Scenario
	src *source
}

// given returns the quantity that the file gives at a path, or nil.
func (b *binder) given(path string) *Quantity {
	v := b.values[path]
	if v == nil {
		return nil
	}
	if v.bad {
		return &Quantity{Path: path, Line: v.line, Distribution: notKnown, Basis: v.basis}
	}
	return b.add(&Quantity{
		Path: path, Line: v.line, Dimension: v.field.Dimension, Distribution: v.distribution, Cut: v.cut,
		Basis: v.basis, Source: v.source, Text: v.text, Per: v.field.Per, scale: v.field.scaleOr1(),
	})
}

// quantity returns what the file gives at a path, or the default.
func (b *binder) quantity(path string) *Quantity {
	if q := b.given(path); q != nil {
		return q
	}
	f := b.catalogue.at(path)
	d, err := f.assumed()
	if err != nil {
		b.problem(b.line(path), path, "missing", f.hint(""))
		return &Quantity{Path: path, Distribution: notKnown, Basis: Assumed}
	}
	return b.add(&Quantity{
		Path: path, Dimension: f.Dimension, Distribution: d, Basis: Assumed, Source: f.Source, Text: f.Default,
		Per: f.Per, scale: f.scaleOr1(),
	})
}

// required returns what the file gives at a path; its absence is a problem.
func (b *binder) required(path, why string) *Quantity {
	if q := b.given(path); q != nil {
		return q
	}
	b.missing(path, why)
	return &Quantity{Path: path, Distribution: notKnown, Basis: Stated}
}

func (b *binder) missing(path, why string) {
	b.absent(path, why, b.catalogue.at(path).hint(""))
}

// absent tells of something missing, unless a problem that explains it has
// been told.
func (b *binder) absent(path, why, hint string) {
	if b.told(path) {
		return
	}
	b.problem(b.line(path), path, "missing: "+why, hint)
}

func (b *binder) add(q *Quantity) *Quantity {
	q.ID = len(b.s.Inputs)
	b.s.Inputs = append(b.s.Inputs, q)
	return q
}

// word returns the choice or text at a path, or the default.
func (b *binder) word(path string) string {
	if v := b.values[path]; v != nil {
		return v.word
	}
	return b.catalogue.at(path).Default
}

// unused warns of what the file gives and the layout doesn't use.
func (b *binder) unused(why string, paths ...string) {
	for _, path := range paths {
		if v := b.values[path]; v != nil && !v.bad && !v.node.assumed {
			b.warn(v.line, path, "not used: "+why)
		}
	}
}

// conflict tells of two fields of which one is wanted.
func (b *binder) conflict(one, two, why string) bool {
	if !b.has(one) || !b.has(two) {
		return false
	}
	b.problem(b.values[two].line, two, "not together with "+one+": "+why, "leave one of the two out")
	return true
}

func (b *binder) rule(path, text, source string) {
	b.s.Rules = append(b.s.Rules, Rule{Path: path, Text: text, Source: source})
}

// below lists the paths under a block that the file gives.
func (b *binder) below(block string) []string {
	var paths []string
	for path := range b.values {
		if strings.HasPrefix(path, block+".") {
			paths = append(paths, path)
		}
	}
	return paths
}

// bind fills the scenario.
func (b *binder) bind() {
	b.s.Title = b.word("title")
	if b.s.Title == "" {
		b.s.Title = "untitled"
	}
	b.version("scenario")
	b.s.Engine = b.engine()
	b.s.Oil = b.oil()
	b.s.CarryOver = b.carryOver()
	b.s.Breathers = b.breathers()
	b.s.Separator = b.separator()
	b.s.Drain = b.drain()
	b.s.Duty = b.duty()
	b.emptiedNever()
	b.sessions()
	b.s.Limits = b.limits()
	b.s.Simulation = b.simulation()
	b.gasReachesSeparator()
	b.correlations()
	b.learned()
}

// version insists on the version of a file's format, which its first key names.
func (b *binder) version(kind string) {
	v := b.values[kind]
	switch {
	case v == nil:
		b.absent(kind, "the version of the file format", "write: "+kind+": 1")
	case !v.bad && v.count != 1:
		b.problem(v.line, kind, "another version of the file format (got "+v.node.describe()+", allowed 1)", "write: "+kind+": 1")
	}
}
