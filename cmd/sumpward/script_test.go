package main

import (
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"sumpward": main})
}

// TestScripts runs the transcripts in testdata/script. Beside the usual
// commands they have
//
//	exits CODE sumpward ARGS...       the exact exit code
//	json PATH LOW HIGH FILE           a number of a JSON file, within bounds
//	narrow FILE...                    no line wider than 80 characters
//
// With -short only those that look at workers, formats and files run.
func TestScripts(t *testing.T) {
	dir := "testdata/script"
	var files []string
	if testing.Short() {
		dir, files = "", []string{"testdata/script/repeat.txtar", "testdata/script/formats.txtar", "testdata/script/output.txtar"}
	}
	testscript.Run(t, testscript.Params{
		Dir: dir, Files: files,
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits": exits, "json": jsonBetween, "narrow": narrow,
		},
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, not %d", got, want)
	}
}

func jsonBetween(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 4 {
		ts.Fatalf("usage: json PATH LOW HIGH FILE")
	}
	var v any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[3])), &v))
	for part := range strings.SplitSeq(args[0], ".") {
		switch at := v.(type) {
		case map[string]any:
			v = at[part]
		case []any:
			i, err := strconv.Atoi(part)
			if err != nil || i >= len(at) {
				ts.Fatalf("no element %s of %s", part, args[0])
			}
			v = at[i]
		}
	}
	number, ok := v.(float64)
	if !ok {
		ts.Fatalf("%s is no number: %v", args[0], v)
	}
	low, err := strconv.ParseFloat(args[1], 64)
	ts.Check(err)
	high, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	if within := number >= low && number <= high; within == neg {
		ts.Fatalf("%s is %g, bounds %g to %g", args[0], number, low, high)
	}
}

func narrow(ts *testscript.TestScript, neg bool, args []string) {
	for _, name := range args {
		for line := range strings.Lines(ts.ReadFile(name)) {
			if len([]rune(strings.TrimSuffix(line, "\n"))) > 80 != neg {
				ts.Fatalf("wider than 80: %s", line)
			}
		}
	}
}

func TestEmptyCorpusFails(t *testing.T) {
	entries, err := os.ReadDir("testdata/script")
	if err != nil || len(entries) < 10 {
		t.Fatalf("transcripts are missing: %d, %v", len(entries), err)
	}
}
