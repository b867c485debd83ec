package scenarios

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"sort"
)

//go:embed ready/shelf/*.yaml
var readyShelf embed.FS

// ReadyShelfName is the name of the ready-made shelf, which goes with the
// scenario [DefaultReady].
const ReadyShelfName = "larkmoor-shelf"

// LoadShelf reads the shelf in a file. The error is [Problems] where the file
// could be read and is wrong.
func LoadShelf(path string) (*Shelf, error) {
	data, err := ReadFile("shelf", path)
	if err != nil {
		return nil, err
	}
	return ParseShelf(path, data)
}

// ParseShelf reads a shelf from the bytes of a file called name. The error is
// [Problems].
func ParseShelf(name string, data []byte) (*Shelf, error) {
	return parseShelf(&source{file: name}, data)
}

// ReadyShelf returns the ready-made shelf: an example, nobody's stock.
func ReadyShelf() (*Shelf, error) {
	return parseShelf(&source{example: ReadyShelfName}, ReadyShelfSource())
}

// ReadyShelfSource returns the file of the ready-made shelf.
func ReadyShelfSource() []byte {
	data, err := readyShelf.ReadFile("ready/shelf/" + ReadyShelfName + ".yaml")
	if err != nil {
		panic(err) // embedded: every test meets it
	}
	return data
}

func parseShelf(src *source, data []byte) (*Shelf, error) {
	tree, problems := documentOf("shelf", src.name(), data)
	if len(problems) > 0 {
		return nil, problems
	}
	if tree.get("shelf") == nil && tree.get("scenario") != nil {
		return nil, Problems{{File: src.name(), Line: tree.line, What: "this is a scenario, not a shelf", Hint: "the scenario comes first, then the shelf"}}
	}
	sum := sha256.Sum256(data)
	src.memory = newMemory()
	d := newDecoderOf(shelfFields(), src, "")
	d.block(&value{field: d.catalogue.root, line: tree.line, node: tree})
	sh := &Shelf{File: src.file, Example: src.example, SHA256: hex.EncodeToString(sum[:])}
	if tree.kind == mappingNode {
		(&shelfBinder{&binder{decoder: d, src: src, s: &Scenario{}}, sh}).bind()
	}
	if len(d.problems) > 0 {
		return nil, d.problems.sorted()
	}
	sort.SliceStable(d.warnings, func(i, j int) bool { return d.warnings[i].Line < d.warnings[j].Line })
	sh.Warnings = d.warnings
	return sh, nil
}
