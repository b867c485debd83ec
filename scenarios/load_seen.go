package scenarios

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"sort"
)

//go:embed ready/seen/*.yaml
var readySeen embed.FS

// ReadySeenName is the name of the ready-made file of what was seen, which goes
// with the scenario [DefaultReady].
const ReadySeenName = "larkmoor-seen"

// LoadSeen reads what was seen from a file. The error is [Problems] where the
// file could be read and is wrong.
func LoadSeen(path string) (*Seen, error) {
	data, err := ReadFile("what was seen", path)
	if err != nil {
		return nil, err
	}
	return ParseSeen(path, data)
}

// ParseSeen reads what was seen from the bytes of a file called name. The error
// is [Problems].
func ParseSeen(name string, data []byte) (*Seen, error) {
	return parseSeen(&source{file: name}, data)
}

// ReadySeen returns what was seen in the ready-made example: nobody's car.
func ReadySeen() (*Seen, error) {
	return parseSeen(&source{example: ReadySeenName}, ReadySeenSource())
}

// ReadySeenSource returns the file of the ready-made example.
func ReadySeenSource() []byte {
	data, err := readySeen.ReadFile("ready/seen/" + ReadySeenName + ".yaml")
	if err != nil {
		panic(err) // embedded: every test meets it
	}
	return data
}

func parseSeen(src *source, data []byte) (*Seen, error) {
	tree, problems := documentOf("seen", src.name(), data)
	if len(problems) > 0 {
		return nil, problems
	}
	for _, kind := range []string{"scenario", "shelf"} {
		if tree.get("seen") == nil && tree.get(kind) != nil {
			return nil, Problems{{File: src.name(), Line: tree.line, What: "this is a " + kind + ", not what was seen", Hint: "write what was seen in a file of its own: seen: 1"}}
		}
	}
	sum := sha256.Sum256(data)
	src.memory = newMemory()
	d := newDecoderOf(seenFields(), src, "")
	d.block(&value{field: d.catalogue.root, line: tree.line, node: tree})
	seen := &Seen{File: src.file, Example: src.example, SHA256: hex.EncodeToString(sum[:])}
	if tree.kind == mappingNode {
		b := &seenBinder{&binder{decoder: d, src: src, s: &Scenario{}}, seen}
		b.bind()
		seen.Rules = b.s.Rules
	}
	if len(d.problems) > 0 {
		return nil, d.problems.sorted()
	}
	sort.SliceStable(d.warnings, func(i, j int) bool { return d.warnings[i].Line < d.warnings[j].Line })
	seen.Warnings = d.warnings
	return seen, nil
}
