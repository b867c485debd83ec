package scenarios

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// markOf is the mark of one reading.
func markOf(t *testing.T, reading string) string {
	t.Helper()
	seen, err := ParseSeen("seen.yaml", []byte("seen: 1\nobservations:\n  - {"+reading+"}\n"))
	require.NoError(t, err, reading)
	require.Len(t, seen.Observations, 1)
	return seen.Marks()[0]
}

// TestMarksKnowReadingsAgain: whichever way they are written, and no others.
func TestMarksKnowReadingsAgain(t *testing.T) {
	first := markOf(t, "drained: 120 mL, after: 25 min")
	assert.Regexp(t, "^[0-9a-f]{12}$", first)
	for _, same := range []string{"drained: 0.12 L, after: 1500 s", "drained: 120 +- 5 mL, after: 25 min", "drained: 120 mL, after: 25 min, error: 9 mL, note: hot"} {
		assert.Equal(t, first, markOf(t, same), same)
	}
	marks := map[string]string{first: "the first"}
	for _, other := range []string{
		"drained: 121 mL, after: 25 min", "drained: 120 mL, after: 26 min", "drained: 120 mL, after: 25 min, session: second", "drained: 120 mL, after: 25 min, layout: a larger can",
		"topped_up: 120 mL, after: 25 min", "topped_up: 120 mL, over: [25 min, 25 min]", "vent_hose: wet, after: 25 min", "vent_hose: dry, after: 25 min", "overflowed: yes, after: 25 min",
		"crankcase: 0.6 kPa", "crankcase: 0.6 kPa, load: 0 %", "u_tube: 64 mm", "u_tube: 64 mm, fluid: water",
		"poured: 300 mL, took: 9 s, at: 20 C", "poured: 200 mL, took: 9 s, at: 20 C", "poured: 300 mL, took: 9 s, at: 30 C",
	} {
		mark := markOf(t, other)
		assert.Empty(t, marks[mark], other)
		marks[mark] = other
	}
}

// TestAgainFindsWhatWasLearned: as often as it was.
func TestAgainFindsWhatWasLearned(t *testing.T) {
	const hose = "  - {vent_hose: dry, after: 25 min}\n"
	seen := func(more string) *Seen {
		s, err := ParseSeen("seen.yaml", []byte("seen: 1\nobservations:\n  - {drained: 120 mL, after: 25 min}\n"+more))
		require.NoError(t, err)
		return s
	}
	l := &Learned{Readings: seen(hose).Marks()}
	var lines []int
	for _, o := range l.Again(seen("  - {u_tube: 64 mm}\n" + hose + hose)) {
		lines = append(lines, o.Line)
	}
	assert.Equal(t, []int{3, 5}, lines)
	assert.Empty(t, (&Learned{}).Again(seen(hose)))
}

// TestReadingsAreKept: what a scenario was learned from is read as it was written, and a
// file that says nothing of it still loads.
func TestReadingsAreKept(t *testing.T) {
	s, err := withDraws(t, threeDraws, "")
	require.NoError(t, err)
	assert.Nil(t, s.Learned.Readings)
	for _, n := range []int{1, 6, 7, 200} {
		l := *s.Learned
		l.Readings = nil
		for i := range n {
			l.Readings = append(l.Readings, markOf(t, fmt.Sprintf("drained: %d mL, after: 25 min", i+1)))
		}
		text, err := s.SourceWith(l.Block())
		require.NoError(t, err)
		for line := range strings.SplitSeq(l.Block(), "\n") {
			assert.LessOrEqual(t, len(line), 110)
		}
		again, err := Parse("test.yaml", text, files(map[string]string{"a.csv": threeDraws}))
		require.NoError(t, err)
		assert.Equal(t, l.Readings, again.Learned.Readings)
		assert.Equal(t, s.Unlearned(), again.Unlearned())
		assert.Equal(t, s.Warnings, again.Warnings)
	}
}
