package scenarios

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the expected files anew")

// TestSchemaFile keeps the file for editors as the catalogue makes it.
func TestSchemaFile(t *testing.T) {
	const file = "schema/scenario.schema.json"
	if *update {
		require.NoError(t, os.WriteFile(file, Schema(), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(Schema()), "run go test ./scenarios -run SchemaFile -update")
}

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	require.NoError(t, c.AddResource("scenario.schema.json", document))
	s, err := c.Compile("scenario.schema.json")
	require.NoError(t, err)
	return s
}

// instance reads YAML as JSON does, by the YAML library's own decoder.
func instance(t *testing.T, data []byte) any {
	t.Helper()
	var v any
	require.NoError(t, yaml.Unmarshal(data, &v))
	j, err := json.Marshal(v)
	require.NoError(t, err)
	i, err := jsonschema.UnmarshalJSON(bytes.NewReader(j))
	require.NoError(t, err)
	return i
}

// TestSchemaTakes validates every scenario that loads.
func TestSchemaTakes(t *testing.T) {
	s := compiled(t)
	files, err := filepath.Glob("testdata/right/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.NoError(t, s.Validate(instance(t, data)), file)
	}
	for _, name := range ReadyNames() {
		assert.NoError(t, s.Validate(instance(t, ReadySource(name))), name)
	}
	assert.NoError(t, s.Validate(instance(t, Template())))
}

// TestSchemaRefuses sees that the schema says no to what decoding refuses by
// its shape.
func TestSchemaRefuses(t *testing.T) {
	s := compiled(t)
	const rest = "carry_over: {oil_used: 0.3 L, during: 25 min}\nseparator: {usable_volume: 1 L, diameter: 75 mm}\n" +
		"duty: {pattern: {full_throttle: 50 %, burst: 7 s}}\n"
	require.NoError(t, s.Validate(instance(t, []byte("scenario: 1\ndrain: {fall: 120 mm}\n"+rest))), "the rest is right")
	for what, file := range map[string]string{
		"unknown field":     "scenario: 1\nseperator: {}\n",
		"unknown in block":  "scenario: 1\ndrain: {fal: 120 mm}\n",
		"bare length":       "scenario: 1\ndrain: {fall: 120}\n",
		"choice":            "scenario: 1\ndrain: {seal: cork}\n",
		"no version":        "title: x\n",
		"count":             "scenario: 1\nsimulation: {seed: 3.7}\n",
		"point":             "scenario: 1\ndrain: {route: [[0, 0], [1, 2]]}\n",
		"law":               "scenario: 1\ndrain: {fall: {distribution: weibull}}\n",
		"fitting":           "scenario: 1\ndrain: {fittings: [flange]}\n",
		"uncertain seed":    "scenario: 1\nsimulation: {seed: [1]}\n",
		"list for a block":  "scenario: 1\ndrain: [1]\n",
		"unknown parameter": "scenario: 1\ndrain: {fall: {value: 120 mm, basi: measured}}\n",
	} {
		whole := file + rest
		if !bytes.Contains([]byte(file), []byte("drain:")) {
			whole += "drain: {return: emptied_by_hand}\n"
		}
		assert.Error(t, s.Validate(instance(t, []byte(whole))), what)
	}
}
