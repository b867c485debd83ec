package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/interview"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// askFlags are those of ask.
type askFlags struct {
	answers  map[string]*answerFlag // by question
	silent   bool                   // ask nothing
	title    string
	to       string
	sampling samplingFlags
	output   outputFlags
	page     pageFlags
}

// answerFlag is an answer; it is read with those before it.
type answerFlag string

func (f *answerFlag) String() string        { return string(*f) }
func (f *answerFlag) Type() string          { return "ANSWER" }
func (f *answerFlag) Set(text string) error { *f = answerFlag(text); return nil }

func newAskCommand(a *app) *cobra.Command {
	f := askFlags{answers: map[string]*answerFlag{}}
	c := &cobra.Command{
		Use:   "ask",
		Short: "Ten short questions, and an honest answer from rough numbers",
		Long: `Ask puts at most ten short questions about a car. What isn't known may be left
open, which widens the answer. It says whether the layout does, what that
depends on and what to find out first, and writes the scenario to go on with.

Each question has a flag; what a flag answers isn't asked. Any unit will do.`,
		Example: `  sumpward ask
  sumpward ask --use "track day" --fall 90mm --to my-car.yaml
  sumpward ask --engine "2.2 L flat four turbo" --no-questions`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return f.run(a, c) },
	}
	for _, q := range interview.Questions() {
		f.answers[q.Name] = new(answerFlag)
		c.Flags().Var(f.answers[q.Name], q.Name, q.Text+" "+q.Example)
		_ = c.RegisterFlagCompletionFunc(q.Name, cobra.FixedCompletions(q.Choices, cobra.ShellCompDirectiveNoFileComp))
	}
	c.Flags().BoolVar(&f.silent, "no-questions", false, "ask nothing: what no flag answers isn't known")
	c.Flags().StringVar(&f.title, "title", "", "`TITLE` of the scenario")
	c.Flags().StringVar(&f.to, "to", "", "write the scenario to a `FILE`")
	f.sampling.add(c)
	f.output.add(c)
	f.page.add(c)
	c.Flags().Lookup("force").Usage = "let --to, -o and --report replace a file"
	return c
}

func (f *askFlags) run(a *app, c *cobra.Command) error {
	told, err := f.given(c)
	if err != nil {
		return err
	}
	options, err := f.sampling.options(c)
	if err != nil {
		return err
	}
	if err := f.prepare(c); err != nil {
		return err
	}
	if !f.silent {
		if told, err = f.ask(c.Context(), a, told); err != nil {
			return err
		}
	}
	return f.answer(a, c, told, options)
}

// given reads the answers that flags give.
func (f *askFlags) given(c *cobra.Command) (interview.Answers, error) {
	told := interview.Answers{Title: f.title}
	for _, q := range interview.Questions() {
		if !c.Flags().Changed(q.Name) {
			continue
		}
		var err error
		if told, err = told.With(q.Name, f.answers[q.Name].String()); err != nil {
			return told, usageError{fmt.Errorf("--%s: %w", q.Name, err)}
		}
	}
	return told, nil
}

// prepare checks, ahead of any question, that files can be written.
func (f *askFlags) prepare(c *cobra.Command) error {
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if err := f.page.prepare(c, &f.output); err != nil {
		return err
	}
	if f.to == "" {
		return nil
	}
	for _, other := range []string{f.output.file, f.page.file} {
		if other != "" && filepath.Clean(other) == filepath.Clean(f.to) {
			return usageError{errors.New("--to names a file that -o or --report names too: give two")}
		}
	}
	return mayWrite(f.to, f.output.force)
}

// ask puts the questions, and asks a person at a terminal where to write to.
func (f *askFlags) ask(ctx context.Context, a *app, told interview.Answers) (interview.Answers, error) {
	p := a.newPrompter()
	defer p.close()
	told, err := p.questions(ctx, told)
	if err != nil || f.to != "" || !p.terminal {
		return told, err
	}
	f.to, err = p.fileName(ctx, freeName(f.title), f.output.force)
	return told, err
}

// fileName asks where to write the scenario to; empty for nowhere.
func (p *prompter) fileName(ctx context.Context, usual string, force bool) (string, error) {
	p.choices = []string{usual, "no"}
	p.say("Write the scenario to which file? Enter: " + usual + "; no: to none")
	for wrong := 0; ; {
		name, err := p.line(ctx, "   > ")
		if err != nil {
			var cut interrupted
			if errors.As(err, &cut) {
				return "", err
			}
			return "", usageError{errors.New("the answers end before the file's name: name it with --to")}
		}
		switch name = strings.TrimSpace(name); strings.ToLower(name) {
		case "":
			name = usual
		case "no", "none", "n":
			return "", nil
		}
		if err = mayWrite(name, force); err == nil {
			return name, nil
		}
		p.say(indented(err.Error()))
		if wrong++; wrong == wrongAnswers {
			return "", err
		}
	}
}

// freeName is a file's name made of a title, of no file that exists.
func freeName(title string) string {
	base := "my-car"
	if words := strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }); len(words) > 0 {
		base = strings.Join(words[:min(6, len(words))], "-")
	}
	for i := 1; ; i++ {
		name := base + ".yaml"
		if i > 1 {
			name = fmt.Sprintf("%s-%d.yaml", base, i)
		}
		if _, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) || i == 1000 {
			return name
		}
	}
}

// answer works out what was told comes to, and writes it.
func (f *askFlags) answer(a *app, c *cobra.Command, told interview.Answers, options sim.Options) error {
	found, err := a.workOut(c.Context(), told, options, units.System(f.output.units))
	if err != nil {
		return err
	}
	a.warn(found.Result.Warnings)
	if err := f.output.emit(a, found.Ask); err != nil {
		return err
	}
	if f.to != "" {
		if err := writeFile(f.to, found.file, f.output.force); err != nil {
			return err
		}
		a.say("wrote %s", f.to)
	}
	if err := f.writePage(a, c, found); err != nil {
		return err
	}
	f.next(a, told, found)
	if found.Result.Interrupted {
		return interrupted{errors.New("interrupted: the answer covers the realizations that were finished")}
	}
	return nil
}

func (f *askFlags) writePage(a *app, c *cobra.Command, found *askFound) error {
	if !f.page.wanted() {
		return nil
	}
	scenario := found.Result.Scenario
	layouts, err := f.page.options(scenario)
	if err != nil {
		return err
	}
	return f.page.write(c.Context(), a, pageContent{
		command: "ask", scenario: scenario, result: found.Result, sampling: found.sampling, layouts: layouts, rests: found.Dependence,
		units: found.Units, force: f.output.force,
	})
}

// next says what to do next.
func (f *askFlags) next(a *app, told interview.Answers, found *askFound) {
	if report.Format(f.output.format) != report.Text || f.output.file != "" {
		return
	}
	out := plainWriter{a.stderr}
	fmt.Fprintln(out)
	if f.to == "" {
		fmt.Fprintln(out, "To go on with it, keep the scenario: --to my-car.yaml. The same again:")
	} else {
		file := shellQuoted(f.to)
		fmt.Fprintln(out, "Next:")
		if _, test := found.FindOut(); test != "" {
			fmt.Fprintf(out, "  sumpward measure %s --sheet %s   the test, to fill in\n", file, test)
		}
		fmt.Fprintf(out, "  sumpward run %s --report page.html   in full, and a page\nThe same again:\n", file)
	}
	fmt.Fprintln(out, "  "+command(told, units.System(f.output.units) == units.US))
}

// bare is what the program does without a command: it asks a person at a terminal,
// and prints help to anything else.
func (a *app) bare(root *cobra.Command) error {
	if !isTerminal(os.Stdin) || !isTerminal(os.Stdout) {
		return root.Help()
	}
	ask, _, err := root.Find([]string{"ask"})
	if err != nil {
		return err
	}
	ask.SetContext(root.Context())
	return ask.RunE(ask, nil)
}

// parsed reads the scenario that was made of answers.
func parsed(name string, data []byte) (*scenarios.Scenario, error) {
	s, err := scenarios.Parse(name, data, nil)
	if err != nil {
		return nil, scenarioError{err}
	}
	return s, nil
}
