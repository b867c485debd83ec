package scenarios

import (
	"strconv"
	"strings"

	"sumpward/scenarios/units"
)

// apply sets the value at a path of a tree; nil takes it out. Blocks on the
// way that are not there yet are made.
func apply(tree *node, path string, line int, value *node) error {
	if !knownPath(path) {
		return unknownPath(path)
	}
	tree.exceptLearned(path)
	parts := strings.Split(path, ".")
	at := tree
	for _, part := range parts[:len(parts)-1] {
		next, err := at.step(part, line)
		if err != nil {
			return err
		}
		at = next
	}
	last := parts[len(parts)-1]
	if at.kind == listNode {
		at.giveUnits()
		return at.setItem(last, value)
	}
	if at.kind != mappingNode {
		return &units.Error{What: "there is no block to change here", Got: at.describe(), Hint: "replace " + strings.Join(parts[:len(parts)-1], ".") + " whole"}
	}
	at.removeAlternatives(last)
	at.set(last, line, value)
	return nil
}

// step goes one part down, and makes a block that is not there.
func (n *node) step(part string, line int) (*node, error) {
	switch n.kind {
	case listNode:
		if i := n.item(part); i >= 0 {
			return n.items[i], nil
		}
		return nil, &units.Error{What: "the list has no such element", Got: part, Hint: "name it, or count from 1"}
	case mappingNode:
		if next := n.get(part); next != nil {
			return next, nil
		}
		n.removeAlternatives(part)
		next := &node{kind: mappingNode, line: line}
		n.entries = append(n.entries, entry{part, line, next})
		return next, nil
	}
	return nil, &units.Error{What: "there is no block to change here", Got: n.describe()}
}

// item returns the index of an element by its name or number, or -1.
func (n *node) item(part string) int {
	for i, item := range n.items {
		if name := item.get("name"); name != nil && strings.TrimSpace(name.text) == part {
			return i
		}
	}
	for i, item := range n.items {
		if item.kind == mappingNode && item.get("name") == nil && ordinal(i) == part {
			return i
		}
	}
	if i := strings.Index("xyz", part); i >= 0 && len(part) == 1 && len(n.items) == 3 {
		return i
	}
	if i, err := strconv.Atoi(part); err == nil && i >= 1 && i <= len(n.items) {
		return i - 1
	}
	return -1
}

// giveUnits writes the unit of a point's last coordinate at those without
// one, which would otherwise follow a change of the last.
func (n *node) giveUnits() {
	if len(n.items) != 3 {
		return
	}
	unit := unitOf(n.items[2].text)
	for _, item := range n.items {
		if item.kind == scalarNode && unit != "" && unitless.MatchString(item.text) {
			item.text += " " + unit
		}
	}
}

func (n *node) setItem(part string, value *node) error {
	i := n.item(part)
	if i < 0 {
		return &units.Error{What: "the list has no such element", Got: part, Hint: "name it, or count from 1"}
	}
	if value == nil {
		return &units.Error{What: "an element can't be left out", Got: part, Hint: "replace the list whole"}
	}
	n.items[i] = value
	return nil
}

func (n *node) set(key string, line int, value *node) {
	for i, e := range n.entries {
		if e.key == key && value != nil {
			n.entries[i] = entry{key, line, value}
			return
		}
	}
	if value == nil {
		n.remove(key)
		return
	}
	n.entries = append(n.entries, entry{key, line, value})
}

// removeAlternatives takes out what stands for the same thing as a key.
func (n *node) removeAlternatives(key string) {
	for _, other := range alternatives[key] {
		n.remove(other)
	}
}

func (n *node) remove(key string) {
	for i, e := range n.entries {
		if key != "" && e.key == key {
			n.entries = append(n.entries[:i:i], n.entries[i+1:]...)
			return
		}
	}
}

// knownPath reports whether a path can be changed: a field of the catalogue,
// an element of a list, a point of a route or a coordinate.
func knownPath(path string) bool {
	if path == "scenario" || path == "variants" || strings.HasPrefix(path, "variants.") {
		return false
	}
	if fieldAt(path) != nil {
		return true
	}
	for _, axis := range []string{".x", ".y", ".z"} {
		path = strings.TrimSuffix(path, axis)
	}
	if f := fieldAt(path); f != nil && f.Kind == PointKind {
		return true
	}
	number, inRoute := strings.CutPrefix(path, "drain.route.")
	_, err := strconv.Atoi(number)
	return inRoute && err == nil
}

func unknownPath(path string) error {
	var names []string
	for _, f := range fields().list {
		names = append(names, f.Path)
	}
	e := &units.Error{What: "unknown path", Got: path, Hint: "see the list of inputs that validate prints"}
	if near := suggest(path, names); near != "" {
		e.Hint = "did you mean " + near + "?"
	}
	return e
}
