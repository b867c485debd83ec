package scenarios_test

import (
	"flag"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/centreline"
	"sumpward/scenarios/datalog"
	"sumpward/scenarios/interview"
	"sumpward/scenarios/logbook"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// limit is what a file may hold. Read reads one that holds n of it; words are those of the
// refusal.
type limit struct {
	file, what string
	n          int
	unit       string
	words      string
	read       func(n int) error
	dear       bool // to read as much as may be: only one more is read
}

const (
	least = `scenario: 1
carry_over: {oil_used: 0.35 +- 0.1 L, during: 25 min}
separator: {usable_volume: 0.45 L, diameter: 75 mm}
drain: {return: above_oil, bore: 12.7 mm, fall: 120 mm}
`
	pattern = "duty: {pattern: {full_throttle: 50 %, burst: 7 s}}\n"
	draws   = "# sumpward draws, version 1\n"
)

// listed is n lines, made from their number from 1.
func listed(n int, line string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.ReplaceAll(line, "#", fmt.Sprint(i+1)) + "\n")
	}
	return b.String()
}

func parse(text string) error {
	_, err := scenarios.Parse("x.yaml", []byte(text), nil)
	return err
}

func parseDraws(text string) error {
	open := func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }
	_, err := scenarios.Parse("x.yaml", []byte(least+pattern+"learned: {draws: d.csv}\n"), open)
	return err
}

func parseShelf(text string) error {
	_, err := scenarios.ParseShelf("x.yaml", []byte(text))
	return err
}

func readLog(text string) error {
	l, err := datalog.Read(strings.NewReader(text), "x.csv", datalog.Spec{})
	if err == nil {
		_, _, err = l.Lap(datalog.Tolerance{})
	}
	return err
}

func readLine(text string) error {
	_, err := centreline.Read("x.csv", strings.NewReader(text), centreline.Spec{})
	return err
}

func readBook(text string) error {
	_, err := logbook.Read(strings.NewReader(text), "x.csv")
	return err
}

// limits are those of every file that is read, in the order of the table.
var limits = []limit{
	{"scenario, shelf, what was seen, faults", "size", 1 << 20, "bytes", "the file is too large", func(n int) error { return parse(least + pattern + strings.Repeat("#", n-len(least+pattern))) }, false},
	{"", "lines", 10_000, "", "too many lines", func(n int) error { return parse(least + pattern + strings.Repeat("\n", n-6)) }, false},
	{"", "marks: brackets, commas, colons, hyphens …", 100_000, "", "too many brackets", func(n int) error {
		text := least + pattern + "sessions: ["
		return parse(text + strings.Repeat(",", n-len(regexp.MustCompile("[][{},:?&*!|>'\"%@`-]").FindAllString(text, -1))))
	}, false},
	{"", "blocks and lists within one another", 12, "", "nested too deep", func(n int) error {
		return parse(least + pattern + "x: " + strings.Repeat("[", n) + strings.Repeat("]", n))
	}, false},
	{"", "characters of a key, or of a variant's name", 100, "", "a key is one line of at most", func(n int) error { return parse(least + pattern + strings.Repeat("k", n) + ": 1") }, false},
	{"", "bytes of a text", 500, "", "the text is too long", func(n int) error { return parse(least + pattern + "title: " + strings.Repeat("x", n)) }, false},
	{"", "bytes of a circuit's name", 40, "", "a name has at most", func(n int) error {
		return parse(least + pattern + "breathers: [{name: " + strings.Repeat("x", n) + ", to: separator, bore: 16 mm}]")
	}, false},
	{"", "bytes of a quantity", 200, "", "longer than 200 bytes", func(n int) error {
		_, err := units.Parse(strings.Repeat("1", n-3)+" mm", units.Length)
		return err
	}, false},
	{"", "bytes of a range, or of a spread", 600, "", "longer than 600 bytes", func(n int) error {
		_, err := uncertainty.Parse("1 .. 2"+strings.Repeat("0", n-9)+" mm", units.Length)
		return err
	}, false},
	{"", "bytes of a distribution in braces, in quotes", 256 << 10, "", "longer than 256 KiB", func(n int) error {
		_, err := uncertainty.Parse("{value: 1 mm"+strings.Repeat(" ", n-13)+"}", units.Length)
		return err
	}, false},
	{"scenario", "phases of a lap, entries of any list", 5000, "", "too many", func(n int) error { return parse(least + "duty:\n  lap:\n" + listed(n, "  - {for: 1 s, load: 100 %}")) }, false},
	{"", "session lengths", 50, "", "too many", func(n int) error {
		return parse(least + pattern + "sessions: [" + strings.TrimSuffix(strings.ReplaceAll(listed(n, "# min,"), "\n", " "), ", ") + "]")
	}, false},
	{"", "hours of a session, or of an event", 100, "", "outside what is possible", func(n int) error { return parse(least + pattern + fmt.Sprintf("sessions: [%d h]", n)) }, false},
	{"", "phases and stops of the longest session", 2_000_000, "", "too many phases in the longest session", func(n int) error {
		return parse(least + fmt.Sprintf("duty: {lap: [{for: 0.01 s, load: 100 %%}]}\nsessions: [%d s]", (n+99)/100))
	}, false},
	{"", "variants", 100, "", "too many", func(n int) error {
		return parse(least + pattern + "variants:\n" + listed(n, "  v#: {drain.fall: # mm}"))
	}, false},
	{"", "values of the file times variants", 500_000, "", "too many for a file of", func(n int) error {
		const variants = 100
		text := least + "variants:\n" + listed(variants, "  v#: {drain.fall: # mm}") + "duty:\n  lap:\n"
		phases := (n/variants - 2*variants - 22) / 3 // 22 beside those of the variants, and 3 a phase
		if n > 500_000 {
			phases++
		}
		return parse(text + listed(phases, "  - {for: 1 s, load: 100 %}"))
	}, false},
	{"", "breather circuits", 8, "", "too many", func(n int) error {
		return parse(least + pattern + "breathers:\n" + listed(n, "  - {name: b#, to: separator, bore: 16 mm, length: 1 m, loss_coefficient: 2}"))
	}, false},
	{"", "points of a route", 100, "", "a list of 2 to 100 points", func(n int) error {
		return parse(strings.Replace(least, "fall: 120 mm", "route: ["+strings.TrimSuffix(strings.ReplaceAll(listed(n, "[#, 0, -# mm],"), "\n", " "), ", ")+"]", 1) + pattern)
	}, false},
	{"", "segments of a circuit", 500, "", "too many", func(n int) error {
		return parse(least + "duty:\n  car: {mass: 1100 kg, power: 200 kW}\n  circuit:\n    segments:\n" + listed(n, "      - {straight: 10 m}"))
	}, false},
	{"", "stints and stops of a schedule", 500, "", "too many", func(n int) error {
		return parse(least + "duty:\n  pattern: {full_throttle: 50 %, burst: 7 s}\n  schedule:\n" + listed(n, "    - {drive: 1 min}"))
	}, false},
	{"", "realizations", 1_000_000_000, "", "outside what is possible", func(n int) error { return parse(least + pattern + fmt.Sprintf("simulation: {realizations: %d}", n)) }, false},
	{"shelf", "cans", 200, "", "too many", func(n int) error { return parseShelf("shelf: 1\ncans:\n" + listed(n, "- {name: c#}")) }, false},
	{"", "places", 20, "", "too many", func(n int) error { return parseShelf("shelf: 1\nplaces:\n" + listed(n, "- {name: p#}")) }, false},
	{"what was seen", "observations", 200, "", "too many", func(n int) error {
		_, err := scenarios.ParseSeen("x.yaml", []byte("seen: 1\nobservations:\n"+listed(n, "- {drained: # mL, after: 20 min}")))
		return err
	}, false},
	{"data log", "size", datalog.DefaultMaxBytes, "bytes", "file too large", func(n int) error { return readLog(strings.Repeat("#", n)) }, true},
	{"", "lines", 2_000_000, "", "too many lines", func(n int) error { return readLog(strings.Repeat("\n", n)) }, false},
	{"", "rows", datalog.DefaultMaxRows, "", "too many rows", func(n int) error {
		return readLog("time [s],throttle [%]\n" + strings.Repeat("1,2\n", n))
	}, true},
	{"", "bytes of a line", 64 << 10, "", "line too long", func(n int) error {
		return readLog("time [s],throttle [%]\n0,1\n0.1,1\n" + strings.Repeat(" ", n-3) + "1,2\n")
	}, false},
	{"", "phases of its laps", datalog.MaxPhases, "", "too many phases", func(n int) error {
		var b strings.Builder
		b.WriteString("time [s],throttle [%],lap\n")
		for i := range n {
			fmt.Fprintf(&b, "%d.%d,%d,1\n", i/10, i%10, i%2*100)
		}
		return readLog(b.String())
	}, false},
	{"centre line", "size", centreline.MaxBytes, "bytes", "file too large", func(n int) error { return readLine(strings.Repeat("#", n)) }, true},
	{"", "points", centreline.MaxPoints, "", "too many points", func(n int) error { return readLine("x [m],y [m]\n" + listed(n, "#,0")) }, false},
	{"", "bytes of a line", 64 << 10, "", "line too long", func(n int) error { return readLine("x [m],y [m]\n" + strings.Repeat(" ", n-3) + "1,2\n") }, false},
	{"draws that were learned", "size", 1 << 25, "bytes", "the file is too large", func(n int) error { return parseDraws(draws + strings.Repeat("#", n-len(draws))) }, true},
	{"", "draws", 20_000, "", "too many draws", func(n int) error { return parseDraws(draws + "drain.fall [m],weight\n" + strings.Repeat("0.1,1\n", n)) }, false},
	{"", "columns", 1000, "", "too many columns", func(n int) error {
		return parseDraws(draws + "weight" + strings.Repeat(",x", n-1) + "\n1\n")
	}, false},
	{"", "values", 1_500_000, "", "too many values", func(n int) error {
		const columns = 100
		return parseDraws(draws + "weight" + strings.ReplaceAll(listed(columns-1, ",duty.lap.#.for [s]"), "\n", "") + "\n" + strings.Repeat("1"+strings.Repeat(",1", columns-1)+"\n", (n+columns-1)/columns))
	}, true},
	{"", "bytes of a line", 64 << 10, "", "the line is too long", func(n int) error {
		return parseDraws(draws + "drain.fall [m],weight\n" + strings.Repeat(" ", n-5) + "0.1,1\n")
	}, false},
	{"logbook", "size", 8 << 20, "bytes", "too large for a logbook", func(n int) error { return readBook(strings.Repeat("\n", n)) }, false},
	{"", "rows", 50_000, "", "too many rows", func(n int) error { return readBook("date,car\n" + strings.Repeat("2026-05-09,42\n", n)) }, false},
	{"", "columns", 200, "", "too many columns", func(n int) error { return readBook("date,car" + strings.Repeat(",x", n-2) + "\n") }, false},
	{"", "bytes of a cell", 10_000, "", "the text is too long", func(n int) error { return readBook("date,car\n2026-05-09," + strings.Repeat("x", n) + "\n") }, false},
	{"", "bytes of a line", 64 << 10, "", "line too long", func(n int) error { return readBook("date,car\n2026-05-09,1" + strings.Repeat(" ", n-12) + "\n") }, false},
	{"answers of ask, and of a preset", "bytes of an answer", 200, "", "one short line", func(n int) error {
		_, err := interview.Answers{}.With("fall", strings.Repeat("9", n))
		return err
	}, false},
}

// TestLimits holds that each limit is where the table says: what is within it is not
// refused for it, and one more is, before it is read.
func TestLimits(t *testing.T) {
	file := ""
	for _, l := range limits {
		if l.file != "" {
			file = l.file
		}
		t.Run(file+": "+l.what, func(t *testing.T) {
			if !l.dear {
				if err := l.read(l.n); err != nil {
					assert.NotContains(t, err.Error(), l.words)
				}
			}
			err := l.read(l.n + 1)
			require.Error(t, err)
			assert.Contains(t, err.Error(), l.words)
			assert.Less(t, len(err.Error()), 100_000)
		})
	}
}

// TestLimitsAreWritten holds the table in DEVELOPERS.md to the limits.
func TestLimitsAreWritten(t *testing.T) {
	var b strings.Builder
	b.WriteString("| file | what | at most |\n| --- | --- | --- |\n")
	for _, l := range limits {
		fmt.Fprintf(&b, "| %s | %s | %s |\n", l.file, l.what, strings.TrimSpace(grouped(l.n)+" "+l.unit))
	}
	const path, begin, end = "../DEVELOPERS.md", "<!-- limits, written by scenarios/limits_test.go -->\n", "<!-- end of limits -->\n"
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	before, rest, found := strings.Cut(string(data), begin)
	_, after, ends := strings.Cut(rest, end)
	require.True(t, found && ends, "the marks of the table")
	if want := before + begin + b.String() + end + after; flag.Lookup("update").Value.String() == "true" {
		require.NoError(t, os.WriteFile(path, []byte(want), 0o644))
	} else {
		assert.Equal(t, want, string(data), "rewrite the table with -update")
	}
}

// grouped writes a whole number in groups of three digits.
func grouped(n int) string {
	text := fmt.Sprint(n)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}
