package kept

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"sumpward/sim"
)

// Named is a file with the name that messages call it by.
type Named struct {
	Name string
	*File
}

// Merged is partial results put together.
type Merged struct {
	Content // of all of them, without shard and realizations
	Work    *sim.Work
	Shards  int   // there have to be
	Missing []int // numbers of shards that are not there
	All     int   // realizations of all shards
}

// Merge puts partial results together. It fails, naming the files, where two are not of the
// same work or of the same shard. Shards that are missing are listed, and no error.
func Merge(parts []Named) (*Merged, error) {
	if len(parts) == 0 {
		return nil, errors.New("no partial results")
	}
	parts = slices.Clone(parts)
	slices.SortStableFunc(parts, func(a, b Named) int { return cmp.Compare(a.Shard.Number, b.Shard.Number) })
	first := parts[0]
	m := &Merged{Content: first.Content, Work: &sim.Work{}, Shards: first.Shard.Of, All: first.Realizations.All}
	m.Shard, m.Realizations = nil, nil
	for i, p := range parts {
		if why := apart(first.File, p.File); why != "" {
			return nil, fmt.Errorf("%s and %s are not of the same work: %s", first.Name, p.Name, why)
		}
		if i > 0 && p.Shard.Number == parts[i-1].Shard.Number {
			return nil, fmt.Errorf("%s and %s are the same: shard %d of %d stands twice: name one of them", parts[i-1].Name, p.Name, p.Shard.Number, p.Shard.Of)
		}
		if err := m.Work.Merge(p.Work); err != nil {
			return nil, fmt.Errorf("%s does not go with the others: %w", p.Name, err)
		}
	}
	for k, i := 1, 0; k <= m.Shards; k++ {
		if i < len(parts) && parts[i].Shard.Number == k {
			i++
			continue
		}
		m.Missing = append(m.Missing, k)
	}
	return m, nil
}

// apart says in what two partial results differ that have to be alike; empty: in nothing.
func apart(a, b *File) string {
	differ := func(what string, x, y any) string { return fmt.Sprintf("%s %v, %s %v", what, x, what, y) }
	switch {
	case a.Command != b.Command:
		return differ("command", a.Command, b.Command)
	case a.Shard.Of != b.Shard.Of:
		return differ("shards of", a.Shard.Of, b.Shard.Of)
	case a.Realizations.All != b.Realizations.All:
		return differ("realizations", a.Realizations.All, b.Realizations.All)
	}
	return Differ(a.Content, b.Content)
}

// Differ says in what two works differ, all but their shards; empty: in nothing.
func Differ(a, b Content) string {
	differ := func(what string, x, y any) string { return fmt.Sprintf("%s %v, %s %v", what, x, what, y) }
	switch {
	case a.Command != b.Command:
		return differ("command", a.Command, b.Command)
	case a.Seed != b.Seed:
		return differ("seed", a.Seed, b.Seed)
	case a.Sampling != b.Sampling:
		return differ("sampling", a.Sampling, b.Sampling)
	case !slices.Equal(a.Arguments, b.Arguments):
		return differ("arguments", arguments(a), arguments(b))
	case a.Program != b.Program: // it may take something else from the same scenario
		return differ("program", a.Program, b.Program)
	case a.Scenario.Fingerprint != b.Scenario.Fingerprint:
		return fmt.Sprintf("scenario %q (%.12s), scenario %q (%.12s)", a.Scenario.Title, a.Scenario.Fingerprint, b.Scenario.Title, b.Scenario.Fingerprint)
	}
	return ""
}

func arguments(c Content) string {
	if len(c.Arguments) == 0 {
		return "(none)"
	}
	return strings.Join(c.Arguments, " ")
}
