package scenarios

import (
	"io"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Anything that a simulation takes from a scenario shows in its fingerprint.
func TestFingerprintTellsApart(t *testing.T) {
	base, err := Ready("sealed-drain")
	require.NoError(t, err)
	again, err := Ready("sealed-drain")
	require.NoError(t, err)
	assert.Equal(t, base.Fingerprint(), again.Fingerprint())
	seen := map[string]string{base.Fingerprint(): "as written"}
	tell := func(name string, s *Scenario, err error) {
		t.Helper()
		require.NoError(t, err)
		assert.Empty(t, seen[s.Fingerprint()], name)
		seen[s.Fingerprint()] = name
	}
	for _, name := range base.Variants {
		v, err := base.Variant(name)
		tell(name, v, err)
	}
	for _, c := range []Change{
		{"separator.usable_volume", 0.5e-3}, {"separator.usable_volume", 0.5e-3 + 1e-18},
		{"separator.usable_volume", "0.4 .. 0.6 L"}, {"sessions", "[15 min]"}, {"limits.risk", "2 %"},
	} {
		s, err := base.With(c)
		tell(c.Path, s, err)
	}
	other, err := Ready("sealed-can")
	tell("another", other, err)
}

// A file that is named counts by its bytes, a comment does not count.
func TestFingerprintKnowsTheFilesBytes(t *testing.T) {
	text := string(ReadySource("sealed-can"))
	logged := func(scenario, change string) string {
		s, err := Parse("can.yaml", []byte(scenario), func(name string) (io.ReadCloser, error) {
			data, err := fs.ReadFile(ready, "ready/"+name)
			return io.NopCloser(strings.NewReader(string(data) + change)), err
		})
		require.NoError(t, err)
		return s.Fingerprint()
	}
	first := logged(text, "")
	assert.Equal(t, first, logged(text+"\n# a remark\n", ""))
	assert.NotEqual(t, first, logged(text, "\n"))
}
