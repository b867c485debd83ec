package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios/interview"
)

// wrongAnswers is how often a question is answered wrongly before it is given up.
const wrongAnswers = 3

// questions asks what was not answered by flags.
func (p *prompter) questions(ctx context.Context, a interview.Answers) (interview.Answers, error) {
	n := 0
	for {
		q, more := a.Next()
		if !more {
			return a, nil
		}
		if n++; n == 1 {
			p.say("At most ten short questions. Enter: don't know, which widens the answer.\nAny unit will do: 90 mm, 3 1/2 in, 16 psi. ? tells more, Ctrl-C leaves.\n")
		}
		var err error
		if a, err = p.question(ctx, q, n, a); err != nil {
			return a, err
		}
	}
}

// question asks one question until its answer can be used.
func (p *prompter) question(ctx context.Context, q interview.Question, n int, a interview.Answers) (interview.Answers, error) {
	p.choices = q.Choices
	text := fmt.Sprintf("%d. %s\n   %s", n, q.Text, q.Example)
	if q.Empty != "" {
		text += " (Enter: " + q.Empty + ")"
	}
	p.say(text)
	for wrong := 0; ; {
		text, err := p.line(ctx, "   > ")
		switch {
		case errors.Is(err, io.EOF):
			p.say("")
			return a, usageError{fmt.Errorf("the answers end before the question of --%s: answer it with the flag, or leave the rest open with --no-questions", q.Name)}
		case err != nil:
			return a, err
		}
		if strings.TrimSpace(text) == "?" {
			p.say(indented(q.More))
			continue
		}
		next, err := a.With(q.Name, text)
		if err == nil {
			return next, nil
		}
		p.say(indented(words.Plain(words.Sentence(err.Error()))))
		if wrong++; wrong == wrongAnswers {
			return a, usageError{fmt.Errorf("the question of --%s was answered wrongly %d times: %w", q.Name, wrong, err)}
		}
	}
}

// indented sets a text in by three columns, its lines no wider than a report's.
func indented(text string) string {
	const margin = "   "
	var lines []string
	for line := range strings.SplitSeq(text, "\n") {
		now := margin + line[:len(line)-len(strings.TrimLeft(line, " "))]
		start := now
		for word := range strings.FieldsSeq(line) {
			if utf8.RuneCountInString(now)+utf8.RuneCountInString(word) >= report.Width && now != start {
				lines, now = append(lines, strings.TrimRight(now, " ")), start
			}
			now += word + " "
		}
		lines = append(lines, strings.TrimRight(now, " "))
	}
	return strings.Join(lines, "\n")
}

// command is the command line that gives the same answers without being asked.
func command(a interview.Answers, us bool) string {
	parts := []string{"sumpward ask"}
	for _, t := range a.Told() {
		parts = append(parts, "--"+t.Question+" "+shellQuoted(t.Text))
	}
	if a.Title != "" {
		parts = append(parts, "--title "+shellQuoted(a.Title))
	}
	if us {
		parts = append(parts, "--units us")
	}
	parts = append(parts, "--no-questions")
	lines := []string{""}
	for _, part := range parts {
		last := &lines[len(lines)-1]
		switch {
		case *last == "":
			*last = part
		case len(*last)+len(part) > 72:
			*last += ` \`
			lines = append(lines, "    "+part)
		default:
			*last += " " + part
		}
	}
	return strings.Join(lines, "\n  ")
}

// shellQuoted writes a text so that a shell takes it as one word, as it is.
func shellQuoted(text string) string {
	if text != "" && strings.Trim(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,+-/:=") == "" {
		return text
	}
	if q := strconv.Quote(text); !strings.ContainsAny(text, "$`\\\"!") && q == `"`+text+`"` {
		return q
	}
	return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'"
}
