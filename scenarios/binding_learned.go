package scenarios

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// learned puts draws that were learned in the place of what the file says. It
// comes last, when all inputs are known.
func (b *binder) learned() {
	v := b.values["learned"]
	if v == nil || v.bad {
		return
	}
	file := b.values["learned.draws"]
	if file == nil {
		b.missing("learned.draws", "the file of the draws")
		return
	}
	if b.anyBad("learned") || !b.beside(file, "a file of draws") {
		return
	}
	d, faults, err := b.src.readDraws(file.word)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		b.problem(file.line, file.path, "no such file (got "+shorten(file.word)+")", "put the draws beside the scenario")
	case err != nil:
		b.cantRead(file, "the file of draws", err)
	}
	for _, f := range faults {
		b.problem(file.line, file.path, inFile(file.word, f.line, f.column)+": "+f.what, f.hint)
	}
	if d == nil {
		return
	}
	l := &Learned{
		File: file.word, From: b.word("learned.from"), Scenario: d.scenario, Weights: d.weights, cumulative: d.cumulative,
		Readings: b.marks("learned.readings"),
		Measured: b.inputList("learned.measured", d), Except: b.inputList("learned.except", nil),
	}
	if d.scenario != "" && d.scenario != b.src.unlearned() {
		b.warn(v.line, "learned", "the scenario was changed after "+shorten(l.File)+" was learned, and the draws go before what it says of their inputs; learn again, or name those that you changed under except")
	}
	b.take(l, d)
	b.dropLearnedCorrelations(l)
}

// marks is a list of marks, nil where none is written.
func (b *binder) marks(path string) []string {
	if v := b.values[path]; v != nil {
		return append([]string{}, v.words...)
	}
	return nil
}

// inputList is a list of paths, nil where none is written; each has a column, where
// draws are given.
func (b *binder) inputList(path string, d *draws) []string {
	v := b.values[path]
	if v == nil {
		return nil
	}
	for _, word := range v.words {
		if d != nil && !slices.Contains(d.paths, word) {
			hint := "name inputs that have a column there"
			if near := suggest(word, d.paths); near != "" {
				hint = "did you mean " + near + "?"
			}
			b.problem(v.line, path, "not an input of the draws (got "+shorten(word)+")", hint)
		}
	}
	return append([]string{}, v.words...)
}

// take puts the columns in the place of the inputs' own distributions.
func (b *binder) take(l *Learned, d *draws) {
	inputs := make(map[string]*Quantity, len(b.s.Inputs))
	for _, q := range b.s.Inputs {
		inputs[q.Path] = q
	}
	source := "learned from " + l.From
	if l.From == "" {
		source = "learned, " + l.File
	}
	for i, path := range d.paths {
		q := inputs[path]
		switch {
		case isUnder(l.Except, path):
		case q == nil && b.values["learned"].node == b.src.tree.get("learned"): // of the file itself
			b.warn(b.line("learned.draws"), "learned.draws", "not used: "+path+" is no input of this layout")
		case q != nil:
			q.Distribution, q.Cut, q.learned = d.laws[i], 0, true
			q.Text = fmt.Sprintf("learned, from %d draws", len(d.weights))
			if l.Measured == nil || slices.Contains(l.Measured, path) {
				q.Basis, q.Source = Measured, source
			} else if q.Source == "" {
				q.Source = "learned along with others, from " + strings.TrimPrefix(source, "learned from ")
			}
			l.Quantities, l.Values = append(l.Quantities, q), append(l.Values, d.values[i])
		}
	}
	if len(l.Quantities) == 0 {
		return
	}
	whole, err := uncertainty.Uniform(0, 1)
	if err != nil { // 0 is below 1
		return
	}
	l.Which = &Quantity{ID: len(b.s.Inputs), Path: LearnedPath, Line: b.line("learned"), Dimension: units.Number, Distribution: whole,
		Basis: Measured, Source: source, Text: fmt.Sprintf("one of %d draws", len(d.weights)), scale: 1}
	b.s.Learned = l
}

// isUnder reports whether a path, or a block around it, is among paths.
func isUnder(paths []string, path string) bool {
	return slices.ContainsFunc(paths, func(p string) bool { return p == path || strings.HasPrefix(path, p+".") })
}

// dropLearnedCorrelations takes out rank correlations of inputs that are drawn
// together: the draws hold how they go with each other, and with nothing else.
func (b *binder) dropLearnedCorrelations(l *Learned) {
	b.s.Correlations = slices.DeleteFunc(b.s.Correlations, func(c Correlation) bool {
		for _, q := range c.Between {
			if q.learned {
				b.warn(c.Line, "correlations", "not used: "+q.Path+" is drawn from "+shorten(l.File)+", which holds what it goes with")
				return true
			}
		}
		return false
	})
}

// exceptLearned notes in a tree that what it says at a path counts, and no longer
// what was learned of it.
func (n *node) exceptLearned(path string) {
	block := n.get("learned")
	if block == nil || block.kind != mappingNode || path == "learned" || strings.HasPrefix(path, "learned.") {
		return
	}
	list := block.get("except")
	if list == nil {
		list = &node{kind: listNode}
		block.entries = append(block.entries, entry{"except", 0, list})
	}
	for _, p := range n.inputsOf(path) {
		if !slices.ContainsFunc(list.items, func(item *node) bool { return item.text == p }) {
			list.items = append(list.items, &node{text: p})
		}
	}
}

// inputsOf names the inputs that a change of a path changes, as they are listed.
func (n *node) inputsOf(path string) []string {
	if parts := strings.SplitN(path, ".", 3); parts[0] == "breathers" && len(parts) > 1 {
		if list := n.get("breathers"); list != nil && list.kind == listNode {
			if i := list.item(parts[1]); i >= 0 {
				parts[1] = ordinal(i)
				if name := list.items[i].get("name"); name != nil {
					parts[1] = strings.TrimSpace(name.text)
				}
			}
		}
		path = strings.Join(parts, ".")
	}
	switch {
	case path == "engine.condition":
		return []string{path, "engine.wear"}
	case strings.HasSuffix(path, ".fittings"):
		return []string{path, strings.TrimSuffix(path, ".fittings") + ".loss_coefficient"}
	case strings.HasSuffix(path, ".right"):
		return []string{path, strings.TrimSuffix(path, ".right") + ".left"}
	case strings.HasSuffix(path, ".backward"):
		return []string{path, strings.TrimSuffix(path, ".backward") + ".forward"}
	}
	return []string{path}
}
