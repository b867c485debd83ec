package scenarios

import (
	"fmt"
	"sort"
	"strings"
)

// Problem is one thing that is wrong with a scenario.
type Problem struct {
	File    string
	Line    int    // 1 for the first; 0 when there is no line to point at
	Path    string // "drain.bore"; empty when it is about the file as a whole
	What    string // what is wrong, with what was got and what is allowed
	Hint    string // a line that can be pasted, or what to do; may be empty
	Variant string // name of the variant in which it shows; empty for the file itself
}

// String formats the problem as
//
//	file:line: path: what is wrong (got X, allowed A to B)
//	  write: bore: 12.7 mm
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
	}
	b.WriteString(": ")
	if p.Variant != "" {
		fmt.Fprintf(&b, "variant %q: ", p.Variant)
	}
	if p.Path != "" {
		b.WriteString(p.Path)
		b.WriteString(": ")
	}
	b.WriteString(p.What)
	if p.Hint != "" {
		b.WriteString("\n  ")
		b.WriteString(strings.ReplaceAll(p.Hint, "\n", "\n  "))
	}
	return b.String()
}

// Problems is everything that is wrong with a scenario, in the order of its lines.
type Problems []Problem

// Error lists all problems, one after another.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// most is the number of problems that are listed; a file that is wrong
// everywhere (another kind of file, say) is not worth more lines.
const most = 100

// sorted returns the problems in the order of the lines, without repetitions.
func (ps Problems) sorted() Problems {
	seen := make(map[Problem]bool, len(ps))
	kept := make(Problems, 0, len(ps))
	for _, p := range ps {
		if !seen[p] {
			seen[p] = true
			kept = append(kept, p)
		}
	}
	sort.SliceStable(kept, func(i, j int) bool { return kept[i].Line < kept[j].Line })
	if len(kept) > most {
		left := len(kept) - most
		kept = append(kept[:most:most], Problem{File: kept[0].File, What: fmt.Sprintf("and %d more problems", left)})
	}
	return kept
}

// shorten cuts a text of the user for a message.
func shorten(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	const longest = 60
	runes := []rune(text)
	if len(runes) > longest {
		return string(runes[:longest]) + "…"
	}
	return text
}
