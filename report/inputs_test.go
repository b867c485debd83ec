package report

import (
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

func TestInputsAreAllListed(t *testing.T) {
	for _, name := range scenarios.ReadyNames() {
		s := ready(t, name)
		r := Inputs{Scenario: s}
		rows, err := csv.NewReader(strings.NewReader(written(t, r, CSV))).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, len(s.Inputs)+1)
		var j struct {
			Inputs []struct {
				Path, Basis, Source string
				Nominal             float64
			}
		}
		require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
		text := written(t, r, Text)
		assert.Contains(t, text, "ok: ")
		for i, q := range s.Inputs {
			assert.Equal(t, q.Path, rows[i+1][0])
			assert.Equal(t, string(q.Basis), j.Inputs[i].Basis)
			assert.Equal(t, q.Nominal(), j.Inputs[i].Nominal)
			if q.Basis == scenarios.Assumed {
				assert.NotEmpty(t, j.Inputs[i].Source, "%s is assumed and says why", q.Path)
			}
			assert.Contains(t, text, q.Path)
		}
	}
}

func TestWhatIsCutOffIsTold(t *testing.T) {
	s := ready(t, "sealed-drain", scenarios.Change{Path: "separator.efficiency", Value: "90 +- 10 %"})
	assert.Contains(t, written(t, Inputs{Scenario: s}, Text), "90 +- 10 % (16 % cut off)")
	assert.NotContains(t, written(t, Inputs{Scenario: ready(t, "sealed-drain")}, Text), "cut off", "a millionth is not worth a word")
}

func TestNotationIsShort(t *testing.T) {
	s := ready(t, "sealed-drain", scenarios.Change{Path: "drain.fall", Value: "120 mm"}, scenarios.Change{Path: "drain.length", Value: "0.1234567 m"})
	assert.Equal(t, "120 mm", words.Notation(s.Input("drain.fall"), units.Metric))
	assert.Equal(t, "4.72 in", words.Notation(s.Input("drain.fall"), units.US))
	assert.Equal(t, "123 mm", words.Notation(s.Input("drain.length"), units.Metric))
}

func TestWarningsCarryTheirLine(t *testing.T) {
	s := &scenarios.Scenario{Warnings: []scenarios.Warning{{Line: 7, Path: "drain.seal", Text: "not used"}, {Text: "plain"}}}
	assert.Equal(t, []string{"line 7: drain.seal: not used", "plain"}, Warnings(s))
}

// TestNotationPerLitreInUSUnits: 1 L/min is 0.0353147 cfm.
func TestNotationPerLitreInUSUnits(t *testing.T) {
	s := ready(t, "sealed-can")
	law := s.Input("engine.blow_by_law")
	require.Equal(t, "7 .. 13 .. 20 L/min "+law.Per, words.Notation(law, units.Metric))
	assert.Equal(t, "0.247 .. 0.459 .. 0.706 cfm "+law.Per, words.Notation(law, units.US))
}
