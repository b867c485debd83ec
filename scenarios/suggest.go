package scenarios

import "strings"

// Suggest returns the one of several names that was most likely meant by a
// wrong one, or "".
func Suggest(wrong string, names []string) string { return suggest(wrong, names) }

// suggest returns the name that was most likely meant by a wrong one, or "".
//
// The nearest name by edit distance (Damerau's: insertion, deletion, change,
// swap of two neighbours) wins if it takes no more edits than a third of the
// wrong name's length plus one; else a name that contains the other.
func suggest(wrong string, names []string) string {
	wrong = plainName(wrong)
	best, fewest := "", len(wrong)/3+2
	for _, name := range names {
		if d := editDistance(wrong, plainName(name)); d < fewest {
			best, fewest = name, d
		}
	}
	if best != "" || len(wrong) < 3 {
		return best
	}
	for _, name := range names {
		plain := plainName(name)
		if strings.Contains(plain, wrong) || len(plain) >= 4 && strings.Contains(wrong, plain) {
			return name
		}
	}
	return ""
}

// plainName lets "Usable-Volume" and "usable volume" meet "usable_volume".
func plainName(name string) string {
	name = strings.ToLower(strings.TrimSpace(name))
	return strings.NewReplacer("-", "_", " ", "_").Replace(name)
}

// editDistance counts the insertions, deletions, changes and swaps of
// neighbours that turn a into b.
func editDistance(a, b string) int {
	const longest = 64
	if len(a) > longest || len(b) > longest {
		return longest
	}
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
