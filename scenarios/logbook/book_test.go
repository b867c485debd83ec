package logbook

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/internal/bounded"
	"sumpward/scenarios/internal/problem"
)

func read(t *testing.T, text string) *Book {
	t.Helper()
	b, err := Read(strings.NewReader(text), "shop.csv")
	require.NoError(t, err)
	return b
}

func onDay(text string) time.Time {
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return d
}

// An entry with everything in it, by hand.
func full() Entry {
	return Entry{
		Date: onDay("2026-05-09"), Car: "42", Layout: "larger can", Length: 1500, Done: "fitted \"the\" can", Drained: 120e-6, ToppedUp: 0.2e-3, Crankcase: 600, UTube: 0.064,
		Pour: 300e-6, PourTook: 9, OilTemperature: 293.15, ForecastOverflow: 0.05, ForecastChoked: 0.2, VentHose: Yes, Overflowed: No, BackedUp: Yes, Returns: Yes, Note: "=1+1, a; b\nsecond line",
	}
}

func equal(t *testing.T, want, got Entry) {
	t.Helper()
	for _, c := range columns {
		switch {
		case c.date != nil:
			assert.True(t, c.date(&want).Equal(*c.date(&got)), c.name)
		case c.text != nil:
			assert.Equal(t, *c.text(&want), *c.text(&got), c.name)
		case c.mark != nil:
			assert.Equal(t, *c.mark(&want), *c.mark(&got), c.name)
		default:
			a, b := *c.number(&want), *c.number(&got)
			if math.IsNaN(a) || math.IsNaN(b) {
				assert.Equal(t, math.IsNaN(a), math.IsNaN(b), c.name)
				continue
			}
			assert.InDelta(t, a, b, 1e-9*math.Abs(a)+1e-15, c.name)
		}
	}
}

func TestWrittenAndReadAgain(t *testing.T) {
	text, err := With("", "shop.csv", full(), Entry{Date: onDay("2026-05-10"), Car: "7", Length: 900, Drained: math.NaN(), ToppedUp: math.NaN(), Crankcase: math.NaN(), UTube: math.NaN(),
		Pour: math.NaN(), PourTook: math.NaN(), OilTemperature: math.NaN(), ForecastOverflow: math.NaN(), ForecastChoked: math.NaN()})
	require.NoError(t, err)
	assert.Contains(t, text, ",120,0.2,0.6,64,wet,300,9,20,5,20,no,yes,yes,\"'=1+1, a; b")
	b := read(t, text)
	require.Len(t, b.Entries, 2)
	equal(t, full(), b.Entries[0])
	assert.Equal(t, []string{"42", "7"}, b.Cars())
	assert.Equal(t, 900.0, b.Of("7")[0].Length)
	assert.False(t, Written(b.Of("7")[0].Drained))
	assert.Equal(t, 4, b.Entries[1].Line, "the note takes two lines")
}

// As spreadsheets write it: a byte order mark, semicolons, decimal commas, other
// units, another order, columns that aren't ours, short and empty rows.
func TestAsSpreadsheetsWriteIt(t *testing.T) {
	text := "\ufeffCar;Weather;Date;Drained [cc];Topped Up (US qt);Session [h];crankcase full throttle [mbar];U-Tube [in];Vent hose;temperature [F]\r\n" +
		"42;rain;9.5.2026;125,5;0,25;0,5;6;2,5;WET;68\r\n;;;\r\n\r\n7;;2026/5/10;4 US fl oz\r\n"
	b := read(t, text)
	require.Len(t, b.Entries, 2)
	e := b.Entries[0]
	assert.Equal(t, onDay("2026-05-09"), e.Date)
	assert.InDelta(t, 125.5e-6, e.Drained, 1e-12)
	assert.InDelta(t, 0.25*946.352946e-6, e.ToppedUp, 1e-9) // US liquid quart, NIST SP 811, B.8
	assert.InDelta(t, 1800, e.Length, 1e-9)
	assert.InDelta(t, 600, e.Crankcase, 1e-9)
	assert.InDelta(t, 0.0635, e.UTube, 1e-12)
	assert.InDelta(t, 293.15, e.OilTemperature, 1e-9)
	assert.Equal(t, Yes, e.VentHose)
	assert.InDelta(t, 4*29.5735295625e-6, b.Entries[1].Drained, 1e-12) // US fluid ounce, NIST SP 811, B.8
	assert.Equal(t, []string{`columns that are not known are passed over: "Weather"`}, b.Warnings)

	more, err := With(text, "shop.csv", full())
	require.NoError(t, err)
	grown := "\ufeffCar;Weather;Date;Drained [cc];Topped Up (US qt);Session [h];crankcase full throttle [mbar];U-Tube [in];Vent hose;temperature [F];layout;done;"
	assert.True(t, strings.HasPrefix(more, grown), more)
	_, before, _ := strings.Cut(text, "\r\n")
	_, after, _ := strings.Cut(more, "\r\n")
	assert.True(t, strings.HasPrefix(after, before), "what was there stays, byte for byte")
	assert.Contains(t, after[len(before):], "42;;2026-05-09;120;0,21")
	assert.True(t, strings.HasSuffix(more, "\r\n"))
	assert.Equal(t, strings.Count(more, "\n"), strings.Count(more, "\r\n"))
	again := read(t, more)
	require.Len(t, again.Entries, 3)
	equal(t, full(), again.Entries[2])
	equal(t, b.Entries[0], again.Entries[0])
}

// A number is written with the decimal sign that the file has; with a comma between
// semicolons where it shows none.
func TestDecimalSignOfTheFile(t *testing.T) {
	for row, want := range map[string]string{"2026-05-09;42;1.5;\n": ";0.2", "2026-05-09;42;1,5;\n": ";0,2", "2026-05-09;42;1;\n": ";0,2"} {
		text, err := With("date;car;drained [mL];topped up [L]\n"+row, "shop.csv", full())
		require.NoError(t, err)
		assert.Contains(t, text, want+";", row)
		equal(t, full(), read(t, text).Entries[1])
	}
}

func TestAllProblemsAtOnce(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "shop.csv:1: the logbook is empty; its first line names the columns: date,car,layout,session [min],"},
		{"no car", "date,drained [mL]\n2026-05-09,1\n", "shop.csv:1: car: no such column in the header; name one car"},
		{"unit of another kind", "date,car,drained [kPa]\n", "shop.csv:1: drained: "},
		{"twice", "date,car,note,remark\n", "shop.csv:1: note: two columns of that name; rename one"},
		{"rows", "date,car,drained [mL],session [min],vent hose,topped up\n" +
			"5/9/2026,42,1,25,wet,\n2026-05-09,,1,25,damp,\n2026-05-09,42,\"1,200\",0,dry,0.2\n2026-05-09,42,many,25,dry,0.2 kPa,x\n",
			`shop.csv:2: date: not a date (got "5/9/2026"); write year-month-day: 2026-05-09` + "\n" +
				`shop.csv:3: vent hose: not understood (got "damp"); write wet, dry, or nothing` + "\n" +
				`shop.csv:3: car: is missing; write its number or name` + "\n" +
				`shop.csv:4: drained: a comma within a number (got "1,200"); write a decimal point, and no grouping of digits, where commas part the fields` + "\n" +
				`shop.csv:4: session: out of range (got "0 min", allowed 1 s to 100 h)` + "\n" +
				`shop.csv:4: topped up: unit is missing (got "0.2"); name it in the header: topped up [L]` + "\n" +
				`shop.csv:5: drained: `},
		{"decimal sign", "date;car;drained [mL]\n2026-05-09;42;1,5\n2026-05-09;42;1.500\n", `shop.csv:3: drained: the decimal sign changes within the file (got "1.500", the numbers before have ",")`},
		{"quotes", "date,car,note\n2026-05-09,42,\"open\n", "shop.csv:2: quotes that don't match"},
		{"not UTF-8", "date,car\n2026-05-09,\xff\n", "shop.csv:2: not UTF-8 text; save it from the spreadsheet as CSV, UTF-8"},
	} {
		_, err := Read(strings.NewReader(c.text), "shop.csv")
		require.Error(t, err, c.name)
		assert.True(t, strings.HasPrefix(err.Error(), c.want), "%s:\n%v\n%s", c.name, err, c.want)
		_, err = With(c.text, "shop.csv", full())
		assert.Equal(t, c.text == "", err == nil, "%s: a logbook with problems is not added to", c.name)
	}
	var list Problems
	_, err := Read(strings.NewReader("date,car\n"+strings.Repeat("never,42\n", 30)), "shop.csv")
	require.ErrorAs(t, err, &list)
	assert.Len(t, list, problem.Most+1)
	assert.Equal(t, "shop.csv: and 10 more problems", list[problem.Most].Error())
}

// TestQuantitiesByThemselves: of no file, so that no header can say what the unit is.
func TestQuantitiesByThemselves(t *testing.T) {
	for _, c := range []struct{ column, text, want string }{
		{"drained", "60", `unit is missing (got "60"); write it with its unit: 60 mL`},
		{"forecast overflow", "5", `unit is missing (got "5"); write it with its unit: 5 %`},
		{"session", "0.5 s", `out of range (got "0.5 s", allowed 1 s to 100 h)`},
		{"drained", "30.001 L", `out of range (got "30.001 L", allowed 0 L to 30 L)`},
		{"oil temperature", "500 C", `out of range (got "500 C", allowed -30 °C to 150 °C)`},
		{"crankcase full throttle", "-60 kPa", `out of range (got "-60 kPa", allowed -0.5 bar to 0.5 bar)`},
		{"drained", "1,5 L", "a comma within a number"},
	} {
		_, err := ParseQuantity(c.column, c.text)
		assert.ErrorContains(t, err, c.want)
	}
	v, err := ParseQuantity("drained", " 60 mL ")
	require.NoError(t, err)
	assert.InEpsilon(t, 60e-6, v, 1e-12)
}

func TestFormulasAreGuarded(t *testing.T) {
	for _, note := range []string{"=HYPERLINK(\"x\")", "+1", "-1", "@a", "'quoted", "'=x", "''", "plain", "'"} {
		e := full()
		e.Note, e.Car = note, note
		text, err := With("", "shop.csv", e)
		require.NoError(t, err)
		got := read(t, text).Entries[0]
		assert.Equal(t, note, got.Note)
		assert.Equal(t, note, got.Car)
		row := strings.SplitN(text, "\n", 2)[1]
		cell := strings.Split(strings.ReplaceAll(row, `"`, ""), ",")[1]
		assert.NotContains(t, "=+-@", cell[:1], note)
	}
}

func TestAppendsWholeOrNot(t *testing.T) {
	book := filepath.Join(t.TempDir(), "shop.csv")
	e := full()
	require.NoError(t, Append(book, e))
	before, err := os.ReadFile(book)
	require.NoError(t, err)
	require.NoError(t, os.Chmod(book, 0o640))

	e.Car = ""
	e.Drained = 40e-3
	err = Append(book, e)
	assert.ErrorContains(t, err, "car: is missing")
	assert.ErrorContains(t, err, "drained: out of range (got 40 L, allowed 0 L to 30 L)")
	e = full()
	e.PourTook = math.NaN()
	assert.ErrorContains(t, Append(book, e), "the volume poured and the time it took go together")
	after, err := os.ReadFile(book)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))

	link := filepath.Join(filepath.Dir(book), "link.csv")
	require.NoError(t, os.Symlink(book, link))
	require.NoError(t, Append(link, full()))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink, "the link stays")
	info, err = os.Stat(book)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode().Perm())
	b, err := Open(book)
	require.NoError(t, err)
	assert.Len(t, b.Entries, 2)

	files, err := os.ReadDir(filepath.Dir(book))
	require.NoError(t, err)
	assert.Len(t, files, 2, "no half file stays")
	part := filepath.Join(filepath.Dir(book), ".shop.csv.part")
	require.NoError(t, os.WriteFile(part, nil, 0o600))
	defer func(before time.Duration) { patience = before }(patience)
	patience = 50 * time.Millisecond
	assert.ErrorContains(t, Append(book, full()), "another entry is being written, or one was cut short; remove it if nobody is writing")
	assert.FileExists(t, part)
	assert.ErrorContains(t, Append(filepath.Join(t.TempDir(), "no", "shop.csv"), full()), "no such file or directory")
}

// Writers at once: every entry is there.
func TestWritersTakeTurns(t *testing.T) {
	book := filepath.Join(t.TempDir(), "shop.csv")
	var all sync.WaitGroup
	for range 12 {
		all.Add(1)
		go func() {
			defer all.Done()
			assert.NoError(t, Append(book, full()))
		}()
	}
	all.Wait()
	b, err := Open(book)
	require.NoError(t, err)
	assert.Len(t, b.Entries, 12)
}

// FuzzRead: what can be read can be added to, and read again: the same entries and
// the new one.
func FuzzRead(f *testing.F) {
	text, err := With("", "shop.csv", full())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add("date;car;drained [mL]\n2026-05-09;42;1,5\n")
	f.Add("\ufeffdate\tcar\r\n\"2026-05-09\"\t'=1\r\n")
	f.Add("\n\ndate,car,drained\n2026-05-09,42,4 US fl oz")
	f.Add("car,date,\"a \n b\",note (x)\n1,2.1.2026,,\"\"\"\"")
	f.Fuzz(func(t *testing.T, text string) {
		var b *Book
		var err error
		bounded.Do(t, func() { b, err = parse(text, "shop.csv") })
		if err != nil {
			var problems Problems
			if !errors.As(err, &problems) || len(problems) == 0 {
				t.Fatalf("an error without problems: %v", err)
			}
			return
		}
		more, err := With(text, "shop.csv", full())
		if err != nil {
			t.Fatalf("%v", err)
		}
		again, err := parse(more, "shop.csv")
		if err != nil {
			t.Fatalf("%v\n%q", err, more)
		}
		if len(again.Entries) != len(b.Entries)+1 {
			t.Fatalf("%d entries, then %d\n%q", len(b.Entries), len(again.Entries), more)
		}
		for i := range b.Entries {
			equal(t, b.Entries[i], again.Entries[i])
		}
		equal(t, full(), again.Entries[len(b.Entries)])
		fresh, err := With("", "shop.csv", b.Entries...)
		if err != nil {
			return // a pour without its time, say
		}
		for i, e := range read(t, fresh).Entries {
			equal(t, b.Entries[i], e)
		}
	})
}
