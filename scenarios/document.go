package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Limits of a file. A scenario is a few hundred lines by hand.
const (
	largestFile    = 1 << 20 // bytes
	mostLines      = 10_000  // the YAML library takes minutes over a hundred thousand
	mostMarks      = 100_000 // brackets, commas, colons and the like: what the YAML library takes memory for
	deepestNesting = 12      // blocks and lists within one another
	longestKey     = 100     // characters of a key, or of a variant's name
)

// marks are the characters that begin something new in YAML.
const marks = "[]{},:-?&*!|>'\"%@`"

// document reads the bytes of a file into a tree with line numbers. It takes
// the part of YAML that a scenario needs: mappings, lists, scalars, comments.
// Scalars stay as they are written: no number is read here.
func document(file string, data []byte) (*node, Problems) {
	return documentOf("scenario", file, data)
}

// documentOf reads a file of a kind, which its first key names.
func documentOf(kind, file string, data []byte) (*node, Problems) {
	fail := func(line int, what, hint string) Problems {
		return Problems{{File: file, Line: line, What: what, Hint: hint}}
	}
	text, problem := plainText(data)
	if problem.What != "" {
		return nil, fail(problem.Line, problem.What, problem.Hint)
	}
	if lines := 1 + strings.Count(text, "\n"); lines > mostLines {
		return nil, fail(mostLines, fmt.Sprintf("the file has too many lines (got %d, allowed 1 to %d)", lines, mostLines), "read long laps from a log")
	}
	if line := overMarks(text); line > 0 {
		return nil, fail(line, fmt.Sprintf("the file has too many brackets, commas, colons and the like (got more than %d up to here)", mostMarks), "read long laps from a log, long tables from a file of draws")
	}
	if problems := tabs(file, text); len(problems) > 0 {
		return nil, problems
	}
	if strings.TrimSpace(text) == "" {
		return nil, fail(1, "the file is empty", "write: "+kind+": 1")
	}
	tree, problems, err := parse(kind, file, text)
	if err != nil {
		return nil, fail(syntaxLine(err), "not readable as YAML: "+syntaxText(err),
			"look at this line and the one before: brackets, quotes, colons, indentation")
	}
	if len(problems) > 0 {
		return nil, problems.sorted()
	}
	return tree, nil
}

// CheckYAML refuses, before a YAML library sees it, a file of another kind that is too
// large or nests or expands without end: the limits are those of a scenario. The error
// is [Problems].
func CheckYAML(name string, data []byte) error {
	text, problem := plainText(data)
	if problem.What == "" {
		switch lines, line := 1+strings.Count(text, "\n"), overMarks(text); {
		case lines > mostLines:
			problem = Problem{Line: mostLines, What: fmt.Sprintf("the file has too many lines (got %d, allowed 1 to %d)", lines, mostLines)}
		case line > 0:
			problem = Problem{Line: line, What: fmt.Sprintf("the file has too many brackets, commas, colons and the like (got more than %d up to here)", mostMarks)}
		}
	}
	if problem.What != "" {
		problem.File = name
		return Problems{problem}
	}
	if problems := refused(name, lexer.Tokenize(text)); len(problems) > 0 {
		return problems
	}
	return nil
}

// plainText checks that data is text of a sensible size and returns it with
// line feeds only.
func plainText(data []byte) (string, Problem) {
	if len(data) > largestFile {
		return "", Problem{Line: 1, What: fmt.Sprintf("the file is too large (got %d bytes, allowed 0 to %d)", len(data), largestFile)}
	}
	if bytes.HasPrefix(data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(data, []byte{0xFE, 0xFF}) {
		return "", Problem{Line: 1, What: "the text is UTF-16", Hint: "save the file as UTF-8"}
	}
	data = bytes.TrimPrefix(data, []byte{0xEF, 0xBB, 0xBF})
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			return "", Problem{Line: lineOf(data, i), What: "the file is not text (a byte that is not UTF-8)", Hint: "save the file as UTF-8"}
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r == 0x7F:
			return "", Problem{Line: lineOf(data, i), What: fmt.Sprintf("the file is not text (control character U+%04X)", r)}
		}
		i += size
	}
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	return strings.ReplaceAll(text, "\r", "\n"), Problem{}
}

// overMarks returns the line in which a text has had more marks than may be, or 0.
func overMarks(text string) int {
	count, line := 0, 1
	for i := range len(text) {
		switch c := text[i]; {
		case c == '\n':
			line++
		case strings.IndexByte(marks, c) >= 0:
			if count++; count > mostMarks {
				return line
			}
		}
	}
	return 0
}

func lineOf(data []byte, at int) int { return 1 + bytes.Count(data[:at], []byte{'\n'}) }

// tabs finds the lines that are indented by tabs, which YAML forbids.
func tabs(file, text string) Problems {
	var problems Problems
	for i, line := range strings.Split(text, "\n") {
		indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
		if strings.Contains(indent, "\t") && len(indent) < len(line) {
			problems = append(problems, Problem{File: file, Line: i + 1, What: "the line is indented with a tab", Hint: "indent with two spaces"})
		}
	}
	return problems.sorted()
}

// parse runs the YAML library, after a look at the tokens: what could expand
// or nest without end never reaches its parser.
func parse(kind, file, text string) (tree *node, problems Problems, err error) {
	defer func() {
		if r := recover(); r != nil { // a panic of the library is a file that can't be read
			tree, problems, err = nil, nil, fmt.Errorf("%v", r)
		}
	}()
	tokens := lexer.Tokenize(text)
	if problems := refused(file, tokens); len(problems) > 0 {
		return nil, problems, nil
	}
	parsed, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return nil, nil, err
	}
	t := treeBuilder{file: file}
	for _, doc := range parsed.Docs {
		if doc.Body == nil || doc.Body.Type() == ast.CommentType || doc.Body.Type() == ast.CommentGroupType {
			continue
		}
		if tree != nil {
			line := doc.Body.GetToken().Position.Line
			return nil, Problems{{File: file, Line: line, What: "a second document starts here", Hint: "keep one " + strings.Replace(kind, "seen", "document", 1) + " a file"}}, nil
		}
		tree = t.node(doc.Body, "", 0)
	}
	if tree == nil {
		return nil, Problems{{File: file, Line: 1, What: "the file has comments only", Hint: "write: " + kind + ": 1"}}, nil
	}
	return tree, t.problems, nil
}

// refused names what a scenario does not use of YAML.
func refused(file string, tokens token.Tokens) Problems {
	var problems Problems
	add := func(t *token.Token, what, hint string) {
		problems = append(problems, Problem{File: file, Line: t.Position.Line, What: what, Hint: hint})
	}
	depth, entries, line := 0, 0, 0
	for _, t := range tokens {
		switch t.Type {
		case token.AnchorType:
			add(t, "anchors are not used here (got &)", "write the value out, or put it in quotes")
		case token.AliasType:
			add(t, "aliases are not used here (got *)", "write the value out, or put it in quotes")
		case token.MergeKeyType:
			add(t, "merge keys are not used here (got <<)", "write the values out")
		case token.TagType:
			add(t, "tags are not used here (got "+shorten(t.Value)+")", "write the value without it, or put it in quotes")
		case token.DirectiveType:
			add(t, "directives are not used here (got %)", "leave the line out")
		case token.MappingKeyType:
			add(t, "keys are written without a question mark (got ?)", "write: key: value")
		case token.MappingStartType, token.SequenceStartType:
			depth++
		case token.MappingEndType, token.SequenceEndType:
			depth--
		case token.SequenceEntryType:
			if t.Position.Line != line {
				entries, line = 0, t.Position.Line
			}
			entries++
		}
		if depth > deepestNesting || entries > deepestNesting {
			add(t, fmt.Sprintf("nested too deep (allowed 1 to %d levels)", deepestNesting), "")
			break
		}
	}
	return problems.sorted()
}

func syntaxLine(err error) int {
	var e *yaml.SyntaxError
	if errors.As(err, &e) && e.Token != nil && e.Token.Position != nil {
		return e.Token.Position.Line
	}
	return 1
}

func syntaxText(err error) string {
	var e *yaml.SyntaxError
	if errors.As(err, &e) {
		return shorten(e.Message)
	}
	return shorten(err.Error())
}
