package scenarios

import (
	"fmt"
	"strings"

	"sumpward/scenarios/uncertainty"
)

// Fitting is a fitting by name, with its loss coefficient on the hose's bore.
type Fitting struct {
	Name                string
	Low, Nominal, High  float64 // loss coefficient
	Source, Description string
	Synonyms            []string // names that may be written instead
}

// fittings is the table of fittings. Where a handbook states a multiple of
// f_T, the fully turbulent friction factor of the pipe, f_T is 0.023 .. 0.030
// (rough limit of Colebrook 1939 with the handbook's roughness, bores of 25 to
// 10 mm), and the nominal value takes 0.027.
var fittings = []Fitting{
	{"straight", 0, 0.1, 0.3, prior, "a straight hose tail or union", []string{"union", "hose tail"}},
	{"elbow", 0.69, 0.81, 0.90, "standard elbow 30 f_T, Crane TP-410", "a 90° elbow", []string{"standard elbow", "90 elbow"}},
	{"sweep elbow", 0.28, 0.38, 0.48, "12 to 16 f_T, Crane TP-410, from memory", "a 90° bend of one and a half bores radius", []string{"swept elbow", "sweep"}},
	{"45 elbow", 0.36, 0.43, 0.48, "45° elbow 16 f_T, Crane TP-410", "a 45° elbow", []string{"45 degree elbow"}},
	{"tight elbow", 0.9, 1.2, 1.5, "mitre elbow 1.2, Rennels; spread: prior", "a 90° drilled or mitred turn", []string{"mitre elbow", "drilled elbow"}},
	{"return bend", 1.15, 1.35, 1.5, "180° bend 50 f_T, Crane TP-410", "a 180° bend", []string{"180 bend"}},
	{"tee", 1.38, 1.62, 1.8, "branch of a tee 60 f_T, Crane TP-410", "through the branch of a tee", []string{"tee branch"}},
	{"tee run", 0.46, 0.54, 0.60, "run of a tee 20 f_T, Crane TP-410, from memory", "straight on through a tee", []string{"through tee"}},
	{"banjo", 3, 5, 8, prior, "a hollow-bolt fitting, on its own bore", []string{"hollow bolt", "hollow-bolt fitting", "banjo bolt"}},
}

// Loss coefficients of a hose's ends, for a sharp entrance and an exit into a
// volume at rest: Crane TP-410.
const entrance, exit = 0.5, 1.0

// Fittings returns the fittings that may be named.
func Fittings() []Fitting { return append([]Fitting(nil), fittings...) }

func fittingNames() []string {
	names := make([]string, len(fittings))
	for i, f := range fittings {
		names[i] = f.Name
	}
	return names
}

// writtenFittings lists the names of fittings and what may be written instead.
func writtenFittings() []string {
	names := fittingNames()
	for _, f := range fittings {
		names = append(names, f.Synonyms...)
	}
	return names
}

// lossCoefficient returns the loss coefficient of a hose: stated, from named
// fittings, or the default.
func (b *binder) lossCoefficient(path string) *Quantity {
	named, stated := path+".fittings", path+".loss_coefficient"
	v := b.values[named]
	if v == nil || b.conflict(stated, named, "one follows from the other") {
		return b.quantity(stated)
	}
	q := &Quantity{Path: stated, Line: v.line, Distribution: notKnown, Basis: Assumed, scale: 1}
	if v.bad {
		return q
	}
	low, nominal, high := entrance+exit, entrance+exit, entrance+exit
	var sources []string
	for _, name := range v.words {
		f := fittingNamed(name)
		if f == nil {
			b.problem(v.line, named, "unknown fitting (got "+shorten(name)+", allowed "+strings.Join(fittingNames(), ", ")+")",
				"write: fittings: ["+nearest(name, writtenFittings(), "elbow")+"]")
			return q
		}
		low, nominal, high = low+f.Low, nominal+f.Nominal, high+f.High
		sources = append(sources, f.Name+": "+f.Source)
	}
	q.Text = fmt.Sprintf("%.3g .. %.3g .. %.3g", low, nominal, high)
	q.Source = "entrance 0.5 and exit 1.0, Crane TP-410; " + strings.Join(unique(sources), "; ")
	if q.Distribution = uncertainty.Exact(nominal); low < high {
		d, err := uncertainty.Triangular(low, nominal, high)
		if err != nil {
			b.problem(v.line, named, err.Error(), "")
		}
		q.Distribution = d
	}
	return b.add(q)
}

// fittingNamed finds a fitting by its name, or by one that may be written
// instead; nil if there is none.
func fittingNamed(name string) *Fitting {
	for i := range fittings {
		for _, known := range append([]string{fittings[i].Name}, fittings[i].Synonyms...) {
			if plainName(known) == plainName(name) {
				return &fittings[i]
			}
		}
	}
	return nil
}

func unique(texts []string) []string {
	var kept []string
	for _, t := range texts {
		seen := false
		for _, k := range kept {
			seen = seen || k == t
		}
		if !seen {
			kept = append(kept, t)
		}
	}
	return kept
}
