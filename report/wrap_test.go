package report

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWrapKeepsToTheWidthAndLosesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	alphabet := []rune("abc de./_ 漢字 12 % mm")
	for range 2000 {
		text := make([]rune, r.IntN(120))
		for i := range text {
			text[i] = alphabet[r.IntN(len(alphabet))]
		}
		width := 2 + r.IntN(40)
		lines := wrap(string(text), width)
		for _, l := range lines {
			assert.LessOrEqual(t, columns(l), width, "%q in %d", l, width)
		}
		bare := func(s string) string { return strings.Join(strings.Fields(s), "") }
		assert.Equal(t, bare(string(text)), bare(strings.Join(lines, "")))
	}
}

func TestWrapKeepsNumberAndUnitTogether(t *testing.T) {
	assert.Equal(t, []string{"a fall of", "30 .. 55 mm", "is short"}, wrap("a fall of 30 .. 55 mm is short", 13))
	assert.Equal(t, []string{"half-width", "± 0.5 %"}, wrap("half-width ± 0.5 %", 13))
	assert.Equal(t, []string{"96 +- 15 L/min", "more"}, wrap("96 +- 15 L/min more", 17))
}

func TestWrapBreaksAPathAtItsJoints(t *testing.T) {
	assert.Equal(t, []string{"oil.", "temperature.", "cooling_"}, wrap("oil.temperature.cooling_", 13)[0:3])
}
