package scenarios

import (
	"embed"
	"strings"
	"sync"
)

//go:embed layouts/*.yaml
var layouts embed.FS

// layout returns the segments of a built-in circuit, as they would stand in a
// file, or nil.
func layout(name string) *node {
	for _, known := range layoutNames {
		if strings.EqualFold(known, strings.TrimSpace(name)) {
			return layoutTrees()[known].clone()
		}
	}
	return nil
}

// layoutTrees reads the built-in circuits, once.
var layoutTrees = sync.OnceValue(func() map[string]*node {
	trees := map[string]*node{}
	for _, name := range layoutNames {
		data, err := layouts.ReadFile("layouts/" + name + ".yaml")
		if err != nil {
			panic(err) // embedded: every test meets it
		}
		tree, problems := document(name, data)
		if len(problems) > 0 {
			panic(problems) // as above
		}
		tree.assume()
		trees[name] = tree
	}
	return trees
})

// layOut writes the segments of a named layout into a tree that has none.
func layOut(tree *node) {
	circuit := tree.get("duty").get("circuit")
	name := circuit.get("layout")
	if name == nil || circuit.get("segments") != nil {
		return
	}
	if segments := layout(name.text); segments != nil {
		circuit.entries = append(circuit.entries, entry{"segments", 0, segments})
	}
}

// allAssumed reports whether a default put all of a node there.
func (n *node) allAssumed() bool {
	for _, e := range n.entries {
		if !e.value.allAssumed() {
			return false
		}
	}
	for _, item := range n.items {
		if !item.allAssumed() {
			return false
		}
	}
	return n.assumed
}
