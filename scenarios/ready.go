package scenarios

import (
	"embed"
	"io"
	"path"
	"sort"
	"strings"
)

//go:embed ready/*.yaml ready/*.csv
var ready embed.FS

// DefaultReady is the ready-made scenario that stands where none is named.
const DefaultReady = "sealed-drain"

// Ready returns a ready-made scenario: an example, nobody's car.
func Ready(name string) (*Scenario, error) {
	data := ReadySource(name)
	if data == nil {
		return nil, Problems{{File: shorten(name), What: "no such ready-made scenario", Hint: "known: " + strings.Join(ReadyNames(), ", ")}}
	}
	open := func(file string) (io.ReadCloser, error) { return ready.Open(path.Join("ready", file)) }
	return parseSource(&source{example: name, open: open}, data)
}

// ReadyNames lists the ready-made scenarios, the default one first.
func ReadyNames() []string {
	entries, _ := ready.ReadDir("ready") // embedded: it is there
	var names []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".yaml"); ok {
			names = append(names, name)
		}
	}
	sort.SliceStable(names, func(i, j int) bool { return names[i] == DefaultReady && names[j] != DefaultReady })
	return names
}

// ReadySource returns the file of a ready-made scenario, or nil.
func ReadySource(name string) []byte {
	data, err := ready.ReadFile(path.Join("ready", name+".yaml"))
	if err != nil {
		return nil
	}
	return data
}

// ReadyFile returns a file that ready-made scenarios read, a data log, by its
// name, or nil.
func ReadyFile(name string) []byte {
	data, err := ready.ReadFile(path.Join("ready", path.Base(name)))
	if err != nil {
		return nil
	}
	return data
}
