package scenarios

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Block writes the block of a scenario that reads the draws.
func (l *Learned) Block() string {
	var b strings.Builder
	b.WriteString("learned:                                    # goes before what stands above\n")
	fmt.Fprintf(&b, "  draws: %s\n", yamlText(l.File))
	if l.From != "" {
		fmt.Fprintf(&b, "  from: %s\n", yamlText(l.From))
	}
	l.writeReadings(&b)
	for _, list := range []struct {
		key   string
		paths []string
	}{{"measured", l.Measured}, {"except", l.Except}} {
		if list.paths == nil {
			continue
		}
		var texts []string
		for _, p := range list.paths {
			texts = append(texts, yamlText(p))
		}
		fmt.Fprintf(&b, "  %s: [%s]\n", list.key, strings.Join(texts, ", "))
	}
	return b.String()
}

// writeReadings writes the marks of what was learned, a few a line.
func (l *Learned) writeReadings(b *strings.Builder) {
	const aLine = 6
	for i, mark := range l.Readings {
		switch {
		case i == 0:
			b.WriteString("  readings: [")
		case i%aLine == 0:
			b.WriteString(",\n    ")
		default:
			b.WriteString(", ")
		}
		fmt.Fprintf(b, "%q", mark)
	}
	if len(l.Readings) > 0 {
		b.WriteString("]\n")
	}
}

var plainYAML = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_./-]*$`)

// yamlText writes a text, in quotes where it could be taken for something else.
func yamlText(text string) string {
	if plainYAML.MatchString(text) {
		return text
	}
	return fmt.Sprintf("%q", text)
}

// SourceWith returns the text of the scenario's file with a block "learned:" at its
// end, in place of the one that it has; all else, comments too, stays as it is.
// Changes by a variant or With are not in it. It is an error if the file is written
// in a way that takes no block at its end.
func (s *Scenario) SourceWith(block string) ([]byte, error) {
	text := withoutLearned(s.source.text)
	if text != "" && !strings.HasSuffix(text, "\n") {
		text += "\n"
	}
	text = strings.TrimRight(text, "\n") + "\n\n" + strings.TrimRight(block, "\n") + "\n"
	before, problems := document(s.fileName(), []byte(s.source.text))
	if len(problems) > 0 {
		return nil, problems
	}
	after, problems := document(s.fileName(), []byte(text))
	if len(problems) == 0 && after.kind == mappingNode && after.get("learned") != nil {
		before.remove("learned")
		after.remove("learned")
		if before.written() == after.written() {
			return []byte(text), nil
		}
	}
	return nil, errors.New("the scenario is written in a way that takes no block at its end; add this by hand:\n" + block)
}

// Unlearned returns the hash of the file's text without what was learned, SHA-256,
// hexadecimal: it stays the same when draws are added or learned again.
func (s *Scenario) Unlearned() string { return s.source.unlearned() }

func (src *source) unlearned() string {
	sum := sha256.Sum256([]byte(strings.TrimRight(withoutLearned(src.text), " \t\r\n")))
	return hex.EncodeToString(sum[:])
}

var learnedKey = regexp.MustCompile(`^(?:learned|"learned"|'learned') *:`)

// withoutLearned takes the block "learned" out of the text of a file.
func withoutLearned(text string) string {
	lines := strings.SplitAfter(text, "\n")
	for i, line := range lines {
		if !learnedKey.MatchString(line) {
			continue
		}
		end := i + 1
		for k := end; k < len(lines); k++ {
			first := strings.TrimRight(lines[k], " \t\r\n")
			if first == "" || first[0] == '#' {
				continue // of the block only if more of it follows
			}
			if !strings.ContainsAny(first[:1], " \t}]") {
				break
			}
			end = k + 1
		}
		return strings.Join(lines[:i], "") + strings.Join(lines[end:], "")
	}
	return text
}

// readDraws reads a file of draws, or returns it as it was read before.
func (src *source) readDraws(name string) (*draws, []fault, error) {
	src.memory.Lock()
	defer src.memory.Unlock()
	if d := src.memory.draws[name]; d != nil {
		return d, nil, nil
	}
	var r io.ReadCloser
	r, err := src.opened(name)
	if err != nil {
		return nil, nil, err
	}
	defer r.Close()
	d, faults, err := readDraws(r)
	if d != nil {
		src.memory.draws[name] = d
	}
	return d, faults, err
}
