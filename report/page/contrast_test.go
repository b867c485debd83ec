package page

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// luminance is the relative luminance of a colour such as #1a2b3c. Source: WCAG 2.2,
// definition of relative luminance.
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	require.Regexp(t, `^#[0-9a-f]{6}$`, colour)
	n, err := strconv.ParseUint(colour[1:], 16, 32)
	require.NoError(t, err)
	part := func(shift uint) float64 {
		v := float64(n>>shift&0xff) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
}

func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	x, y := luminance(t, a), luminance(t, b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

// schemes returns the colours of the style sheet by name, light and dark.
func schemes(t *testing.T) map[string]map[string]string {
	t.Helper()
	read := func(css string) map[string]string {
		colours := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z0-9-]+): (#[0-9a-f]{6});`).FindAllStringSubmatch(css, -1) {
			colours[m[1]] = m[2]
		}
		return colours
	}
	light, rest, found := strings.Cut(style, "@media screen and (prefers-color-scheme: dark)")
	require.True(t, found)
	dark, _, found := strings.Cut(rest, "\n}\n")
	require.True(t, found)
	return map[string]map[string]string{"light": read(light), "dark": read(dark)}
}

// Published: black on white is 21:1; WCAG 2.2, 1.4.3, asks for 4.5:1. #767676 is the
// lightest grey that reaches it on white, from memory.
func TestContrastIsComputedRight(t *testing.T) {
	assert.InDelta(t, 21, contrast(t, "#000000", "#ffffff"), 1e-9)
	assert.GreaterOrEqual(t, contrast(t, "#767676", "#ffffff"), 4.5)
	assert.Less(t, contrast(t, "#777777", "#ffffff"), 4.5)
}

func TestTextStandsOut(t *testing.T) {
	both := schemes(t)
	require.Len(t, both["light"], len(both["dark"]), "a colour is missing in one of the two")
	for name, colours := range both {
		for _, text := range []string{"ink", "muted", "oil-text", "good", "bad", "unsure", "accent", "curve-1", "curve-2", "curve-3", "curve-4"} {
			for _, ground := range []string{"paper", "panel"} {
				require.Contains(t, colours, text)
				assert.GreaterOrEqual(t, contrast(t, colours[text], colours[ground]), 4.5, "%s: %s on %s", name, text, ground)
			}
		}
		for i := range len(heatSteps) + 1 {
			assert.GreaterOrEqual(t, contrast(t, colours["ink"], colours[fmt.Sprintf("heat-%d", i)]), 4.5, "%s, shade %d", name, i)
		}
		assert.GreaterOrEqual(t, contrast(t, colours["muted"], colours["heat-0"]), 4.5)
	}
}

// Nothing rests on colour alone: curves have dashes, standings have marks, cells that
// meet the limit a border.
func TestNothingRestsOnColourAlone(t *testing.T) {
	dashes := map[string]bool{}
	for i := 1; i <= mostCurves; i++ {
		m := regexp.MustCompile(fmt.Sprintf(`svg \.line\.c%d|\.chart \.line\.c%d \{ stroke-dasharray: ([0-9 ]+);`, i, i)).FindAllStringSubmatch(style, -1)
		dash := "none"
		for _, x := range m {
			if x[1] != "" {
				dash = x[1]
			}
		}
		assert.False(t, dashes[dash], "curve %d has the dash of another: %s", i, dash)
		dashes[dash] = true
	}
	marks := map[string]bool{}
	for _, s := range []standing{within, unclear, beyond} {
		assert.False(t, marks[s.Mark()])
		marks[s.Mark()] = true
	}
	assert.Contains(t, style, ".heat td.does { border: 3px solid var(--ink); }")
}
