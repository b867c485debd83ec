package scenarios

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"path/filepath"
	"sort"
)

// source is where a scenario came from: enough to build it again, changed.
type source struct {
	file, example, sha string
	text               string // of the file
	tree               *node
	open               func(name string) (io.ReadCloser, error)
	memory             *memory
}

// Load reads the scenario in a file. The error is [Problems] where the file
// could be read and is wrong.
func Load(path string) (*Scenario, error) {
	data, err := ReadFile("scenario", path)
	if err != nil {
		return nil, err
	}
	return Parse(path, data, within(filepath.Dir(path)))
}

// Parse reads a scenario from the bytes of a file called name. Files that it
// refers to are opened with open, by slash-separated names relative to the
// scenario's folder; without it, referring to one is a problem. The error is
// [Problems].
func Parse(name string, data []byte, open func(name string) (io.ReadCloser, error)) (*Scenario, error) {
	return parseSource(&source{file: name, open: open}, data)
}

func parseSource(src *source, data []byte) (*Scenario, error) {
	tree, problems := document(src.name(), data)
	if len(problems) > 0 {
		return nil, problems
	}
	for _, other := range [][3]string{{"shelf", "a shelf", "the shelf"}, {"seen", "what was seen", "what was seen"}} {
		if tree.get("scenario") == nil && tree.get(other[0]) != nil {
			return nil, Problems{{File: src.name(), Line: tree.line, What: "this is " + other[1] + ", not a scenario", Hint: "the scenario comes first, then " + other[2]}}
		}
	}
	sum := sha256.Sum256(data)
	src.sha = hex.EncodeToString(sum[:])
	src.memory = newMemory()
	src.tree, src.text = tree, string(data)
	if tree.kind == mappingNode && tree.get("breathers") == nil {
		tree.entries = append(tree.entries, entry{"breathers", 0, assumedBreathers()})
	}
	s, problems := assemble(src, tree, "")
	if len(problems) == 0 {
		problems = tryVariants(src, s.Variants)
	}
	if len(problems) > 0 {
		return nil, problems.sorted()
	}
	return s, nil
}

// assumedBreathers is the default of the list of breathers.
func assumedBreathers() *node {
	tree, problems := document("default of breathers", []byte(fieldAt("breathers").Default))
	if len(problems) > 0 {
		panic(problems) // a fault of the catalogue; every test meets it
	}
	tree.assume()
	return tree
}

func (n *node) assume() {
	n.assumed, n.line = true, 0
	for i := range n.entries {
		n.entries[i].line = 0
		n.entries[i].value.assume()
	}
	for _, item := range n.items {
		item.assume()
	}
}

// assemble decodes a tree and binds it to a scenario.
func assemble(src *source, tree *node, variant string) (*Scenario, Problems) {
	layOut(tree)
	d := newDecoder(src, variant)
	d.block(&value{field: fields().root, line: tree.line, node: tree})
	b := &binder{decoder: d, src: src, s: &Scenario{File: src.file, Example: src.example, SHA256: src.sha}}
	if tree.kind == mappingNode {
		b.bind()
	}
	if v := d.values["variants"]; v != nil {
		b.s.Variants = v.words
	}
	if v := d.values["breathers"]; v != nil && v.node.assumed {
		b.rule("breathers", "two circuits to the separator", fieldAt("breathers").Source)
	}
	sort.SliceStable(d.warnings, func(i, j int) bool { return d.warnings[i].Line < d.warnings[j].Line })
	b.s.Warnings = d.warnings
	changed := *src
	changed.tree = tree
	b.s.source = &changed
	return b.s, d.problems.sorted()
}
