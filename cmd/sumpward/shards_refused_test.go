package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim/kept"
)

// refused executes a command line that has to fail without a result, with a code and a
// message that holds all texts; an underscore stands for a space within an argument.
func refused(t *testing.T, code int, line string, texts ...string) {
	t.Helper()
	args := strings.Fields(line)
	for i := range args {
		args[i] = strings.ReplaceAll(args[i], "_", " ")
	}
	out, said, got := executed(t, args...)
	assert.Equal(t, code, got, "%s: %s", line, said)
	assert.Empty(t, out, line)
	for _, text := range texts {
		assert.Contains(t, said, text, line)
	}
}

// threeParts writes a run in three parts, p1.json to p3.json.
func threeParts(t *testing.T, scenario string) (whole string) {
	t.Helper()
	line := strings.Fields("run " + scenario + " --quick --sessions 1min --realizations 1200")
	for _, k := range []string{"1", "2", "3"} {
		_, said, code := executed(t, append(line, "--shard", k+"/3", "-o", "p"+k+".json")...)
		require.Zero(t, code, said)
	}
	whole, _, code := executed(t, line...)
	require.Zero(t, code)
	return whole
}

// writeCar writes a car with its log into a folder, with something at the log's end.
func writeCar(t *testing.T, folder, more string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(folder, 0o700))
	log, err := os.ReadFile(filepath.Join(exampleFolder, "larkmoor-laps.csv"))
	require.NoError(t, err)
	for name, text := range map[string]string{"car.yaml": string(scenarios.ReadySource("sealed-can")), "larkmoor-laps.csv": string(log) + more} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
}

// exampleFolder holds what ready-made scenarios name.
var exampleFolder, _ = filepath.Abs("../../scenarios/ready")

// TestMergeRefuses: what can't be put together is told by name, and how to mend it.
func TestMergeRefuses(t *testing.T) {
	t.Chdir(t.TempDir())
	whole := threeParts(t, "sealed-drain")
	require.NoError(t, os.WriteFile("car.yaml", scenarios.ReadySource("sealed-drain"), 0o600))
	const all = "merge p3.json p1.json p2.json"
	out, said, code := executed(t, strings.Fields(all)...)
	require.Zero(t, code, said)
	require.Equal(t, whole, out)

	refused(t, exitCommandLine, "merge", "name the partial results: sumpward merge part-*.json")
	refused(t, exitFailed, "merge p1.json p3.json", "1 of 3 shards is missing: 2: simulate it, or let it be missing with --allow-missing")
	refused(t, exitFailed, "merge p1.json", "2 of 3 shards are missing: 2 to 3: simulate them, or let them be missing with --allow-missing")
	refused(t, exitFailed, all+" p2.json", "p2.json and p2.json are the same: shard 2 of 3 stands twice: name one of them")
	refused(t, exitFailed, "merge p1.json none.json p3.json", "open none.json: no such file")
	refused(t, exitFailed, "merge p1.json . p3.json", "p1.json and p1.json are the same")
	require.NoError(t, os.Mkdir("folder", 0o700))
	refused(t, exitFailed, "merge folder", "folder: a folder without partial results: they end in .json")
	for _, name := range []string{"p1.json", "p2.json", "p3.json", "p2.checkpoint"} {
		require.NoError(t, os.WriteFile("folder/"+name, []byte(read(t, strings.Replace(name, "checkpoint", "json", 1))), 0o600))
	}
	out, said, code = executed(t, "merge", "folder")
	require.Zero(t, code, said)
	require.Equal(t, whole, out)
	refused(t, exitFailed, "merge p1.json car.yaml", "car.yaml: damaged")

	part := read(t, "p2.json")
	for text, want := range map[string]string{
		part[:len(part)-20]: "damaged: not one whole JSON document",
		strings.Replace(part, `"seed":1`, `"seed":2`, 1):                                                       "damaged: its content is not what was written: copy it anew, or simulate that shard again",
		rewritten(t, part, func(f *kept.File) { f.Program = "sumpward of tomorrow" }):                          "not of the same work: program",
		rewritten(t, part, func(f *kept.File) { f.Command = "size" }):                                          "not of the same work: command run, command size",
		rewritten(t, part, func(f *kept.File) { f.Command, f.Realizations.All, f.Shard.Of = "vary", 9000, 9 }): "not of the same work: command run, command vary",
		rewritten(t, part, func(f *kept.File) { f.Sampling = "latin-hypercube" }):                              "not of the same work: sampling sobol, sampling latin-hypercube",
		rewritten(t, part, func(f *kept.File) { f.Scenario.Fingerprint = "other" }):                            "not of the same work: scenario",
		rewritten(t, part, func(f *kept.File) { f.Shard.Number = 3 }):                                          "are the same: shard 3 of 3 stands twice",
	} {
		require.NoError(t, os.WriteFile("wrong.json", []byte(text), 0o600))
		refused(t, exitFailed, "merge p1.json wrong.json p3.json", want, "wrong.json")
	}
	require.NoError(t, os.WriteFile("wrong.json", []byte(rewritten(t, part, func(f *kept.File) { f.Shard.Number = 1 })), 0o600))
	refused(t, exitFailed, "merge p2.json wrong.json p3.json", "p2.json does not go with the others: the same realizations stand in both")

	require.NoError(t, os.WriteFile("there.json", nil, 0o666))
	refused(t, exitFailed, all+" -o there.json", "there.json exists already: name another file, or replace it with --force")
	refused(t, exitCommandLine, all+" -o p1.json --force", "--output p1.json: the command reads that file: name another to write to")
	refused(t, exitCommandLine, all+" --plot x.svg", "--plot: run, which these parts are of, has no such flag")
	refused(t, exitRequirement, all+" --require overflow_<_0.0001_%_at_1_min -o required.txt")
	assert.NotEmpty(t, read(t, "required.txt"))
}

// TestMergeByAnotherProgram: all parts are of a program that is not this one.
func TestMergeByAnotherProgram(t *testing.T) {
	t.Chdir(t.TempDir())
	threeParts(t, "sealed-drain")
	for _, name := range []string{"p1.json", "p2.json", "p3.json"} {
		text := rewritten(t, read(t, name), func(f *kept.File) { f.Program, f.Scenario.Fingerprint = "sumpward of tomorrow", "x" })
		require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
	}
	refused(t, exitFailed, "merge p1.json p2.json p3.json", "simulated by another program (sumpward of tomorrow; this is "+version(), "merge them with that one")
}

// TestMergeByAnotherDefault: all parts are of the design that was the default once.
func TestMergeByAnotherDefault(t *testing.T) {
	t.Chdir(t.TempDir())
	threeParts(t, "sealed-drain")
	for _, name := range []string{"p1.json", "p2.json", "p3.json"} {
		text := rewritten(t, read(t, name), func(f *kept.File) { f.Sampling = "latin-hypercube" })
		require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
	}
	refused(t, exitFailed, "merge p1.json p2.json p3.json", "the partial results are of sampling latin-hypercube, and their command is one of sampling sobol in this program", "merge them with the program that simulated them")
}

// TestMergeFindsTheScenario: it may be moved, and get a remark, but neither it nor its log
// may change.
func TestMergeFindsTheScenario(t *testing.T) {
	t.Chdir(t.TempDir())
	writeCar(t, ".", "")
	whole := threeParts(t, "car.yaml")
	const all = "merge p1.json p2.json p3.json"
	const changed = "the scenario is not that of the partial results"
	writeCar(t, ".", "\n")
	refused(t, exitFailed, all, changed, "Larkmoor", "name it with --scenario FILE")
	writeCar(t, "moved", "")
	require.NoError(t, os.Remove("car.yaml"))
	refused(t, exitScenario, all, "the scenario that the partial results name (car.yaml) is not there: say with --scenario FILE where it is now")
	out, said, code := executed(t, strings.Fields(all+" --scenario moved/car.yaml")...)
	assert.Zero(t, code, said)
	assert.Equal(t, whole, out)

	text := read(t, "moved/car.yaml")
	require.NoError(t, os.WriteFile("moved/car.yaml", []byte("# a remark\n"+text), 0o600))
	out, said, code = executed(t, strings.Fields(all+" --scenario moved/car.yaml")...)
	assert.Zero(t, code, said)
	assert.Equal(t, whole, out)
	require.NoError(t, os.WriteFile("moved/car.yaml", []byte(strings.Replace(text, "usable_volume: ", "usable_volume: 1", 1)), 0o600))
	refused(t, exitFailed, all+" --scenario moved/car.yaml", changed)
	refused(t, exitScenario, all+" --scenario none.yaml", "none.yaml")
	refused(t, exitFailed, all+" --scenario sealed-drain", changed)
}

// TestMergeLetsPartsBeMissing: run and vary say what is missing, size simulates it.
func TestMergeLetsPartsBeMissing(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, one := range []struct{ line, want string }{
		{"run --quick --sessions 1min --realizations 1700", "realizations 500 to 999 are missing"},
		{"vary --sessions 1min --realizations 600 --input drain.fall=50mm,60mm", "realizations 500 to 599 are missing"},
		{"size --sessions 1min --realizations 100 --falls 60mm,90mm --bores 12mm --volumes 0.3L,0.5L", ""},
	} {
		line := onCar(t, one.line)
		parts := shardsOf(t, append(line, "--force"), 3)
		refused(t, exitFailed, "merge "+parts[0]+" "+parts[2], "1 of 3 shards is missing: 2")
		out, said, code := executed(t, "merge", parts[0], parts[2], "--allow-missing", "--format", "json")
		require.Zero(t, code, said)
		assert.Contains(t, said, "1 of 3 shards is missing: 2", line[0])
		whole, _, _ := executed(t, append(slices.Clone(line), "--format", "json")...)
		if one.want == "" {
			assert.Equal(t, whole, out, "size simulates what is missing")
			continue
		}
		assert.NotEqual(t, whole, out)
		assert.Contains(t, said+out, one.want, line[0])
		complete, said, code := executed(t, append([]string{"merge", "--allow-missing", "--format", "json"}, parts...)...)
		require.Zero(t, code, said)
		assert.Equal(t, whole, complete, "nothing is missing")
	}
}

// TestPageOfShards: a page of merged shards is that of one run.
func TestPageOfShards(t *testing.T) {
	t.Chdir(t.TempDir())
	line := onCar(t, "run --quick --sessions 1min --realizations 100")
	parts := shardsOf(t, line, 3)
	whole, said, code := executed(t, append(line, "--report", "whole.html", "--require", "overflow < 99 % at 1 min")...)
	require.Zero(t, code, said)
	merged, said, code := executed(t, append([]string{"merge", "--report", "merged.html", "--require", "overflow < 99 % at 1 min"}, parts...)...)
	require.Zero(t, code, said)
	assert.Equal(t, whole, merged)
	assert.Equal(t, read(t, "whole.html"), read(t, "merged.html"))
}

// TestShardFlags: what doesn't go with a shard, or can't be one, is a wrong command line.
func TestShardFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	for line, want := range map[string]string{
		"run --shard 1/3 --format json":                             "--format: a shard is no result yet: give it to merge",
		"run --shard 1/3 --report x.html":                           "--report: a shard is no result yet",
		"run --shard 1/3 --card x.html":                             "--card: a shard is no result yet",
		"run --shard 1/3 --require overflow_<_1_%_at_25_min":        "--require: a shard is no result yet",
		"vary --input drain.fall=1cm..2cm --shard 1/3 --plot x.svg": "--plot: a shard is no result yet",
		"run --shard 4/3":                                           "--shard 4/3: shards are numbered 1 to 3 (got 4)",
		"size --shard 0/3":                                          "--shard 0/3: shards are numbered 1 to 3 (got 0)",
		"run --shard 1/1000000":                                     "1 to 100000 shards are possible",
		"run --shard 1/3 --realizations 1200 -o p.csv":              "--output p.csv: a part of a run is JSON, and merge finds it in a folder by that ending: name it p.json",
		"run --shard 1/3 --realizations 1200 -o p":                  "name it p.json",
		"run --shard 3":                                             "write K/N, for instance 1/16",
		"run --shard a/b":                                           "write K/N, for instance 1/16",
		"run --shard 1/3":                                           "--shard: the shards of a run that ends by itself are not known beforehand: give --realizations N",
		"run --shard 1/3 --sampling-error 1%":                       "give --realizations N",
		"run --resume":                                              "--resume goes with --checkpoint FILE",
		"run -o x.txt --checkpoint ./x.txt":                         "--output and --checkpoint name the same file: give two",
		"run --report x.html --checkpoint x.html":                   "--report and --checkpoint name the same file: give two",
	} {
		refused(t, exitCommandLine, line, want)
	}
	assert.Empty(t, names(t), "nothing is left")
}

// rewritten is a partial result with something else in it, and a right checksum.
func rewritten(t *testing.T, text string, change func(*kept.File)) string {
	t.Helper()
	f, err := kept.Read(strings.NewReader(text), kept.Part)
	require.NoError(t, err)
	change(f)
	data, err := f.Bytes()
	require.NoError(t, err)
	return string(data)
}
