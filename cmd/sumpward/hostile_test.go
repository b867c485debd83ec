package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim"
	"sumpward/sim/kept"
)

// logName is a log's name with what a shell, a spreadsheet and a page could take for
// its own.
const logName = "=laps;$(x)`&'.csv"

// hostileFolder makes a folder of files whose every text carries what could harm.
func hostileFolder(t *testing.T) string {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("testdata/hostile")))
	require.NoError(t, os.Rename(filepath.Join(dir, "laps.csv"), filepath.Join(dir, logName)))
	return dir
}

// few makes a command quick.
var few = []string{"--realizations", "50", "--workers", "1"}

// priced is a price with what a page could take for its own.
const priced = "@" + short + "=<script>alert(1)</script>\"'><img src=x onerror=alert(1)>\x1b[31m\u202e"

// onHostile are the commands that read a stranger's files, by what they do beside the
// report: 'r' writes a page, 'c' a card, 'p' a picture.
var onHostile = []struct {
	args []string
	also string
	only string // the one format, of those that take long; empty: all
}{
	{slices.Concat([]string{"run", "car.yaml", "--quick"}, few), "rc", ""},
	{slices.Concat([]string{"run", "car.yaml", "--sessions", "15min", "--variant", "@" + short}, few), "", "json"},
	{slices.Concat([]string{"size", "car.yaml", "--volumes", "0.4L..0.8L:2", "--falls", "50mm,100mm", "--bores", "10mm,12mm"}, few), "", ""},
	{slices.Concat([]string{"compare", "car.yaml"}, few), "", ""},
	{slices.Concat([]string{"vary", "car.yaml", "--input", "drain.fall=30mm..130mm:2", "--input", "breathers.-" + short + ".bore=12mm,16mm"}, few), "p", ""},
	{[]string{"validate", "car.yaml"}, "", ""},
	{[]string{"drain-check", "car.yaml"}, "", ""},
	{slices.Concat([]string{"replay", "car.yaml", "--realization", "3", "--workers", "1"}), "p", ""},
	{[]string{"lap", "car.yaml", "--all"}, "p", ""},
	{slices.Concat([]string{"measure", "car.yaml", "--sessions", "15min"}, few), "", "markdown"},
	{[]string{"sensitivity", "car.yaml", "--by", "group", "--realizations", "1000", "--workers", "1"}, "rp", ""},
	{slices.Concat([]string{"choose", "car.yaml", "shelf.yaml", "--sessions", "15min"}, few), "", ""},
	{[]string{"learn", "car.yaml", "seen.yaml", "--realizations", "100", "--workers", "1"}, "rp", ""},
	{[]string{"diagnose", "car.yaml", "seen.yaml", "--realizations", "100", "--workers", "1"}, "r", ""},
	{[]string{"logbook", "list", "--book", "shop.csv"}, "", ""},
	{[]string{"logbook", "score", "--book", "shop.csv"}, "p", ""},
	{[]string{"logbook", "pool", "--book", "shop.csv"}, "", ""},
}

// short is the name of variants and circuits of the hostile scenario, but for their first
// character.
const short = "<b>\"'>`|_[a](b)\x1b[1m\u009b\u202e"

// TestHostileTextStaysText executes every command on files whose texts carry payloads of
// all kinds, in every format, and looks at all that is written.
func TestHostileTextStaysText(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates")
	}
	t.Chdir(hostileFolder(t))
	for i, c := range onHostile {
		for _, format := range []string{"table", "csv", "json", "markdown"} {
			if c.only != "" && c.only != format {
				continue
			}
			args := append(slices.Clone(c.args), "--format", format)
			if format == "table" {
				if c.args[0] == "run" && c.also != "" {
					args = append(args, "--price", priced)
				}
				for _, one := range c.also {
					args = append(args, map[rune][]string{
						'r': {"--report", strconv.Itoa(i) + ".html"}, 'c': {"--card", strconv.Itoa(i) + "-card.html"}, 'p': {"--plot", strconv.Itoa(i) + ".svg"},
					}[one]...)
				}
			}
			t.Run(strings.Join(c.args[:2], " ")+" "+format, func(t *testing.T) {
				out, said, code := executed(t, args...)
				require.Zero(t, code, said)
				steersNothing(t, said)
				steersNothing(t, out)
				harmless[format](t, out)
			})
		}
	}
	pages, err := filepath.Glob("*.html")
	require.NoError(t, err)
	require.Len(t, pages, 5)
	for _, name := range pages {
		t.Run(name, func(t *testing.T) { harmlessPage(t, read(t, name)) })
	}
	pictures, err := filepath.Glob("*.svg")
	require.NoError(t, err)
	require.Len(t, pictures, 6)
	for _, name := range pictures {
		t.Run(name, func(t *testing.T) { harmlessPicture(t, read(t, name)) })
	}
}

// TestHostileTextInErrorsStaysText executes what goes wrong: the messages repeat what was
// written.
func TestHostileTextInErrorsStaysText(t *testing.T) {
	t.Chdir(hostileFolder(t))
	for _, esc := range []string{"\x1b[31m\u009b\u202e\u200b\r\x07", "\u009b31m", "\u202e"} {
		for _, args := range wrongLines(esc) {
			out, said, code := executed(t, args...)
			if args[0] != "help" && len(args) > 2 {
				assert.NotZero(t, code, "%q", args)
			}
			assert.NotEmpty(t, out+said, "%q", args)
			steersNothing(t, out+said)
			assert.Less(t, len(said), 20_000, "%q", args)
		}
	}
}

// wrongLines are command lines that are wrong by a text.
func wrongLines(esc string) [][]string {
	return [][]string{
		{"run", "wrong.yaml"}, {"run", esc + ".yaml"}, {"run", "car.yaml", "--variant", esc}, {"run", "car.yaml", "--" + esc}, {esc}, {"run", "-" + esc},
		{"run", "car.yaml", "--seed", esc}, {"run", "car.yaml", "--format", esc}, {"run", "car.yaml", "--units", esc}, {"run", "car.yaml", "--require", esc},
		{"run", "car.yaml", "--sessions", esc}, {"run", "car.yaml", "--price", esc}, {"run", "car.yaml", "--report", esc}, {"run", "car.yaml", "-o", esc + "/x.csv"},
		{"run", "car.yaml", "extra" + esc}, {"run", "car.yaml", "--shard", esc}, {"run", "car.yaml", "--sampling", esc}, {"run", "car.yaml", "--realizations", esc},
		{"vary", "car.yaml", "--input", esc}, {"vary", "car.yaml", "--input", "drain.fall=" + esc}, {"choose", "car.yaml", "wrong.yaml"}, {"choose", "car.yaml", esc},
		{"learn", "car.yaml", "wrong.yaml"}, {"learn", "car.yaml", "car.yaml"}, {"logbook", "list", "--book", "laps" + esc}, {"logbook", "list", "--book", "car.yaml"},
		{"logbook", "add", "--book", "shop.csv", "--car", "42", "--drained", esc}, {"ask", "--fall", esc, "--no-questions"}, {"ask", "--title", esc, "--no-questions", "--realizations", esc}, {"new", "--from", esc},
		{"new", "--engine", esc, "--use", esc}, {"merge", esc}, {"merge", "car.yaml"}, {"help", esc}, {"logbook", esc}, {"diagnose", "car.yaml", "seen.yaml", "--looked", esc},
		{"diagnose", "car.yaml", "seen.yaml", "--faults", "wrong.yaml"}, {"measure", "car.yaml", "--sheet", esc}, {"replay", "car.yaml", "--every", esc},
	}
}

// TestLongTextsAreCutInErrors gives flags a text as long as may be, and a longer one.
func TestLongTextsAreCutInErrors(t *testing.T) {
	long := strings.Repeat("x", longestArgument-len("drain.fall="))
	for _, args := range [][]string{
		{long}, {"run", "--" + long}, {"run", "--seed", long}, {"run", "--variant", long}, {"run", "--format", long}, {"run", "--sessions", long},
		{"run", "--require", long}, {"vary", "--input", "drain.fall=" + long}, {"vary", "--input", long}, {"run", "--price", long}, {"run", "--shard", long},
		{"ask", "--fall", long, "--no-questions"}, {"new", "--from", long}, {"run", long},
	} {
		_, said, code := executed(t, args...)
		assert.NotZero(t, code)
		assert.Less(t, len(said), 5_000, "%.40q: %.200q", args, said)
	}
	_, said, code := executed(t, "run", strings.Repeat("x", longestArgument+1))
	assert.Equal(t, exitCommandLine, code)
	assert.Contains(t, said, "an argument is too long")
	assert.Less(t, len(said), 500)
}

// TestAPartialResultBringsNoFlagsOfItsOwn merges partial results of a stranger, which name
// a file to write.
func TestAPartialResultBringsNoFlagsOfItsOwn(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("mine.csv", []byte("mine"), 0o600))
	for _, argument := range []string{"--output=mine.csv", "--force=true", "--report=mine.html", "--checkpoint=mine.csv", "--plot=mine.svg", "-omine.csv", "mine.csv", "--quick", "--unheard=1", "--"} {
		content := kept.Content{
			Program: "x", Command: "run", Arguments: []string{argument}, Scenario: kept.Scenario{Name: "sealed-drain"},
			Shard: &kept.Shard{Number: 1, Of: 1}, Realizations: &kept.Realizations{From: 0, To: 100, All: 100},
		}
		part := kept.File{Kind: kept.Part, Content: content, Work: &sim.Work{}}
		data, err := part.Bytes()
		require.NoError(t, err)
		require.NoError(t, os.WriteFile("part.json", data, 0o600))
		_, said, code := executed(t, "merge", "part.json")
		assert.NotZero(t, code, argument)
		assert.Contains(t, said, "an argument that none is written with", argument)
	}
	assert.Equal(t, "mine", read(t, "mine.csv"))
	files, err := os.ReadDir(".")
	require.NoError(t, err)
	assert.Len(t, files, 2)
}

// TestAnAnswerIsReadNoFurtherThanItMayGo reads a line without an end.
func TestAnAnswerIsReadNoFurtherThanItMayGo(t *testing.T) {
	zero, err := os.Open("/dev/zero")
	if err != nil {
		t.Skip("no such device here")
	}
	defer zero.Close()
	_, err = lineFrom(bufio.NewReader(zero))
	assert.ErrorContains(t, err, "too long")
	in := bufio.NewReader(strings.NewReader(strings.Repeat("x", 5000) + "\r\nlast"))
	text, err := lineFrom(in)
	require.NoError(t, err)
	assert.Len(t, text, 5000)
	text, err = lineFrom(in)
	require.NoError(t, err)
	assert.Equal(t, "last", text)
	_, err = lineFrom(in)
	assert.Equal(t, io.EOF, err)
}

// executed runs a command line within the test.
func executed(t *testing.T, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, said bytes.Buffer
	code = (&app{stdout: &out, stderr: &said}).execute(context.Background(), args)
	return out.String(), said.String(), code
}

func read(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}

// steersNothing checks that a terminal shows a text as it is: no character in it moves
// the cursor, colours, turns or hides anything.
func steersNothing(t *testing.T, text string) {
	t.Helper()
	require.True(t, utf8.ValidString(text))
	for i, r := range text {
		if r != '\n' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)) {
			require.Fail(t, "a character that steers", "%U in %q", r, text[max(0, i-80):min(i+20, len(text))])
		}
	}
}

// harmless checks what a format's own reader could take for more than text.
var harmless = map[string]func(t *testing.T, out string){
	"table":    func(*testing.T, string) {},
	"csv":      harmlessCSV,
	"json":     func(t *testing.T, out string) { assert.True(t, json.Valid([]byte(out))) },
	"markdown": harmlessMarkdown,
}

// harmlessCSV checks that no cell is a formula; numbers stay numbers.
func harmlessCSV(t *testing.T, out string) {
	for line := range strings.Lines(out) {
		if strings.HasPrefix(line, "#") {
			assert.NotRegexp(t, `[,;\t] *"*[=+@-]`, line)
		}
	}
	r := csv.NewReader(strings.NewReader(out))
	r.FieldsPerRecord, r.Comment = -1, '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.NotEmpty(t, rows)
	for _, row := range rows {
		for _, cell := range row {
			bare := strings.TrimLeft(cell, " \"\u00a0")
			if bare == "" || !strings.ContainsRune("=+-@\t\r", rune(bare[0])) {
				continue
			}
			if bare == "-inf" {
				continue
			}
			_, err := strconv.ParseFloat(cell, 64)
			assert.NoError(t, err, "a formula: %q", cell)
		}
	}
}

var (
	unescapedTag  = regexp.MustCompile(`<[A-Za-z/!]`)
	markdownLink  = regexp.MustCompile(`(?:^|[^\\])\]\(`)
	unescapedTick = regexp.MustCompile("(?:^|[^\\\\])`")
	unescapedPipe = regexp.MustCompile(`(?:^|[^\\])\|`)
)

// harmlessMarkdown checks that texts bring no tag, link, code or table cell of their own.
func harmlessMarkdown(t *testing.T, out string) {
	columns := 0
	for line := range strings.Lines(out) {
		assert.NotRegexp(t, markdownLink, line)
		assert.NotRegexp(t, unescapedTick, line)
		if rest := strings.ReplaceAll(line, "<br>", ""); unescapedTag.MatchString(rest) {
			assert.Fail(t, "a tag", line)
		}
		if !strings.HasPrefix(line, "|") {
			columns = 0
			assert.NotRegexp(t, unescapedPipe, line)
			continue
		}
		n := len(unescapedPipe.FindAllString(strings.ReplaceAll(line, "||", "| |"), -1))
		if columns == 0 {
			columns = n
		}
		assert.Equal(t, columns, n, line)
	}
}

// ours are the elements and attributes that pages and pictures are made of.
var (
	tag        = regexp.MustCompile(`(?s)<(/?)([A-Za-z][A-Za-z0-9-]*)((?:\s+[A-Za-z_:][-A-Za-z0-9_:.]*(?:\s*=\s*(?:"[^"]*"|'[^']*'))?)*)\s*/?>`)
	attribute  = regexp.MustCompile(`(?s)([A-Za-z_:][-A-Za-z0-9_:.]*)\s*=\s*(?:"([^"]*)"|'([^']*)')`)
	styleBlock = regexp.MustCompile(`(?s)<style[^>]*>.*?</style>`)
	ours       = strings.Fields("html head meta title style body main header footer section article aside nav h1 h2 h3 h4 p ul ol li dl dt dd div span strong em b small table caption thead tbody tfoot tr th td colgroup col " +
		"details summary figure figcaption a br hr abbr time data svg g path rect line circle ellipse polygon polyline text tspan defs marker pattern clipPath use desc")
)

// harmlessPage checks that every "<" of a page begins one of our elements, without
// handlers, scripts or addresses of elsewhere.
func harmlessPage(t *testing.T, page string) {
	require.True(t, utf8.ValidString(page))
	require.Len(t, styleBlock.FindAllString(page, -1), 1, "one style, ours")
	page = styleBlock.ReplaceAllString(page, "")
	page = strings.TrimPrefix(strings.TrimSpace(page), "<!doctype html>")
	page = strings.TrimPrefix(page, "<!DOCTYPE html>")
	for i := range len(page) {
		if page[i] != '<' {
			continue
		}
		at := tag.FindStringSubmatchIndex(page[i:])
		if at == nil || at[0] != 0 {
			assert.Fail(t, "no tag of ours", page[i:min(i+80, len(page))])
			continue
		}
		name := page[i+at[4] : i+at[5]]
		assert.Contains(t, ours, name, page[i:min(i+80, len(page))])
		harmlessAttributes(t, page[i+at[6]:i+at[7]])
	}
	steersNothing(t, page)
}

func harmlessAttributes(t *testing.T, list string) {
	for _, a := range attribute.FindAllStringSubmatch(list, -1) {
		name, value := strings.ToLower(a[1]), a[2]+a[3]
		assert.False(t, strings.HasPrefix(name, "on"), a[0])
		assert.NotContains(t, value, "<", a[0])
		if name == "href" || name == "src" || name == "xlink:href" || name == "action" {
			assert.True(t, strings.HasPrefix(value, "#"), a[0])
		}
		if name == "style" || name == "class" || name == "id" {
			assert.NotContains(t, value, "alert", a[0])
		}
	}
}

// harmlessPicture checks that a picture is well-formed, and holds shapes and texts alone.
func harmlessPicture(t *testing.T, picture string) {
	steersNothing(t, strings.ReplaceAll(picture, "\t", " "))
	d := xml.NewDecoder(strings.NewReader(picture))
	elements := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		start, is := token.(xml.StartElement)
		if !is {
			continue
		}
		elements++
		assert.Contains(t, ours, start.Name.Local)
		for _, a := range start.Attr {
			assert.False(t, strings.HasPrefix(strings.ToLower(a.Name.Local), "on"), a)
			assert.NotContains(t, a.Value, "javascript:")
		}
	}
	assert.Greater(t, elements, 10)
}
