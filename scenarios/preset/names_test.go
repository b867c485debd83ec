package preset

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEngineNames(t *testing.T) {
	for written, want := range map[string]string{
		"inline four": "inline four", "Inline-Four": "inline four", "straight 4": "inline four", "i4 turbo": "inline four turbo",
		"FLAT FOUR TURBO": "flat four turbo", "turbocharged flat-4": "flat four turbo", "boxer, na": "", "boxer na": "flat four",
		"v6": "V6", "V-8 twin-turbo": "", "v8 turbo": "V8 turbo", "V 8": "V8", "naturally aspirated V6": "V6", "": "", "turbo": "", "V12": "",
	} {
		e, err := MatchEngine(written)
		assert.Equal(t, want, e.Name, written)
		assert.Equal(t, want == "", err != nil, written)
	}
	for _, name := range EngineNames() {
		e, err := MatchEngine(name)
		require.NoError(t, err)
		assert.Equal(t, name, e.Name)
	}
	assert.Len(t, EngineNames(), 8)
	_, err := MatchEngine("flt four turbo")
	assert.ErrorContains(t, err, "no such engine (got flt four turbo): use one of inline four, ")
	assert.ErrorContains(t, err, "did you mean flat four turbo?")
}

func TestUseNames(t *testing.T) {
	for written, want := range map[string]string{
		"Road": "road", "street": "road", "track-day": "track day", "trackday": "track day", "hill climb": "sprint and hill climb",
		"Sprint": "sprint and hill climb", "endurance": "endurance", "": "", "parade": "",
	} {
		u, err := MatchUse(written)
		assert.Equal(t, want, u.Name, written)
		assert.Equal(t, want == "", err != nil, written)
	}
	assert.Equal(t, []string{"road", "track day", "sprint and hill climb", "endurance"}, UseNames())
	_, err := MatchUse("endurence")
	assert.ErrorContains(t, err, "did you mean endurance?")
}
