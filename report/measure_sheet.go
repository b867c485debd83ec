package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// MeasureSheets are the sheets of tests, to fill in.
type MeasureSheets struct {
	Scenario *scenarios.Scenario
	Tests    []decide.Test
	Units    units.System
}

// blank is room to write in.
const blank = "________"

func filled(text string) string { return strings.ReplaceAll(text, "___", blank) }

// Document is the sheets for people.
func (r MeasureSheets) Document() *Document {
	d := &Document{}
	for i, t := range r.Tests {
		if i > 0 {
			d.blocks = append(d.blocks, pageEnd{})
		}
		r.sheet(d, t)
	}
	return d
}

// sheet adds the sheet of one test: safety ahead of what to do.
func (r MeasureSheets) sheet(d *Document, t decide.Test) {
	d.title(t.Title, r.Scenario.Title)
	var f facts
	f.add("test", fmt.Sprintf("%s, about %.0f min", t.Name, t.Minutes))
	f.add("where", t.Where)
	f.add("needs", strings.Join(t.Needs, "; "))
	for _, x := range t.Readings {
		if tells := r.tells(x); tells != "" {
			f.add("tells of", tells+", to "+readingError(x, r.Units)+" ("+x.Source+")")
		}
	}
	f.add("car, date, by", filled("___ ___ ___"))
	d.facts(f)
	d.list("Safety first", t.Safety)
	d.blocks = append(d.blocks, numbered(t.Steps))
	var record []string
	for _, line := range t.Record {
		record = append(record, filled(line))
	}
	d.list("Read", record)
	if lines := r.write(t); len(lines) > 0 {
		d.paragraph("Then write into the scenario, with what was read for the blanks:")
		d.blocks = append(d.blocks, verbatim(lines))
	}
}

// tells names the inputs of the scenario that a reading tells of.
func (r MeasureSheets) tells(x decide.Reading) string {
	var names []string
	for _, q := range r.Scenario.Inputs {
		if x.Tells(q.Path) && !q.IsExact() {
			names = append(names, words.InputName(q.Path))
		}
	}
	if len(names) > 0 && x.Of != "" {
		return x.Of
	}
	return strings.Join(names, ", ")
}

// write lists the lines of the scenario that the test puts in, block by block.
func (r MeasureSheets) write(t decide.Test) []string {
	var lines, open []string
	for _, w := range t.WritesFor(r.Scenario) {
		parts := strings.Split(w.Path, ".")
		if parts[0] == "breathers" { // an element of a list, by its name
			parts = []string{"breathers", "- name: " + parts[1] + "   # its line", parts[2]}
		}
		last := len(parts) - 1
		same := 0
		for same < min(len(open), last) && open[same] == parts[same] {
			same++
		}
		for i := same; i < last; i++ {
			key := parts[i]
			if !strings.HasPrefix(key, "- ") {
				key += ":"
			}
			lines = append(lines, strings.Repeat("  ", i)+key)
		}
		open = parts[:last]
		lines = append(lines, strings.Repeat("  ", last)+parts[last]+": "+filled(w.Value))
	}
	return lines
}

// verbatim is lines that stay as they are.
type verbatim []string

func (v verbatim) text(b *bytes.Buffer) error {
	for _, line := range v {
		b.WriteString("    " + strings.ReplaceAll(words.Plain(line), "\n", " ") + "\n")
	}
	return nil
}

// markdown indents by four spaces, which makes them code whatever is in them.
func (v verbatim) markdown(b *bytes.Buffer) error { return v.text(b) }

// numbered is what is done in order.
type numbered []string

func (n numbered) text(b *bytes.Buffer) error {
	for i, item := range n {
		lead := fmt.Sprintf("%d. ", i+1)
		for j, line := range wrap(words.OneLine(item), Width-len(lead)) {
			if j > 0 {
				lead = strings.Repeat(" ", len(lead))
			}
			b.WriteString(lead + line + "\n")
		}
	}
	return nil
}

func (n numbered) markdown(b *bytes.Buffer) error {
	for i, item := range n {
		fmt.Fprintf(b, "%d. %s\n", i+1, words.EscapeMarkdown(words.OneLine(item)))
	}
	return nil
}

// pageEnd sets one sheet apart from the next.
type pageEnd struct{}

func (pageEnd) text(b *bytes.Buffer) error {
	b.WriteString(strings.Repeat("=", Width) + "\n")
	return nil
}

func (pageEnd) markdown(b *bytes.Buffer) error {
	b.WriteString("---\n")
	return nil
}

// WriteCSV writes one row for each line of a sheet.
func (r MeasureSheets) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"test", "part", "text"}}
	for _, t := range r.Tests {
		for _, part := range sheetParts(r, t) {
			for _, line := range part.lines {
				s.add(t.Name, part.name, line)
			}
		}
	}
	return s.write(w)
}

type sheetPart struct {
	name  string
	lines []string
}

func sheetParts(r MeasureSheets, t decide.Test) []sheetPart {
	return []sheetPart{
		{"title", []string{t.Title}}, {"where", []string{t.Where}}, {"needs", t.Needs}, {"safety", t.Safety},
		{"step", t.Steps}, {"read", t.Record}, {"write", r.written(t)},
	}
}

func (r MeasureSheets) written(t decide.Test) []string {
	list := []string{}
	for _, w := range t.WritesFor(r.Scenario) {
		list = append(list, w.Path+": "+w.Value)
	}
	return list
}

type sheetJSON struct {
	Test    string   `json:"test"`
	Title   string   `json:"title"`
	Where   string   `json:"where"`
	Minutes number   `json:"minutes"`
	Needs   []string `json:"needs"`
	Safety  []string `json:"safety"`
	Steps   []string `json:"steps"`
	Read    []string `json:"read"`
	Write   []string `json:"write"`
}

// WriteJSON writes the sheets for programs.
func (r MeasureSheets) WriteJSON(w io.Writer) error {
	out := struct {
		Format   string       `json:"format"`
		Version  int          `json:"version"`
		Scenario scenarioJSON `json:"scenario"`
		Sheets   []sheetJSON  `json:"sheets"`
		Cautions []string     `json:"cautions"`
	}{"sumpward/measure-sheets", 1, scenarioOf(r.Scenario), []sheetJSON{}, Cautions}
	for _, t := range r.Tests {
		out.Sheets = append(out.Sheets, sheetJSON{t.Name, t.Title, t.Where, number(t.Minutes), t.Needs, t.Safety, t.Steps, t.Record, r.written(t)})
	}
	return writeJSON(w, out)
}
