package kept

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim"
)

// someFile is a partial result with all that one may hold.
func someFile(t *testing.T, kind Kind) *File {
	t.Helper()
	k := smallWork(t, 20)
	work := &sim.Work{}
	require.NoError(t, json.Unmarshal(bytes.ReplaceAll(k.work, []byte(runPlace), []byte(k.run)), work))
	return &File{Kind: kind, Work: work, Content: Content{
		Program: "sumpward 1", Command: "run", Arguments: []string{"--realizations=40", "--variant=a \"quoted\" <ä>"},
		Scenario: Scenario{Title: "Larkmoor, car 42", Name: "car.yaml", SHA256: "ab", Fingerprint: "cd"},
		Seed:     1<<64 - 1, Sampling: "latin-hypercube", Shard: &Shard{2, 3}, Realizations: &Realizations{10, 30, 40},
	}}
}

func bytesOf(t *testing.T, f *File) []byte {
	t.Helper()
	data, err := f.Bytes()
	require.NoError(t, err)
	return data
}

// What is written is read again whole, and written again the same.
func TestWrittenIsReadAgain(t *testing.T) {
	for _, kind := range []Kind{Part, Checkpoint} {
		f := someFile(t, kind)
		data := bytesOf(t, f)
		assert.Equal(t, data, bytesOf(t, f), "the same work gives the same bytes")
		read, err := Read(bytes.NewReader(data), kind)
		require.NoError(t, err)
		assert.Equal(t, f.Content, read.Content)
		assert.Equal(t, kind, read.Kind)
		assert.False(t, read.Work.Empty())
		assert.Equal(t, data, bytesOf(t, read))
		assert.Zero(t, read.Work.Simulated())
		assert.True(t, json.Valid(data))
		assert.Equal(t, byte('\n'), data[len(data)-1])
	}
}

// Any byte of a file that is another, and any end that is missing, is told: the content
// from its checksum, the rest from what it says.
func TestDamageIsTold(t *testing.T) {
	f := someFile(t, Part)
	data := bytesOf(t, f)
	_, err := Read(bytes.NewReader(data), Part)
	require.NoError(t, err)
	step := max(len(data)/500, 1)
	for i := 0; i < len(data)-1; i += step {
		_, err := Read(bytes.NewReader(data[:i]), Part)
		assert.ErrorAs(t, err, new(*DamagedError), "cut at %d", i)
		if i > 0 && i < 100 {
			continue // of what the file says of itself: below
		}
		damaged := bytes.Clone(data)
		damaged[i] ^= 1
		if bytes.EqualFold(damaged, data) {
			continue
		}
		_, err = Read(bytes.NewReader(damaged), Part)
		assert.ErrorAs(t, err, new(*DamagedError), "%q at %d", data[max(i-20, 0):i+1], i)
	}
	for i := range 100 { // each byte of the beginning: an error, if not that of damage
		damaged := bytes.Clone(data)
		damaged[i] ^= 1
		if _, err = Read(bytes.NewReader(damaged), Part); err == nil {
			assert.True(t, bytes.EqualFold(damaged, data), "%q", damaged[:i+1])
		}
	}
	_, err = Read(strings.NewReader(string(data)+"{}"), Part)
	assert.ErrorAs(t, err, new(*DamagedError))
}

// Each refusal says what was found, and what is wanted.
func TestRefusals(t *testing.T) {
	k := smallWork(t, 20)
	part := string(bytesOf(t, someFile(t, Part)))
	content := func(text string) string { return string(summed(Part, []byte(text))) }
	work := base64.StdEncoding.EncodeToString(packed(t, []byte(`{"runs":{},"firsts":{}}`)))
	shard := `"shard":{"number":1,"of":2},"realizations":{"from":0,"to":1,"all":2}`
	for text, want := range map[string]string{
		"":                    "damaged: not one whole JSON document",
		"title: a scenario\n": "damaged: not one whole JSON document",
		"{}":                  "not a partial result (its format is \"\")",
		`{"format":"x/y"}`:    "not a partial result (its format is \"x/y\")",
		`{"format":"` + strings.Repeat("x", 1000) + `"}`:       "not a partial result (its format is \"" + strings.Repeat("x", 40),
		string(bytesOf(t, someFile(t, Checkpoint))):            "a checkpoint, where a partial result is wanted",
		strings.Replace(part, `"version":1`, `"version":2`, 1): "a partial result of format version 2: this program reads version 1",
		content(`[]`):              "damaged: ",
		content(`{}`):              "it does not say which shard it is",
		content(`{` + shard + `}`): "damaged: EOF",
		content(`{` + shard + `,"work":"` + work + `"}`):                                                                            "",
		content(`{"shard":{"number":3,"of":2},"realizations":{},"work":"` + work + `"}`):                                            "shards are numbered 1 to 2 (got 3)",
		content(`{"shard":{"number":1,"of":1000000},"realizations":{},"work":"` + work + `"}`):                                      "1 to 100000 shards are possible",
		content(`{"shard":{"number":1,"of":2},"realizations":{"from":2,"to":1,"all":2},"work":"` + work + `"}`):                     "realizations 2 to 1 of 2",
		content(`{"shard":{"number":1,"of":2},"realizations":{"from":-1,"to":1,"all":2},"work":"` + work + `"}`):                    "realizations -1 to 1 of 2",
		content(`{"shard":{"number":1,"of":2},"realizations":{"from":0,"to":3,"all":2},"work":"` + work + `"}`):                     "realizations 0 to 3 of 2",
		content(`{` + shard + `,"arguments":["` + strings.Repeat(`","`, 100) + `"],"work":"` + work + `"}`):                         "101 arguments (allowed up to 100)",
		content(`{` + shard + `,"arguments":["` + strings.Repeat(`x`, 1<<16+1) + `"],"work":"` + work + `"}`):                       "a text of 65537 bytes (allowed up to 65536)",
		content(`{` + shard + `,"sampling":"` + strings.Repeat(`x`, 1<<16+1) + `","work":"` + work + `"}`):                          "a text of 65537 bytes (allowed up to 65536)",
		content(`{` + shard + `,"seed":-1,"work":"` + work + `"}`):                                                                  "damaged: ",
		content(`{` + shard + `,"work":"` + base64.StdEncoding.EncodeToString([]byte("not compressed")) + `"}`):                     "gzip: invalid header",
		string(k.file(t, Part, []byte(`{"runs":{"RUN":[{"from":2,"to":1}]}}`))):                                                     "blocks 2 to 1 of a run",
		string(k.file(t, Part, []byte(`{"runs":{"RUN":[{"from":0,"to":2},{"from":1,"to":3}]}}`))):                                   "blocks 1 to 3 of a run",
		string(k.file(t, Part, []byte(`{"runs":{"RUN":[`+strings.TrimSuffix(strings.Repeat(`{"from":0,"to":1},`, 17), ",")+`]}}`))): "blocks 0 to 1",
		string(k.file(t, Part, []byte(`{"other":{}}`))):                                                                             "work of a kind that is not known (\"other\")",
		string(k.file(t, Part, []byte(`{} {}`))):                                                                                    "something after the end",
		string(k.file(t, Part, []byte(`{"firsts":{"x":{"n":8,"simulated":"AA==","times":"AAAA"}}}`))):                               "3 bytes for the first times of 0 realizations",
		string(k.file(t, Part, []byte(`{"firsts":{"x":{"n":7,"simulated":"gA==","times":"AAAAAAAAAAA="}}}`))):                       "for the first times of 1 realizations",
		string(k.file(t, Part, []byte(`{"firsts":{"x":{"n":1000000000,"simulated":"","times":""}}}`))):                              "1000000000 realizations in 0 bytes of bits",
		string(k.file(t, Part, []byte(`{"firsts":{"x":{"n":1,"simulated":"AQ==","times":"AAAAAAAA+H8="}}}`))):                       "a first time that is not a number",
		string(k.file(t, Part, nil)): "EOF",
	} {
		_, err := Read(strings.NewReader(text), Part)
		if want == "" {
			assert.NoError(t, err)
			continue
		}
		if assert.Error(t, err, "%.200s", text) {
			assert.Contains(t, err.Error(), want, "%.200s", text)
		}
	}
}

// endless is a document that doesn't end.
type endless struct{ read int }

func (e *endless) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = ' '
	}
	e.read += len(b)
	return len(b), nil
}

// A file that is too large is read no further than that, and one that is compressed to
// little is not unpacked to much.
func TestSizeIsBounded(t *testing.T) {
	e := &endless{}
	_, err := readUpTo(5<<20, e, Part)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "larger than 5 MB: no partial result")
	assert.LessOrEqual(t, e.read, 5<<20+1)
	k := smallWork(t, 20)
	large := bytes.Repeat([]byte(" "), 40<<20)
	for _, one := range []struct{ head, want string }{
		{`{"runs":{"RUN":[{"from":0,"to":1,"kept":"`, "more than 32 MB in one piece"},
		{``, "more than 32 MB in one piece"},
	} {
		bomb := k.file(t, Part, append([]byte(one.head), large...))
		require.Less(t, len(bomb), 1<<20)
		used := allocating(func() { _, err = Read(bytes.NewReader(bomb), Part) })
		require.Error(t, err)
		assert.Contains(t, err.Error(), one.want, one.head)
		assert.Less(t, used, uint64(200<<20), one.head)
	}
}

// Only ordinary files are opened, and nothing waits for the other end of a pipe.
func TestOpen(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "part.json")
	require.NoError(t, os.WriteFile(path, bytesOf(t, someFile(t, Part)), 0o600))
	f, err := Open(path, Part)
	require.NoError(t, err)
	assert.Equal(t, 2, f.Shard.Number)
	_, err = Open(path, Checkpoint)
	assert.EqualError(t, err, path+": a partial result, where a checkpoint is wanted")
	_, err = Open(dir, Part)
	assert.EqualError(t, err, "open "+dir+": not an ordinary file")
	_, err = Open(filepath.Join(dir, "none"), Part)
	assert.ErrorIs(t, err, os.ErrNotExist)
	link := filepath.Join(dir, "link.json")
	require.NoError(t, os.Symlink(path, link))
	_, err = Open(link, Part)
	assert.NoError(t, err)
}
