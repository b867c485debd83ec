package report

import (
	"bytes"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"

	"sumpward/report/words"
)

// table is a table with a heading. Cells and column heads may have several lines.
type table struct {
	heading string
	head    []string
	rows    [][]string
	words   []int // columns that hold words: set flush left
	whole   int   // of the first so many columns cells are broken last
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// gap is the space between columns.
const gap = 2

// text writes the table, wrapping cells of the widest columns until it fits.
func (t *table) text(b *bytes.Buffer) error {
	if t.heading != "" {
		writeLines(b, wrap(words.Plain(t.heading), Width))
	}
	limits := t.limits(Width)
	cells := func(row []string) []string {
		out := make([]string, len(row))
		for i, c := range row {
			out[i] = strings.Join(wrap(words.Plain(c), limits[i]), "\n")
		}
		return out
	}
	var raw bytes.Buffer
	w := tablewriter.NewTable(&raw,
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Borders: tw.BorderNone,
			Symbols: tw.NewSymbolCustom("plain").WithRow("-").WithColumn("").WithCenter("-").WithMidLeft("-").WithMidRight("-"),
			Settings: tw.Settings{
				Separators: tw.Separators{ShowHeader: tw.Off, BetweenRows: tw.Off, BetweenColumns: tw.Off},
				Lines:      tw.Lines{ShowTop: tw.Off, ShowBottom: tw.Off, ShowHeaderLine: tw.On},
			},
		})),
		tablewriter.WithConfig(t.config(tw.Padding{Left: "", Right: strings.Repeat(" ", gap), Overwrite: true})),
	)
	w.Header(cells(t.head))
	for _, row := range t.rows {
		if err := w.Append(cells(row)); err != nil {
			return err
		}
	}
	if err := w.Render(); err != nil {
		return err
	}
	for line := range strings.Lines(raw.String()) {
		line = strings.TrimRight(line, " \n")
		if rest := strings.Trim(line, "-"); rest == "" && columns(line) > gap {
			line = line[:len(line)-gap] // the rule runs under the last gap too
		}
		b.WriteString(line + "\n")
	}
	return nil
}

func (t *table) markdown(b *bytes.Buffer) error {
	if t.heading != "" {
		b.WriteString(words.EscapeMarkdown(t.heading) + "\n\n")
	}
	head := make([]string, len(t.head))
	for i, c := range t.head {
		head[i] = words.EscapeMarkdown(strings.ReplaceAll(c, "\n", " "))
	}
	cells := func(row []string) []string { // a second line follows in brackets
		out := make([]string, len(row))
		for i, c := range row {
			if first, second, ok := strings.Cut(c, "\n"); ok {
				c = first + " (" + strings.ReplaceAll(second, "\n", " ") + ")"
			}
			out[i] = words.EscapeMarkdown(c)
		}
		return out
	}
	w := tablewriter.NewTable(b,
		tablewriter.WithRenderer(renderer.NewMarkdown()),
		tablewriter.WithConfig(t.config(tw.Padding{Left: " ", Right: " ", Overwrite: true})),
	)
	w.Header(head)
	for _, row := range t.rows {
		if err := w.Append(cells(row)); err != nil {
			return err
		}
	}
	return w.Render()
}

// config sets columns of words left and of numbers right, and leaves texts alone.
func (t *table) config(p tw.Padding) tablewriter.Config {
	align := make([]tw.Align, len(t.head))
	for i := range align {
		align[i] = tw.AlignRight
	}
	for _, i := range t.words {
		align[i] = tw.AlignLeft
	}
	part := tw.CellConfig{
		Formatting: tw.CellFormatting{AutoWrap: tw.WrapNone, AutoFormat: tw.Off},
		Alignment:  tw.CellAlignment{PerColumn: align},
		Padding:    tw.CellPadding{Global: p},
	}
	return tablewriter.Config{Header: part, Row: part, Behavior: tw.Behavior{TrimSpace: tw.Off}}
}

// limits returns the width of each column so that the table fits.
func (t *table) limits(width int) []int {
	limits := make([]int, len(t.head))
	for i := range t.head {
		limits[i] = widest(t.head[i])
		for _, row := range t.rows {
			limits[i] = max(limits[i], widest(row[i]))
		}
	}
	total := gap * (len(limits) - 1)
	for _, l := range limits {
		total += l
	}
	least := t.least()
	for ; total > width; total-- {
		limits[t.widestOf(limits, least)]--
	}
	return limits
}

// least returns how narrow each column may get without a break inside a word
// of its head or a cell that is one word.
func (t *table) least() []int {
	least := make([]int, len(t.head))
	for i := range t.head {
		for word := range strings.FieldsSeq(words.Plain(t.head[i])) {
			least[i] = max(least[i], columns(word))
		}
		for _, row := range t.rows {
			if word := words.Plain(row[i]); !strings.ContainsAny(word, " \n") {
				least[i] = max(least[i], columns(word))
			}
		}
	}
	return least
}

// widestOf returns the column that gives way: the widest of those that are not
// narrow, else the widest that can be broken between words, else the widest.
func (t *table) widestOf(limits, least []int) int {
	const narrow = 16
	widest := func(from int, mayGive func(i int) bool) int {
		most := -1
		for i := from; i < len(limits); i++ {
			if mayGive(i) && (most < 0 || limits[i] > limits[most]) {
				most = i
			}
		}
		return most
	}
	if i := widest(t.whole, func(i int) bool { return limits[i] > narrow }); i >= 0 {
		return i
	}
	if i := widest(0, func(i int) bool { return limits[i] > least[i] }); i >= 0 {
		return i
	}
	return widest(0, func(int) bool { return true })
}

func widest(cell string) int {
	w := 1
	for line := range strings.SplitSeq(words.Plain(cell), "\n") {
		w = max(w, columns(line))
	}
	return w
}
