package scenarios

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"sumpward/scenarios/uncertainty"
)

const (
	mostStages = 6   // elements of a separator
	mostGrades = 100 // of a measured curve
)

// elementUses lists what each kind of element uses.
var elementUses = map[ElementKind][]string{
	ImpactorElement: {"jet", "width", "length", "count", "sharpness", "loss_heads"},
	CycloneElement:  {"width", "height", "count", "turns", "loss_heads"},
	SettlingElement: {"area"},
	MeshElement:     {"area", "wire", "thickness", "packed", "limit", "carried_on", "loss_heads"},
	MeasuredElement: {"grades", "at", "exponent"},
}

// lossHeads is the pressure loss of each kind in velocity heads.
var lossHeads = map[ElementKind]struct{ text, source string }{
	ImpactorElement: {"1 .. 2", prior + "; of the jet: its head is lost, and what it takes to form it"},
	CycloneElement:  {"6 .. 10", "of the inlet: 8 is common for a conventional cyclone, from memory"},
	MeshElement:     {"3 .. 12 .. 60", "of the face velocity, derived: drag on the wires of pads 20 to 100 mm thick"},
}

// stages binds the elements of a separator; nil where there are none.
func (b *binder) stages() []Element {
	const at = "separator.elements"
	v := b.values[at]
	if v == nil {
		if !b.told(at) {
			b.unusedBelow("separator.droplets", "there are no elements, and the efficiency stands for them; write: elements: [{kind: impactor, width: 2.5 mm, count: 12}]")
		}
		return nil
	}
	if v.bad {
		return nil
	}
	if n := len(b.elements[at]); n > mostStages {
		b.problem(v.line, at, fmt.Sprintf("too many (got %d, allowed 1 to %d)", n, mostStages), "stages that work alike can be one: count")
		return nil
	}
	var list []Element
	for _, path := range b.elements[at] {
		list = append(list, b.element(path))
	}
	return list
}

func (b *binder) element(path string) Element {
	e := Element{Kind: ElementKind(b.word(path + ".kind"))}
	if !b.has(path + ".kind") {
		b.missing(path+".kind", "how the element catches droplets")
	}
	uses, known := elementUses[e.Kind]
	if !known {
		return e
	}
	b.notOfKind(path, e.Kind, uses)
	switch e.Kind {
	case ImpactorElement:
		b.impactor(path, &e)
	case CycloneElement:
		e.Width = b.required(path+".width", "width of the cyclone's inlet")
		e.Length = b.required(path+".height", "height of the cyclone's inlet")
		e.Count, e.Turns = b.wholeNumber(path+".count"), b.quantity(path+".turns")
	case SettlingElement:
		e.Area = b.given(path + ".area")
	case MeshElement:
		e.Area = b.required(path+".area", "area of the mesh across the gas")
		e.Thickness = b.required(path+".thickness", "thickness of the mesh along the gas")
		e.Wire, e.Packed, e.Limit = b.quantity(path+".wire"), b.quantity(path+".packed"), b.quantity(path+".limit")
		e.CarriedOn = b.quantity(path + ".carried_on")
	case MeasuredElement:
		b.measuredCurve(path, &e)
	}
	if heads, ok := lossHeads[e.Kind]; ok {
		e.LossHeads = b.otherwise(path+".loss_heads", heads.text, heads.source)
	}
	return e
}

// notOfKind warns of what an element of another kind would use.
func (b *binder) notOfKind(path string, kind ElementKind, uses []string) {
	paths := b.below(path)
	sort.Strings(paths)
	article := "a "
	if kind == ImpactorElement {
		article = "an "
	}
	for _, p := range paths {
		name := p[len(path)+1:]
		if name != "kind" && !strings.Contains(name, ".") && !slices.Contains(uses, name) {
			b.unused("it isn't of "+article+string(kind)+" element", p)
		}
	}
}

func (b *binder) impactor(path string, e *Element) {
	e.Slot = b.word(path+".jet") == "slot"
	e.Width = b.required(path+".width", "diameter of a jet, or width of a slot")
	if e.Slot {
		e.Length = b.required(path+".length", "length of a slot")
	} else {
		b.unused("a round jet has a width alone", path+".length")
	}
	e.Count, e.Sharpness = b.wholeNumber(path+".count"), b.quantity(path+".sharpness")
}

func (b *binder) measuredCurve(path string, e *Element) {
	e.At = b.required(path+".at", "gas flow at which the curve was measured")
	e.Exponent = b.quantity(path + ".exponent")
	grades := path + ".grades"
	if !b.has(grades) {
		b.missing(grades, "what is caught, by size")
		return
	}
	if !b.several(grades, mostGrades) {
		return
	}
	for _, p := range b.elements[grades] {
		e.Grades = append(e.Grades, Grade{
			Size:   b.required(p+".size", "the size of a point"),
			Caught: b.required(p+".caught", "what is caught of that size"),
		})
	}
	for i := 1; i < len(e.Grades); i++ {
		b.ascending(e.Grades[i-1].Size, e.Grades[i].Size)
	}
}

// wholeNumber returns an exact quantity that counts something.
func (b *binder) wholeNumber(path string) *Quantity {
	q := b.quantity(path)
	if n := q.Nominal(); n != math.Trunc(n) {
		if v := b.values[path]; v != nil && !v.bad {
			b.problem(v.line, path, "a whole number is wanted here (got "+shorten(v.text)+")", v.field.hint(""))
		}
	}
	return q
}

// otherwise returns what the file gives at a path, or a default that isn't the
// catalogue's.
func (b *binder) otherwise(path, text, source string) *Quantity {
	if q := b.given(path); q != nil {
		return q
	}
	f := b.catalogue.at(path)
	d, err := uncertainty.Parse(text, f.Dimension)
	if err != nil {
		d = notKnown
	}
	return b.add(&Quantity{Path: path, Dimension: f.Dimension, Distribution: d, Basis: Assumed, Source: source, Text: text, Per: f.Per, scale: f.scaleOr1()})
}

// droplets binds the sizes of the mist.
func (b *binder) droplets() *Droplets {
	const at = "separator.droplets."
	mode := func(name string) DropletMode {
		return DropletMode{Median: b.quantity(at + name + ".median"), Spread: b.quantity(at + name + ".spread")}
	}
	return &Droplets{Fine: mode("fine"), Coarse: mode("coarse"), CoarseShare: b.quantity(at + "coarse_share")}
}
