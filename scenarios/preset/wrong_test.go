package preset_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/preset"
)

// A wrong answer is named, with what is wrong and what could be said instead.
func TestWrong(t *testing.T) {
	for want, known := range map[string]preset.Known{
		"fall: unit is missing (got \"90\", wanted a length in mm, cm, m, in, ft, µm, km, mi or dash size)\n  for instance 90 mm":       {Fall: "90"},
		"fall: outside what is possible (got -90 mm, allowed 0 mm to 5 m)\n  for instance 90 mm":                                        {Fall: "-90 mm"},
		"condition: not one of the choices (got tird, allowed fresh, used, tired)\n  did you mean tired?":                               {Condition: "tird"},
		"seal: not one of the choices (got glue, allowed none, valve, trap)":                                                            {Seal: "glue"},
		"oil used over: not a time, a distance, session or oil change (got a while)\n  for instance session, 25 min or 6000 km":         {OilUsed: "0.3 L", OilOver: "a while"},
		"return: there is no turbo drain on flat four\n  name where the oil goes back: " + "above the oil, block breather, cam cover, ": {Return: "turbo drain"},
	} {
		_, err := preset.Write(preset.Choice{Engine: "flat four", Use: "track day"}, known)
		var wrong *preset.Wrong
		require.ErrorAs(t, err, &wrong, want)
		assert.Contains(t, err.Error(), want)
	}
	for answer, known := range map[string]preset.Known{
		"displacement": {Displacement: "null"}, "boost": {Boost: "1.1"}, "oil used": {OilUsed: "a bit"}, "oil used over": {OilUsed: "1 L", OilOver: "0.1 s"},
		"can volume": {CanVolume: "0.45 kg"}, "return": {Return: "roof"}, "bore": {Bore: "half"}, "dip": {Dip: "~"},
	} {
		_, err := preset.Write(preset.Choice{Engine: "flat four", Use: "track day"}, known)
		var wrong *preset.Wrong
		require.ErrorAs(t, err, &wrong, answer)
		assert.Equal(t, answer, wrong.Answer)
		assert.NotEmpty(t, wrong.What)
	}
	for _, odd := range []string{"90\x7f mm", "90 \xff mm", strings.Repeat("9", 201)} {
		_, err := preset.Write(preset.Choice{Engine: "flat four", Use: "track day"}, preset.Known{Fall: odd})
		var wrong *preset.Wrong
		assert.ErrorAs(t, err, &wrong, odd)
	}
	data, err := preset.Write(preset.Choice{Engine: "flat four", Use: "track day", Title: "a\x7f\nsessions: [1 h]" + strings.Repeat("z", 500)}, preset.Known{})
	require.NoError(t, err)
	assert.Contains(t, string(data), "title: \"a sessions: [1 h]zzz")

	_, err = preset.Write(preset.Choice{Engine: "flat four", Use: "track day"}, preset.Known{Fall: "90", Bore: "12"})
	assert.ErrorContains(t, err, "fall: unit")
	assert.ErrorContains(t, err, "bore: unit", "each wrong answer is told")

	_, err = preset.Write(preset.Choice{Engine: "V7", Use: "parade"}, preset.Known{})
	var unknown *preset.UnknownName
	assert.ErrorAs(t, err, &unknown)
	assert.ErrorContains(t, err, "no such use (got parade)")
}

// FuzzAnswer: whatever is typed for one answer is that answer or wrong; it
// changes nothing else in the file.
func FuzzAnswer(f *testing.F) {
	for _, text := range []string{"90 mm", "90 mm, basis: measured}", "90 mm\nsessions: [1 h]", "90 mm # no", "\"", "'", "{value: 90 mm}", "!!str 1", "&a 90 mm", "*a", "80 .. 100 mm", "90 mm ± 5", "\x00\u2028", "- 90 mm", "\x7f", "% 9", "[1 mm]", "dash 8"} {
		f.Add(text)
	}
	usual, err := preset.Write(preset.Choice{Engine: "V8", Use: "road"}, preset.Known{Fall: "90 mm"})
	require.NoError(f, err)
	want, err := scenarios.Parse("preset.yaml", usual, nil)
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string) {
		data, err := preset.Write(preset.Choice{Engine: "V8", Use: "road"}, preset.Known{Fall: text})
		if err != nil {
			require.True(t, errors.As(err, new(*preset.Wrong)), "%q: %v", text, err)
			return
		}
		s, err := scenarios.Parse("preset.yaml", data, nil)
		require.NoError(t, err, "%q", text)
		require.Len(t, s.Inputs, len(want.Inputs), "%q", text)
		require.Equal(t, want.Sessions, s.Sessions, "%q", text)
		for i, q := range s.Inputs {
			require.Equal(t, want.Inputs[i].Path, q.Path, "%q", text)
			if q.Path != "drain.fall" {
				require.Equal(t, want.Inputs[i].Text, q.Text, "%q", text)
			}
		}
	})
}
