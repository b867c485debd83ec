package report

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report/words"
	"sumpward/scenarios/units"
)

func sampleTable() *table {
	t := &table{heading: "Chance", head: []string{"session", "overflow\n(gets past)", "p50"}, words: []int{0}}
	t.add("15 min", "7.4 %\n7.0 .. 7.8 %", "-1")
	t.add("25 min", "none of 5,000", "x|y")
	return t
}

func TestTableAsText(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, sampleTable().text(&b))
	assert.Equal(t, `Chance
session       overflow  p50
           (gets past)
---------------------------
15 min           7.4 %   -1
          7.0 .. 7.8 %
25 min   none of 5,000  x|y
`, b.String())
}

func TestTableAsMarkdown(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, sampleTable().markdown(&b))
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	require.Len(t, lines, 6)
	for _, l := range lines[2:] {
		assert.Equal(t, 4, strings.Count(strings.ReplaceAll(l, `\|`, ""), "|"), "three cells: %s", l)
	}
	assert.Contains(t, lines[2], "| overflow (gets past) |")
	assert.Contains(t, lines[2], "p50", "heads are left as they are")
	assert.Contains(t, lines[4], "| 7.4 % (7.0 .. 7.8 %) |")
	assert.Contains(t, lines[5], `x\|y`)
	assert.Regexp(t, `^\|:-+\|-+:\|-+:\|$`, lines[3])
}

func TestTableFitsWhateverIsInIt(t *testing.T) {
	long := strings.Repeat("very long words ", 20)
	word := strings.Repeat("x", 300)
	for _, cells := range [][]string{{long, long, long}, {word, "1", word}, {"漢字漢字漢字" + word, long, "\x1b[31m"}} {
		tb := &table{head: []string{"a", "b", "c"}, words: []int{0, 1, 2}}
		tb.add(cells...)
		var b bytes.Buffer
		require.NoError(t, tb.text(&b))
		fits(t, b.String())
	}
}

// fits asserts that no line is wider than a terminal of 80 columns.
func fits(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		assert.LessOrEqual(t, columns(strings.TrimSuffix(line, "\n")), 80, "%q", line)
	}
	assert.NotContains(t, text, "\x1b")
}

// TestNarrowTableKeepsWordsWhole squeezes a table whose columns are all narrow.
func TestNarrowTableKeepsWordsWhole(t *testing.T) {
	tab := &table{head: []string{"crankcase\ninH2O", "in can\nUS fl oz", "temperature", "drain\nUS fl oz/min"}}
	tab.add("-10.2", "0.0", "140.1", "12.5")
	limits := tab.limits(9 + 6 + 11 + 6 + 3*gap)
	assert.Equal(t, []int{9, 6, 11, 6}, limits)
	assert.Equal(t, []string{"drain", "US fl", "oz/min"}, wrap(tab.head[3], limits[3]))
	tab.rows = nil
	tab.add("-10.2", "123456.7", "140.1", "12.5")
	assert.Equal(t, 8, tab.limits(9 + 8 + 11 + 6 + 3*gap)[1], "nor inside a number")
}

func TestTimesOfOneLineHaveOneUnit(t *testing.T) {
	assert.Equal(t, []string{"4.5 min", "1.87 min", "0.1 min"}, words.Alike(units.Metric, 270, 112, 6))
	assert.Equal(t, []string{"112 s", "-", "0 s"}, words.Alike(units.Metric, 112, math.NaN(), 0))
}
