package kept

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// partsOf are n partial results of a run, written and read.
func partsOf(t *testing.T, shards int) []Named {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: "[30 s]"})
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	var parts []Named
	for number := 1; number <= shards; number++ {
		f := &File{Kind: Part, Work: &sim.Work{}, Content: Content{
			Program: "p", Command: "run", Arguments: []string{"--realizations=2100"},
			Scenario: Scenario{Title: "car 42", Fingerprint: s.Fingerprint()}, Sampling: "latin-hypercube", Shard: &Shard{number, shards},
		}}
		e, err := decide.RunShard(context.Background(), m, sim.Options{Realizations: 2100, Work: f.Work}, decide.Shard{Number: number, Shards: shards})
		require.NoError(t, err)
		f.Realizations = &Realizations{e.From, e.To, e.All}
		read, err := Read(bytes.NewReader(bytesOf(t, f)), Part)
		require.NoError(t, err)
		parts = append(parts, Named{fmt.Sprintf("part-%d.json", number), read})
	}
	return parts
}

// The order in which parts are named leaves no trace, and with all there nothing is missing.
func TestOrderOfPartsLeavesNoTrace(t *testing.T) {
	parts := partsOf(t, 3)
	var first []byte
	for _, order := range [][]int{{0, 1, 2}, {2, 1, 0}, {1, 2, 0}} {
		m, err := Merge([]Named{parts[order[0]], parts[order[1]], parts[order[2]]})
		require.NoError(t, err)
		assert.Empty(t, m.Missing)
		assert.Equal(t, 3, m.Shards)
		assert.Equal(t, 2100, m.All)
		assert.Nil(t, m.Shard)
		assert.Nil(t, m.Realizations)
		data := bytesOf(t, &File{Kind: Part, Content: m.Content, Work: m.Work})
		if first == nil {
			first = data
		}
		assert.Equal(t, first, data)
	}
	assert.Equal(t, 1, parts[0].Shard.Number, "parts are left as they are")
}

func TestMissingPartsAreListed(t *testing.T) {
	parts := partsOf(t, 5)
	m, err := Merge([]Named{parts[3], parts[1]})
	require.NoError(t, err)
	assert.Equal(t, []int{1, 3, 5}, m.Missing)
	_, err = Merge(nil)
	assert.EqualError(t, err, "no partial results")
}

// Two that don't go together are named, and it is said why.
func TestPartsThatDoNotGoTogether(t *testing.T) {
	parts := partsOf(t, 3)
	_, err := Merge([]Named{parts[0], parts[1], {"copy.json", parts[1].File}})
	assert.EqualError(t, err, "part-2.json and copy.json are the same: shard 2 of 3 stands twice: name one of them")

	mislabelled := *parts[0].File
	mislabelled.Content.Shard = &Shard{3, 3}
	_, err = Merge([]Named{parts[0], {"other.json", &mislabelled}})
	assert.ErrorIs(t, err, sim.ErrDoubled)
	assert.EqualError(t, err, "other.json does not go with the others: the same realizations stand in both")

	for want, change := range map[string]func(c *Content){
		"shards of 3, shards of 4":                                     func(c *Content) { c.Shard = &Shard{2, 4} },
		"realizations 2100, realizations 2101":                         func(c *Content) { c.Realizations = &Realizations{500, 1000, 2101} },
		"command run, command size":                                    func(c *Content) { c.Command = "size" },
		"seed 0, seed 7":                                               func(c *Content) { c.Seed = 7 },
		"sampling latin-hypercube, sampling ran":                       func(c *Content) { c.Sampling = "random" },
		"arguments --realizations=2100, arguments (none)":              func(c *Content) { c.Arguments = nil },
		"arguments --realizations=2100, arguments --realizations=2200": func(c *Content) { c.Arguments = []string{"--realizations=2200"} },
		`scenario "car 42" (`:                                          func(c *Content) { c.Scenario.Fingerprint = "0123456789abcdef" },
		"program p, program q":                                         func(c *Content) { c.Program, c.Scenario.Fingerprint = "q", "another, because of the program" },
	} {
		changed := *parts[1].File
		change(&changed.Content)
		_, err := Merge([]Named{parts[0], {"other.json", &changed}, parts[2]})
		if assert.Error(t, err, want) {
			assert.Contains(t, err.Error(), "part-1.json and other.json are not of the same work: ")
			assert.Contains(t, err.Error(), want)
		}
	}

	same := *parts[1].File
	same.Scenario.Name, same.Scenario.SHA256, same.Scenario.Title = "elsewhere/car.yaml", "other bytes", "title"
	_, err = Merge([]Named{parts[0], {"other.json", &same}, parts[2]})
	assert.NoError(t, err, "a scenario that is moved or gets a remark is the same")
}

// What is merged is the run, and a run of merged parts simulates nothing.
func TestMergedIsTheRun(t *testing.T) {
	parts := partsOf(t, 3)
	m, err := Merge(parts)
	require.NoError(t, err)
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: "[30 s]"})
	require.NoError(t, err)
	whole, err := sim.Run(context.Background(), s, sim.Options{Realizations: 2100})
	require.NoError(t, err)
	merged, err := sim.Run(context.Background(), s, sim.Options{Realizations: 2100, Work: m.Work})
	require.NoError(t, err)
	assert.Zero(t, m.Work.Simulated())
	assert.Equal(t, whole.Sessions, merged.Sessions)
	assert.Equal(t, whole.Balance, merged.Balance)
}
