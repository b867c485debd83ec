package main

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writing are the commands that write, with the file that each would write.
var writing = []struct {
	file  string
	args  string
	force bool // quick enough to be executed to its end
}{
	{"mine.txt", "run -o mine.txt", false}, {"mine.html", "run --report mine.html", false}, {"mine.html", "run --card mine.html", false},
	{"mine.json", "run --realizations 2000 --shard 1/2 -o mine.json", false},
	{"mine.part", "run --realizations 2000 --checkpoint mine.part", false}, {"mine.part", "size --checkpoint mine.part", false},
	{"mine.part", "vary --input drain.fall=1cm..2cm --checkpoint mine.part", false},
	{"mine.csv", "size -o mine.csv", false}, {"mine.html", "size --report mine.html", false},
	{"mine.csv", "compare -o mine.csv", false}, {"mine.html", "compare --report mine.html", false},
	{"mine.csv", "vary --input drain.fall=1cm..2cm -o mine.csv", false}, {"mine.svg", "vary --input drain.fall=1cm..2cm --plot mine.svg", false},
	{"mine.csv", "replay --realization 1 -o mine.csv", true}, {"mine.png", "replay --realization 1 --plot mine.png", true},
	{"mine.json", "validate -o mine.json", true}, {"mine.md", "drain-check -o mine.md", true},
	{"mine.txt", "lap -o mine.txt", true}, {"mine.svg", "lap --plot mine.svg", true},
	{"mine.txt", "measure -o mine.txt", false},
	{"mine.csv", "sensitivity -o mine.csv", false}, {"mine.svg", "sensitivity --plot mine.svg", false}, {"mine.html", "sensitivity --report mine.html", false},
	{"mine.txt", "choose -o mine.txt", false}, {"mine.html", "choose --report mine.html", false},
	{"mine.txt", "learn -o mine.txt", false}, {"mine.svg", "learn --plot mine.svg", false}, {"mine.html", "learn --report mine.html", false},
	{"mine.yaml", "learn --write mine.yaml", false}, {"mine-draws.csv", "learn --write mine.yaml", false},
	{"mine.txt", "diagnose -o mine.txt", false}, {"mine.html", "diagnose --report mine.html", false},
	{"mine.txt", "ask --no-questions -o mine.txt", false}, {"mine.html", "ask --no-questions --report mine.html", false}, {"mine.yaml", "ask --no-questions --to mine.yaml", false},
	{"mine.yaml", "new mine.yaml", true}, {"mine.yaml", "new --shelf mine.yaml", true}, {"mine.yaml", "new --from lost-circuit mine.yaml", true},
	{"larkmoor-laps.csv", "new --from sealed-can other.yaml", true},
	{"mine.txt", "logbook list --book book.csv -o mine.txt", true}, {"mine.txt", "logbook pool --book book.csv -o mine.txt", true},
	{"mine.txt", "logbook score --book book.csv -o mine.txt", true}, {"mine.svg", "logbook score --book book.csv --plot mine.svg", true},
	{"mine.yaml", "logbook seen --book book.csv --car 42 -o mine.yaml", true},
	{"mine.txt", "merge part.json -o mine.txt", false},
}

// TestNothingIsOverwrittenWithoutForce gives every command that writes a file that is
// there, a folder, and a link that leads nowhere, ahead of --force.
func TestNothingIsOverwrittenWithoutForce(t *testing.T) {
	for _, w := range writing {
		t.Run(w.args+" "+w.file, func(t *testing.T) {
			t.Chdir(t.TempDir())
			written := map[string]string{w.file: "mine", "book.csv": "date,car,session [min],drained [mL],forecast overflow [%],overflowed\n2026-05-09,42,25,60,5,no\n"}
			if strings.HasPrefix(w.args, "merge") {
				written["part.json"] = aPart(t)
			}
			for name, text := range written {
				require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
			}
			before := names(t)
			args := strings.Fields(w.args)
			_, said, code := executed(t, args...)
			assert.NotZero(t, code)
			assert.Contains(t, said, w.file+" exists already", said)
			assert.Equal(t, before, names(t), "nothing beside")
			assert.Equal(t, "mine", read(t, w.file))

			if w.force {
				_, said, code = executed(t, append(args, "--force")...)
				require.Zero(t, code, said)
				assert.NotEqual(t, "mine", read(t, w.file))
				assert.False(t, slices.ContainsFunc(names(t), func(n string) bool { return strings.HasSuffix(n, ".part") }))
			}

			require.NoError(t, os.Remove(w.file))
			require.NoError(t, os.Mkdir(w.file, 0o700))
			_, said, code = executed(t, append(args, "--force")...)
			assert.NotZero(t, code)
			assert.Contains(t, said, "ordinary", said)
		})
	}
}

// TestWhatIsNoOrdinaryFileIsNotWrittenTo gives links and devices.
func TestWhatIsNoOrdinaryFileIsNotWrittenTo(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.Symlink("nowhere.txt", "dangling.txt"))
	_, _, code := executed(t, "lap", "-o", "dangling.txt")
	assert.NotZero(t, code, "a link that leads nowhere is there, too")
	assert.Equal(t, []string{"dangling.txt"}, names(t))
	for _, args := range [][]string{{"lap", "-o", "absent/x.txt"}, {"lap", "-o", "/dev/null", "--format", "csv", "--force"}, {"new", "/dev/null", "--force"}, {"logbook", "add", "--book", "/dev/null", "--car", "1"}, {"logbook", "add", "--book", ".", "--car", "1"}} {
		_, said, code := executed(t, args...)
		assert.NotZero(t, code, args)
		assert.NotEmpty(t, said)
	}
	assert.Equal(t, []string{"dangling.txt"}, names(t))
}

// TestLearnLeavesALogAlone writes a scenario where another log has the name of its own.
func TestLearnLeavesALogAlone(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("larkmoor-laps.csv", []byte("mine"), 0o600))
	require.NoError(t, os.WriteFile("seen.yaml", []byte("seen: 1\nobservations:\n  - {overflowed: no, after: 15 min}\n"), 0o600))
	args := []string{"learn", "sealed-can", "seen.yaml", "--realizations", "100", "--workers", "1", "--write", "now.yaml"}
	_, said, code := executed(t, args...)
	assert.NotZero(t, code)
	assert.Contains(t, said, "larkmoor-laps.csv exists already")
	assert.Equal(t, "mine", read(t, "larkmoor-laps.csv"))
	assert.Equal(t, []string{"larkmoor-laps.csv", "seen.yaml"}, names(t))
	_, said, code = executed(t, append(args, "--force")...)
	require.Zero(t, code, said)
	assert.NotEqual(t, "mine", read(t, "larkmoor-laps.csv"))
}

// names lists a folder.
func names(t *testing.T) (list []string) {
	t.Helper()
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return list
}

// aPart is a partial result that is whole.
func aPart(t *testing.T) string {
	t.Helper()
	out, said, code := executed(t, "run", "--sessions", "1s", "--realizations", "1", "--shard", "1/1")
	require.Zero(t, code, said)
	return out
}
