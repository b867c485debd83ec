package main

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report"
	"sumpward/scenarios/interview"
)

// A shell takes the command line apart into just what was answered.
func TestCommandGoesThroughAShell(t *testing.T) {
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no shell")
	}
	for fall, title := range map[string]string{
		"90mm": `car $HOME "42" it's; rm -rf !`, "3 1/2 in": "$HOME", `3 1/2"`: "`id`", "3 1/2\u00a0in": `a\b`, "0.09m": "it's", "9 cm": "$(id) *",
	} {
		a := interview.Answers{Title: title}
		for _, answer := range []interview.Answer{
			{Question: "use", Text: "track day"}, {Question: "engine", Text: "2.2 L flat four turbo"}, {Question: "boost", Text: "1.1 bar"},
			{Question: "return", Text: "block breather, valve"}, {Question: "fall", Text: fall},
		} {
			a, err = a.With(answer.Question, answer.Text)
			require.NoError(t, err)
		}
		line := command(a, true)
		got, err := exec.Command(shell, "-c", "sumpward() { for x; do printf '%s\\n' \"$x\"; done; }; "+line).Output()
		require.NoError(t, err)
		want := []string{"ask"}
		for _, told := range a.Told() {
			want = append(want, "--"+told.Question, told.Text)
		}
		want = append(want, "--title", a.Title, "--units", "us", "--no-questions")
		assert.Equal(t, want, strings.Split(strings.TrimSuffix(string(got), "\n"), "\n"))
		for l := range strings.Lines(line) {
			assert.LessOrEqual(t, len(l), report.Width, l)
		}
	}
}

// Questions, and what they tell more, fit a terminal and lose no word.
func TestQuestionsFitATerminal(t *testing.T) {
	for _, q := range interview.Questions() {
		for _, text := range []string{"10. " + q.Text, indented(q.Example + " (Enter: " + q.Empty + ")"), indented(q.More)} {
			for line := range strings.Lines(text) {
				assert.LessOrEqual(t, len(strings.TrimSuffix(line, "\n")), report.Width, q.Name)
			}
		}
		assert.Equal(t, strings.Fields(q.More), strings.Fields(indented(q.More)))
	}
	assert.Equal(t, "   one\n     two", indented("one\n  two"))
}

func TestFreeName(t *testing.T) {
	t.Chdir(t.TempDir())
	assert.Equal(t, "my-car.yaml", freeName(""))
	assert.Equal(t, "larkmoor-car-42.yaml", freeName("Larkmoor, car 42"))
	assert.Equal(t, "etc-passwd.yaml", freeName("../../etc/passwd"))
	require.NoError(t, writeFile("my-car.yaml", nil, false))
	assert.Equal(t, "my-car-2.yaml", freeName(" ! "))
}

func TestCompletion(t *testing.T) {
	p := &prompter{choices: []string{"track day", "road", "V8"}}
	assert.Equal(t, []string{"track day"}, p.complete("TR"))
	assert.Equal(t, []string{"V8"}, p.complete("v"))
	assert.Empty(t, p.complete("x"))
}
