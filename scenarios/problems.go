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

// mostListed is the number of problems that are listed; a file that is wrong
// everywhere (another kind of file, say) is not worth more lines.
const mostListed = 100

// Error lists the problems, one after another: the first hundred of them.
func (ps Problems) Error() string {
	var lines []string
	for i, p := range ps {
		if i == mostListed {
			lines = append(lines, fmt.Sprintf("%s: and %d more problems", p.File, len(ps)-i))
			break
		}
		lines = append(lines, p.String())
	}
	return strings.Join(lines, "\n")
}

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
