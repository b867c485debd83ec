package report

import (
	"bytes"
	"io"
	"strings"

	"sumpward/report/words"
)

// Document is a report for people: headings, paragraphs, facts, lists and
// tables in their order.
type Document struct{ blocks []block }

type block interface {
	text(b *bytes.Buffer) error
	markdown(b *bytes.Buffer) error
}

// WriteText writes the document for a terminal, no line wider than [Width].
func (d *Document) WriteText(w io.Writer) error {
	return d.write(w, block.text)
}

// WriteMarkdown writes the document as Markdown.
func (d *Document) WriteMarkdown(w io.Writer) error {
	return d.write(w, block.markdown)
}

func (d *Document) write(w io.Writer, as func(block, *bytes.Buffer) error) error {
	var b bytes.Buffer
	for i, part := range d.blocks {
		if i > 0 {
			b.WriteByte('\n')
		}
		if err := as(part, &b); err != nil {
			return err
		}
	}
	_, err := w.Write(b.Bytes())
	return err
}

// title, paragraph, facts, list and table add a block.
func (d *Document) title(text, below string) {
	d.blocks = append(d.blocks, heading{text, below})
}
func (d *Document) paragraph(text string) { d.blocks = append(d.blocks, paragraph(text)) }
func (d *Document) facts(f facts) {
	if len(f) > 0 {
		d.blocks = append(d.blocks, f)
	}
}
func (d *Document) list(heading string, items []string) {
	if len(items) > 0 {
		d.blocks = append(d.blocks, list{heading, items})
	}
}
func (d *Document) table(t *table) { d.blocks = append(d.blocks, t) }

type heading struct{ title, below string }

func (h heading) text(b *bytes.Buffer) error {
	writeLines(b, wrap(words.OneLine(h.title), Width))
	if h.below != "" {
		writeLines(b, wrap(words.OneLine(h.below), Width))
	}
	return nil
}

func (h heading) markdown(b *bytes.Buffer) error {
	b.WriteString("# " + words.EscapeMarkdown(words.OneLine(h.title)) + "\n")
	if h.below != "" {
		b.WriteString("\n" + words.EscapeMarkdown(words.OneLine(h.below)) + "\n")
	}
	return nil
}

type paragraph string

func (p paragraph) text(b *bytes.Buffer) error {
	writeLines(b, wrap(words.Plain(string(p)), Width))
	return nil
}

func (p paragraph) markdown(b *bytes.Buffer) error {
	b.WriteString(words.EscapeMarkdown(string(p)) + "\n")
	return nil
}

// facts are names with what is said of each.
type facts []fact

type fact struct{ name, value string }

func (f *facts) add(name, value string) { *f = append(*f, fact{name, value}) }

func (f facts) text(b *bytes.Buffer) error {
	wide := 0
	for _, x := range f {
		wide = max(wide, columns(x.name))
	}
	for _, x := range f {
		for i, line := range wrap(words.Plain(x.value), Width-wide-2) {
			name := ""
			if i == 0 {
				name = x.name
			}
			b.WriteString(strings.TrimRight(padded(name, wide+2)+line, " ") + "\n")
		}
	}
	return nil
}

func (f facts) markdown(b *bytes.Buffer) error {
	for _, x := range f {
		b.WriteString("- " + words.EscapeMarkdown(x.name) + ": " + words.EscapeMarkdown(words.OneLine(x.value)) + "\n")
	}
	return nil
}

type list struct {
	heading string
	items   []string
}

func (l list) text(b *bytes.Buffer) error {
	if l.heading != "" {
		writeLines(b, wrap(words.Plain(l.heading), Width))
	}
	for _, item := range l.items {
		for i, line := range wrap(words.OneLine(item), Width-2) {
			lead := "  "
			if i == 0 {
				lead = "* "
			}
			b.WriteString(lead + line + "\n")
		}
	}
	return nil
}

func (l list) markdown(b *bytes.Buffer) error {
	if l.heading != "" {
		b.WriteString(words.EscapeMarkdown(l.heading) + "\n\n")
	}
	for _, item := range l.items {
		b.WriteString("- " + words.EscapeMarkdown(words.OneLine(item)) + "\n")
	}
	return nil
}

func writeLines(b *bytes.Buffer, lines []string) {
	for _, l := range lines {
		b.WriteString(l + "\n")
	}
}

// padded fills a text up with spaces.
func padded(text string, width int) string {
	return text + strings.Repeat(" ", max(0, width-columns(text)))
}
