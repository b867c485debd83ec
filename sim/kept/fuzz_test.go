package kept

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"

	"sumpward/scenarios"
	"sumpward/sim"
)

// The keys of the small work stand for themselves in what is fuzzed, so that a change of
// the scenario doesn't leave the corpora behind.
const (
	runPlace   = "RUN"
	firstPlace = "FIRST"
)

// small is a model that takes a millisecond, and what is kept of it.
type small struct {
	model      *sim.Model
	options    sim.Options
	run, first string // keys
	work       []byte // as JSON, keys replaced
}

func smallWork(t testing.TB, realizations int) *small {
	s, err := scenarios.Ready("sealed-drain")
	must(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: "[30 s]"})
	must(t, err)
	w := &sim.Work{}
	k := &small{options: sim.Options{Realizations: realizations, Workers: 1, Keep: 3}}
	k.model, err = sim.NewModel(s)
	must(t, err)
	o := k.options
	o.Work = w
	_, err = k.model.Run(context.Background(), o)
	must(t, err)
	_, err = k.model.First(context.Background(), o, sim.Overflow, func(i int) bool { return i%2 == 0 }, make([]float64, 5))
	must(t, err)
	text, err := json.Marshal(w)
	must(t, err)
	var keys struct{ Runs, Firsts map[string]json.RawMessage }
	must(t, json.Unmarshal(text, &keys))
	for key := range keys.Runs {
		k.run = key
	}
	for key := range keys.Firsts {
		k.first = key
	}
	k.work = bytes.ReplaceAll(bytes.ReplaceAll(text, []byte(k.first), []byte(firstPlace)), []byte(k.run), []byte(runPlace))
	return k
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// file is a file with a right checksum whose work is what is given.
func (k *small) file(t testing.TB, kind Kind, work []byte) []byte {
	work = bytes.ReplaceAll(bytes.ReplaceAll(work, []byte(firstPlace), []byte(k.first)), []byte(runPlace), []byte(k.run))
	content := contentWithWork{Content: Content{
		Program: "x", Command: "run", Shard: &Shard{1, 2}, Realizations: &Realizations{0, k.options.Realizations, k.options.Realizations},
	}, Work: packed(t, work)}
	text, err := json.Marshal(content)
	must(t, err)
	return summed(kind, text)
}

// packed compresses work as a file holds it.
func packed(t testing.TB, work []byte) []byte {
	var b bytes.Buffer
	zip := gzip.NewWriter(&b)
	_, err := zip.Write(work)
	must(t, err)
	must(t, zip.Close())
	return b.Bytes()
}

// summed is a file with a content, whatever that is, and the checksum of it.
func summed(kind Kind, content []byte) []byte {
	content = bytes.TrimSpace(content)
	return []byte(`{"format":"` + string(kind) + `","version":1,"sha256":"` + hashOf(content) + `","content":` + string(content) + `}`)
}

// seeds are works to begin with, and a file of each.
func (k *small) seeds(f *testing.F, kind Kind) {
	whole := string(k.work)
	for _, work := range []string{
		whole, `{"runs":{},"firsts":{}}`, `{"runs":null,"firsts":null}`, `null`, `[]`, `{"runs":{"RUN":[]}}`,
		`{"runs":{"RUN":[{"from":0,"to":1,"tally":null}]}}`, `{"runs":{"RUN":[{"from":0,"to":1,"tally":{"n":20}}]}}`,
		`{"runs":{"RUN":[{"from":0,"to":1,"tally":{"n":20,"sessions":[{"fill":null}],"pressure":{"positive":[-15000,1,140000,1],"low":0,"high":1}}}]}}`,
		`{"firsts":{"FIRST":{"n":5,"simulated":"Hw==","times":""}}}`, `{"firsts":{"FIRST":{"n":9223372036854775807}}}`, `{"firsts":{"FIRST":{"n":1000000000,"simulated":"","times":""}}}`,
		strings.Replace(whole, `"from":0,"to":1`, `"from":1,"to":2`, 1), strings.Replace(whole, `"n":20`, `"n":-1`, 1),
		strings.Replace(whole, `"keep":3`, `"keep":2147483647`, 1), strings.Replace(whole, `"invalid"`, `"1"`, -1),
	} {
		file := k.file(f, kind, []byte(work))
		var d document
		must(f, json.Unmarshal(file, &d))
		f.Add(file, []byte(d.Content), []byte(work))
	}
	f.Add([]byte(`{"format":"sumpward/part","version":2}`), []byte(`{"shard":{"number":0,"of":0}}`), []byte(`{}{}`))
	f.Add([]byte("\xff\xfe"), []byte(`{"work":"H4sIAAAAAAAA/w=="}`), []byte("\x00"))
}

// mostAllocated is how much may be allocated for one small file and what is done with it.
const mostAllocated = 1 << 30

func allocated(t *testing.T, done func()) {
	if used := allocating(done); used > mostAllocated {
		t.Fatalf("%d MB for one file", used>>20)
	}
}

// allocating returns how many bytes were allocated meanwhile.
func allocating(done func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	done()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// FuzzPart: whatever a partial result holds, also behind a right checksum and under the
// right key, it is an error or a result that can be.
func FuzzPart(f *testing.F) {
	k := smallWork(f, 20)
	k.seeds(f, Part)
	f.Fuzz(func(t *testing.T, file, content, work []byte) {
		allocated(t, func() {
			for _, data := range [][]byte{file, summed(Part, content), k.file(t, Part, work)} {
				read, err := Read(bytes.NewReader(data), Part)
				if err != nil {
					continue
				}
				if _, err := Merge([]Named{{"a", read}, {"b", read}}); err == nil {
					t.Fatal("the same part twice")
				}
				merged, err := Merge([]Named{{"a", read}})
				must(t, err)
				o := k.options
				o.Work, o.Partial = merged.Work, true
				k.possible(t, o)
			}
		})
	})
}

// FuzzCheckpoint: whatever a checkpoint holds, it is an error, or can be gone on from.
func FuzzCheckpoint(f *testing.F) {
	k := smallWork(f, 20)
	k.seeds(f, Checkpoint)
	f.Fuzz(func(t *testing.T, file, content, work []byte) {
		allocated(t, func() {
			for _, data := range [][]byte{file, summed(Checkpoint, content), k.file(t, Checkpoint, work)} {
				read, err := Read(bytes.NewReader(data), Checkpoint)
				if err != nil {
					continue
				}
				Differ(read.Content, Content{})
				o := k.options
				o.Work = &sim.Work{}
				must(t, o.Work.Merge(read.Work))
				k.possible(t, o)
				first := make([]float64, 5)
				if _, err := k.model.First(context.Background(), o, sim.Overflow, nil, first); err != nil {
					t.Fatal(err)
				}
				for _, at := range first {
					if math.IsNaN(at) {
						t.Fatal("a first time that is not there")
					}
				}
				again := &File{Kind: Checkpoint, Content: read.Content, Work: o.Work}
				data, err := again.Bytes()
				must(t, err)
				if _, err := Read(bytes.NewReader(data), Checkpoint); err != nil {
					t.Fatalf("what was written can't be read: %v", err)
				}
			}
		})
	})
}

// possible runs the model on kept work: an error, or chances that can be.
func (k *small) possible(t *testing.T, o sim.Options) {
	res, err := k.model.Run(context.Background(), o)
	if err != nil {
		if err.Error() == "" {
			t.Fatal("an error without a word")
		}
		return
	}
	if res.Realizations < 1 || res.Realizations > k.options.Realizations || len(res.Sessions) != 1 {
		t.Fatalf("%d realizations, %d sessions", res.Realizations, len(res.Sessions))
	}
	for e := range sim.OverflowOrChoked + 1 {
		if c := res.Sessions[0].Estimate(e); !(0 <= c.Low && c.Low <= c.Probability && c.Probability <= c.High && c.High <= 1) {
			t.Fatalf("event %d: %v", e, c)
		}
	}
	_, _ = io.WriteString(io.Discard, strings.Join(res.Warnings, "\n"))
}
