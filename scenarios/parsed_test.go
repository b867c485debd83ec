package scenarios

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// least is a scenario with nothing left to take away.
const least = `scenario: 1
carry_over: {oil_used: 0.35 +- 0.1 L, during: 25 min}
separator: {usable_volume: 0.45 L, diameter: 75 mm}
drain: {return: above_oil, bore: 12.7 mm, fall: 120 mm}
duty: {pattern: {full_throttle: 50 %, burst: 7 s}}
`

func parsed(t testing.TB, text string) *Scenario {
	t.Helper()
	s, err := Parse("test.yaml", []byte(text), nil)
	require.NoError(t, err)
	return s
}
