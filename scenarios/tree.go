package scenarios

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"

	"sumpward/scenarios/uncertainty"
)

type nodeKind int

const (
	scalarNode nodeKind = iota
	nullNode
	mappingNode
	listNode
)

// node is a value of the file, with its line.
type node struct {
	kind    nodeKind
	line    int
	text    string // of a scalar, as written, without quotes
	entries []entry
	items   []*node

	assumed      bool                      // put there by a default, not by the user
	distribution *uncertainty.Distribution // put there by the program, exactly; text describes it
	basis        Basis                     // of that distribution; empty: stated
	source       string
}

type entry struct {
	key   string
	line  int
	value *node
}

// get returns the value of a key, or nil.
func (n *node) get(key string) *node {
	if n == nil {
		return nil
	}
	for _, e := range n.entries {
		if e.key == key {
			return e.value
		}
	}
	return nil
}

// size counts the values of a tree.
func (n *node) size() int {
	total := 1
	for _, e := range n.entries {
		total += e.value.size()
	}
	for _, item := range n.items {
		total += item.size()
	}
	return total
}

// clone returns a deep copy, so that a variant leaves its base alone.
func (n *node) clone() *node {
	if n == nil {
		return nil
	}
	c := *n
	c.entries = make([]entry, len(n.entries))
	for i, e := range n.entries {
		c.entries[i] = entry{e.key, e.line, e.value.clone()}
	}
	c.items = make([]*node, len(n.items))
	for i, item := range n.items {
		c.items[i] = item.clone()
	}
	return &c
}

// describe says in a message what the user wrote.
func (n *node) describe() string {
	switch n.kind {
	case nullNode:
		return "nothing"
	case mappingNode:
		if len(n.entries) == 0 {
			return "an empty block"
		}
		return "a block"
	case listNode:
		if len(n.items) == 0 {
			return "an empty list"
		}
		return "a list"
	default:
		if strings.TrimSpace(n.text) == "" {
			return "nothing"
		}
		return shorten(n.text)
	}
}

// treeBuilder turns the library's syntax tree into nodes.
type treeBuilder struct {
	file     string
	problems Problems
}

func (t *treeBuilder) fail(line int, path, what, hint string) *node {
	t.problems = append(t.problems, Problem{File: t.file, Line: line, Path: path, What: what, Hint: hint})
	return &node{kind: nullNode, line: line}
}

func (t *treeBuilder) node(from ast.Node, path string, depth int) *node {
	line := 1
	if tk := from.GetToken(); tk != nil && tk.Position != nil {
		line = tk.Position.Line
	}
	if depth > deepestNesting {
		return t.fail(line, path, fmt.Sprintf("nested too deep (allowed 1 to %d levels)", deepestNesting), "")
	}
	switch v := from.(type) {
	case *ast.MappingNode:
		return t.mapping(v.Values, path, line, depth)
	case *ast.MappingValueNode:
		return t.mapping([]*ast.MappingValueNode{v}, path, line, depth)
	case *ast.SequenceNode:
		n := &node{kind: listNode, line: line}
		for i, item := range v.Values {
			n.items = append(n.items, t.node(item, join(path, strconv.Itoa(i+1)), depth+1))
		}
		return n
	case *ast.NullNode:
		return &node{kind: nullNode, line: line}
	case *ast.LiteralNode:
		return &node{line: line, text: v.Value.Value}
	case *ast.StringNode:
		return &node{line: line, text: v.Value}
	case ast.ScalarNode:
		return &node{line: line, text: v.GetToken().Value}
	}
	return t.fail(line, path, "not used here: "+from.Type().YAMLName(), "")
}

func (t *treeBuilder) mapping(values []*ast.MappingValueNode, path string, line, depth int) *node {
	n := &node{kind: mappingNode, line: line}
	first := map[string]int{}
	for _, v := range values {
		key := keyText(v.Key)
		e := entry{key: key, line: line, value: t.node(v.Value, join(path, shorten(key)), depth+1)}
		if tk := v.Key.GetToken(); tk != nil {
			e.line = tk.Position.Line
		}
		if utf8.RuneCountInString(key) > longestKey || strings.ContainsRune(key, '\n') {
			t.fail(e.line, path, fmt.Sprintf("a key is one line of at most %d characters (got %s)", longestKey, shorten(key)), "give it a shorter name")
			continue
		}
		if before, twice := first[e.key]; twice {
			t.fail(e.line, join(path, shorten(e.key)), fmt.Sprintf("written twice (first in line %d)", before), "keep one of the two")
			continue
		}
		first[e.key] = e.line
		n.entries = append(n.entries, e)
	}
	if len(n.entries) > 0 {
		n.line = n.entries[0].line
	}
	return n
}

func keyText(key ast.MapKeyNode) string {
	if s, ok := key.(*ast.StringNode); ok {
		return s.Value
	}
	return key.GetToken().Value
}

// ordinal names the i-th of a list, from 0.
func ordinal(i int) string {
	names := []string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"}
	if i < len(names) {
		return names[i]
	}
	return strconv.Itoa(i + 1)
}
