package kept

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"sumpward/sim"
	"sumpward/sim/decide"
)

// Kind is what a file is for; its text stands in the file.
type Kind string

// The kinds.
const (
	Part       Kind = "sumpward/part"       // a partial result
	Checkpoint Kind = "sumpward/checkpoint" // work that is not finished
)

// Name returns what a file of the kind is called in a message.
func (k Kind) Name() string {
	if k == Checkpoint {
		return "checkpoint"
	}
	return "partial result"
}

// Version is the version of the format that is written, and the only one that is read.
const Version = 1

// Limits of a file.
const (
	largestFile = 256 << 20 // bytes
	largestWork = 1 << 30   // bytes of the work before it was compressed
	mostText    = 1 << 16   // bytes of one argument
	mostTexts   = 100       // arguments
)

// File is a partial result or a checkpoint.
type File struct {
	Kind Kind
	Content
	Work *sim.Work
}

// Content says what a file is of.
type Content struct {
	Program      string        `json:"program"`   // that simulated it
	Command      string        `json:"command"`   // run, size, vary
	Arguments    []string      `json:"arguments"` // of the command line, those that a result depends on
	Scenario     Scenario      `json:"scenario"`
	Seed         uint64        `json:"seed"`
	Sampling     string        `json:"sampling"`
	Shard        *Shard        `json:"shard,omitempty"`        // of a partial result
	Realizations *Realizations `json:"realizations,omitempty"` // of a partial result
}

// Scenario is the scenario that was simulated.
type Scenario struct {
	Title       string `json:"title"`
	Name        string `json:"name"`        // on the command line; empty: the ready-made one that stands for none
	SHA256      string `json:"sha256"`      // of the file's bytes
	Fingerprint string `json:"fingerprint"` // of all that is taken from it
}

// Shard is one of several shards, numbered from 1.
type Shard struct {
	Number int `json:"number"`
	Of     int `json:"of"`
}

// Realizations are those of a shard: of all, the ones from the first up to the second, not
// included, points of a variation one after another.
type Realizations struct {
	From int `json:"from"`
	To   int `json:"to"`
	All  int `json:"all"`
}

type document struct {
	Format  Kind            `json:"format"`
	Version int             `json:"version"`
	SHA256  string          `json:"sha256"`
	Content json.RawMessage `json:"content"`
}

type contentWithWork struct {
	Content
	Work []byte `json:"work"`
}

// Bytes returns the file as it is written. The same work gives the same bytes.
// What could not be read again is an error.
func (f *File) Bytes() ([]byte, error) {
	work, err := json.Marshal(f.Work)
	if err != nil {
		return nil, err
	}
	if len(work) > largestWork {
		return nil, f.tooLarge(len(work), largestWork)
	}
	var packed bytes.Buffer
	zip, _ := gzip.NewWriterLevel(&packed, gzip.BestSpeed)
	if _, err := zip.Write(work); err != nil {
		return nil, err
	}
	if err := zip.Close(); err != nil {
		return nil, err
	}
	content, err := json.Marshal(contentWithWork{f.Content, packed.Bytes()})
	if err != nil {
		return nil, err
	}
	out, err := json.Marshal(document{f.Kind, Version, hashOf(content), content})
	if err != nil {
		return nil, err
	}
	if len(out) >= largestFile {
		return nil, f.tooLarge(len(out), largestFile)
	}
	return append(out, '\n'), nil
}

func (f *File) tooLarge(bytes, most int) error {
	return fmt.Errorf("the %s would be too large to be read again (%d MB, at most %d): cut the work into more shards, or into fewer points", f.Kind.Name(), bytes>>20, most>>20)
}

func hashOf(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}

// Open reads the file of a path, which has to be of a kind.
func Open(path string, kind Kind) (*File, error) {
	notOrdinary := fmt.Errorf("open %s: not an ordinary file", path)
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return nil, notOrdinary // opening a pipe would wait for its other end
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, notOrdinary
	}
	read, err := Read(f, kind)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return read, nil
}

// Read reads a file, which has to be of a kind. The error says whether it is of another
// kind or version, or damaged.
func Read(r io.Reader, kind Kind) (*File, error) { return readUpTo(largestFile, r, kind) }

func readUpTo(most int, r io.Reader, kind Kind) (*File, error) {
	data, err := io.ReadAll(io.LimitReader(r, int64(most)+1))
	switch {
	case err != nil:
		return nil, err
	case len(data) > most:
		return nil, fmt.Errorf("larger than %d MB: no %s", most>>20, kind.Name())
	}
	var d document
	if err := json.Unmarshal(data, &d); err != nil {
		return nil, damaged(fmt.Sprintf("not one whole JSON document: %v", err))
	}
	switch {
	case d.Format != kind && (d.Format == Part || d.Format == Checkpoint):
		return nil, fmt.Errorf("a %s, where a %s is wanted", d.Format.Name(), kind.Name())
	case d.Format != kind:
		return nil, fmt.Errorf("not a %s (its format is %.40q)", kind.Name(), d.Format)
	case d.Version != Version:
		return nil, fmt.Errorf("a %s of format version %d: this program reads version %d", kind.Name(), d.Version, Version)
	case d.SHA256 != hashOf(d.Content):
		return nil, damaged("its content is not what was written")
	}
	var content contentWithWork
	if err := json.Unmarshal(d.Content, &content); err != nil {
		return nil, damaged(err.Error())
	}
	f := &File{Kind: kind, Content: content.Content, Work: &sim.Work{}}
	if err := f.Content.check(kind); err != nil {
		return nil, damaged(err.Error())
	}
	if err := unpack(content.Work, f.Work); err != nil {
		return nil, damaged(err.Error())
	}
	return f, nil
}

// DamagedError is a file that is not as it was written.
type DamagedError struct{ What string }

// Error returns what is wrong.
func (e *DamagedError) Error() string { return "damaged: " + e.What }

func damaged(what string) error { return &DamagedError{what} }

func unpack(packed []byte, w *sim.Work) error {
	zip, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return err
	}
	limited := &io.LimitedReader{R: zip, N: largestWork + 1}
	err = w.Read(limited)
	if limited.N <= 0 {
		return fmt.Errorf("more than %d MB of work", largestWork>>20)
	}
	return err
}

// check returns what can't be in a content.
func (c *Content) check(kind Kind) error {
	if kind == Part && (c.Shard == nil || c.Realizations == nil) {
		return errors.New("it does not say which shard it is")
	}
	if c.Shard != nil {
		if _, err := decide.NewShard(c.Shard.Number, c.Shard.Of); err != nil {
			return err
		}
	}
	if r := c.Realizations; r != nil && !(0 <= r.From && r.From <= r.To && r.To <= r.All) {
		return fmt.Errorf("realizations %d to %d of %d", r.From, r.To, r.All)
	}
	if len(c.Arguments) > mostTexts {
		return fmt.Errorf("%d arguments (allowed up to %d)", len(c.Arguments), mostTexts)
	}
	for _, text := range append([]string{c.Program, c.Command, c.Sampling, c.Scenario.Title, c.Scenario.Name, c.Scenario.SHA256, c.Scenario.Fingerprint}, c.Arguments...) {
		if len(text) > mostText {
			return fmt.Errorf("a text of %d bytes (allowed up to %d)", len(text), mostText)
		}
	}
	return nil
}
