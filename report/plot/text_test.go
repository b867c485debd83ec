package plot

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWrapKeepsWithinTheWidth(t *testing.T) {
	text := "Larkmoor four hours, car 42, the can behind the left front wheel, its drain into the block above the oil"
	lines := wrap(text, titleText, 300, 5)
	require.Greater(t, len(lines), 1)
	assert.Equal(t, text, strings.Join(lines, " "))
	for _, l := range lines {
		assert.LessOrEqual(t, float64(titleText.Width(l)), 300.0)
	}

	lines = wrap(text, titleText, 300, 2)
	require.Len(t, lines, 2)
	assert.True(t, strings.HasSuffix(lines[1], "…"), lines[1])

	lines = wrap(strings.Repeat("W", 400), titleText, 300, 2)
	require.Len(t, lines, 1)
	assert.True(t, strings.HasSuffix(lines[0], "W…"))
	assert.LessOrEqual(t, float64(titleText.Width(lines[0])), 300.0)
	assert.Greater(t, float64(titleText.Width(lines[0])), 270.0, "no shorter than it has to be")

	assert.Empty(t, wrap("  ", titleText, 300, 2))
}

func TestCleanIsOneLine(t *testing.T) {
	assert.Equal(t, `a b \x07 \u202e`, clean("a\n\tb \a \u202e"))
	assert.Equal(t, "\uFFFDx", clean("\uFFFFx"))
}
