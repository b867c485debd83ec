package page

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios/units"
)

// Made says which program made a page, and how.
type Made struct {
	Program string // name and version of the program
	Command string
	Units   units.System
	Seed    uint64
}

//go:embed finding.html.tmpl
var findingLayout string

var findingTemplate = template.Must(template.New("finding").Parse(findingLayout))

// finding is a page on what was learned, in words and drawings.
type finding struct {
	Style                     template.CSS
	Asks, By                  string
	Title, ShortTitle, Layout string
	Answer                    string
	Next                      []string
	Chart                     template.HTML
	ChartTitle, ChartNote     string
	Key                       []barKey
	Tables, Behind            []grid
	Lists                     []report.Points
	Cautions, Notes           []string
	RestsOn                   string
	Inputs, Rules             []input
	Phases                    []phase
	About                     []fact
}

// grid is a table, its cells parted in figure and interval.
type grid struct {
	ID, Heading string
	Head        []string
	Rows        []gridRow
}

type gridRow struct {
	Name  string
	Cells []gridCell
}

type gridCell struct{ Text, Range string }

// barDrawing is the chart of a page on what was learned; with no rows there is none.
type barDrawing struct {
	bars
	note string
}

// writeFinding writes what a report found as HTML that stands alone.
func writeFinding(w io.Writer, asks string, f report.Finding, d barDrawing, m Made) error {
	s := f.Scenario
	v := finding{
		Style: template.CSS(style), Asks: asks, Title: words.OneLine(s.Title), Layout: tidy(ranged(f.Layout)),
		Answer: tidy(f.Answer), Next: tidied(f.Next), Tables: gridsOf("main", f.Tables), Behind: gridsOf("behind", f.Behind),
		Cautions: cautionsBelow(), RestsOn: strings.Replace(report.RestsOn(s), " (validate lists them)", "", 1),
		Inputs: inputsOf(s, m.Units), Rules: rulesOf(s), Phases: phasesOf(s, m.Units), About: m.about(f),
	}
	v.ShortTitle = shortened(v.Title, 66)
	for _, n := range f.Notes {
		if n != report.RestsOn(s) { // it stands with the inputs
			v.Notes = append(v.Notes, tidy(n))
		}
	}
	name, _, _ := strings.Cut(words.OneLine(m.Program), " ")
	v.By = "simulated by " + name
	if s.Example != "" {
		v.By = "an example, nobody’s car"
	}
	for _, l := range f.Lists {
		v.Lists = append(v.Lists, report.Points{Heading: tidy(l.Heading), Items: tidied(l.Items)})
	}
	if len(d.rows) > 0 {
		v.Chart, v.ChartTitle, v.ChartNote, v.Key = d.svg(), d.title, d.note, d.key()
	}
	var b bytes.Buffer
	if err := findingTemplate.Execute(&b, v); err != nil {
		return fmt.Errorf("fill in the page: %w", err)
	}
	_, err := w.Write(b.Bytes())
	return err
}

// cautionsBelow are those of every report, the last worded for a page whose inputs
// come after them.
func cautionsBelow() []string {
	var list []string
	for _, caution := range report.Cautions {
		list = append(list, strings.Replace(caution, "the inputs above", "the inputs below", 1))
	}
	return list
}

// tidy makes a line of a text as a page writes it.
func tidy(text string) string {
	return together(strings.ReplaceAll(words.OneLine(text), " +- ", " ± "))
}

func tidied(list []string) []string {
	var out []string
	for _, text := range list {
		out = append(out, tidy(text))
	}
	return out
}

func gridsOf(id string, list []report.Grid) []grid {
	var out []grid
	for i, g := range list {
		t := grid{ID: fmt.Sprintf("%s-%d", id, i), Heading: tidy(g.Heading), Head: tidied(g.Head)}
		for _, cells := range g.Rows {
			row := gridRow{Name: tidy(cells[0])}
			for _, c := range cells[1:] {
				row.Cells = append(row.Cells, cellOf(c))
			}
			t.Rows = append(t.Rows, row)
		}
		out = append(out, t)
	}
	return out
}

// cellOf parts a cell's figure from the interval or error on the line below it; a line
// that goes on is joined.
func cellOf(text string) gridCell {
	first, below, two := strings.Cut(text, "\n")
	goesOn := strings.HasSuffix(first, " ..") || strings.HasSuffix(first, " in") && strings.HasSuffix(below, " of 100") || first == "under"
	if !two || goesOn {
		return gridCell{Text: tidy(text)}
	}
	return gridCell{tidy(first), tidy(ranged(below))}
}

// about says where the numbers come from, so that they can be made again.
func (m Made) about(f report.Finding) []fact {
	s := f.Scenario
	file := s.File
	if s.Example != "" {
		file = "ready-made example " + s.Example + ": nobody’s car"
	}
	list := []fact{{"scenario", words.OneLine(file)}}
	if s.VariantName != "" {
		list = append(list, fact{"variant", words.OneLine(s.VariantName)})
	}
	return append(list, fact{"scenario SHA-256", s.SHA256}, fact{"command", words.OneLine(m.Command)},
		fact{"seed", strconv.FormatUint(m.Seed, 10)}, fact{"version", words.OneLine(m.Program)})
}
