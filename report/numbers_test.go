package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSpreadsheetsReadNoFormula(t *testing.T) {
	for in, want := range map[string]string{
		"=1+1": "'=1+1", "+1": "'+1", "-100 .. 100 Pa": "'-100 .. 100 Pa", "@SUM(A1)": "'@SUM(A1)", "\t=1": "' =1", " =1": "' =1", "\"=1": "'\"=1", "'=1": "''=1", "＝1": "'＝1", "\r=1": `\x0d=1`, "\x1b[31m": `\x1b[31m`, "0.45 L": "0.45 L", "": "",
	} {
		assert.Equal(t, want, csvCell(in))
	}
	assert.Equal(t, "-1.5", csvCell(-1.5), "numbers stay numbers")
	assert.Equal(t, "", csvCell(math.NaN()))
	assert.Equal(t, "inf", csvCell(math.Inf(1)))
	assert.Equal(t, "true", csvCell(true))
}

func TestSpreadsheetsReadNoFormulaInAComment(t *testing.T) {
	assert.Equal(t, "# title = a,'=1+1; \"'@x, '-y, z - 1\n", csvComment("title = a,=1+1; \"@x, -y,\nz - 1"))
	assert.Equal(t, "# seed = 1, 20 to 30\n", csvComment("seed = 1, 20 to 30"))
}

func TestSheetIsReadBack(t *testing.T) {
	s := &sheet{head: []string{"a", "b_m"}}
	s.add("x, \"y\"\nz", 1e-7)
	var b bytes.Buffer
	require.NoError(t, s.write(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, [][]string{{"a", "b_m"}, {"x, \"y\"\nz", "1e-07"}}, rows)
}

func TestWhatIsNotFiniteIsNull(t *testing.T) {
	out, err := json.Marshal([]number{1.5, number(math.NaN()), number(math.Inf(1)), number(math.Inf(-1))})
	require.NoError(t, err)
	assert.Equal(t, "[1.5,null,null,null]", string(out))
}
