package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// Compare is the report on several layouts on the same draws.
type Compare struct {
	Comparison *decide.Comparison
	Units      units.System
}

// Document is the report for people.
func (r Compare) Document() *Document {
	c := r.Comparison
	d := &Document{}
	if r.oneFile() {
		d.title(r.scenario(0).Title, fmt.Sprintf("%d layouts, each on the same draws", len(c.Layouts)))
	} else {
		d.title(fmt.Sprintf("Comparison of %d layouts", len(c.Layouts)), "each on the same draws")
	}
	d.table(r.layouts())
	d.table(r.chances())
	if len(c.Sessions) > 1 {
		d.table(r.bySession())
	}
	d.table(r.differences())
	d.list("What can't be told, and what would tell it", r.untold())
	d.list(r.beforeFitting())
	d.facts(facts{{"sampling", r.sampling()}})
	for _, text := range r.verdict() {
		d.paragraph(text)
	}
	d.list("", append([]string{RestsOn(r.scenario(0))}, Cautions...))
	return d
}

func (r Compare) scenario(layout int) *scenarios.Scenario {
	return r.Comparison.Results[layout].Scenario
}

// name is a layout's name, safe for a terminal.
func (r Compare) name(layout int) string { return words.OneLine(r.Comparison.Layouts[layout].Name) }

// oneFile reports whether all layouts come from the same file.
func (r Compare) oneFile() bool {
	for i := range r.Comparison.Layouts {
		if r.scenario(i).SHA256 != r.scenario(0).SHA256 {
			return false
		}
	}
	return true
}

// last is the index of the longest session length, length what it is in words.
func (r Compare) last() int      { return len(r.Comparison.Sessions) - 1 }
func (r Compare) length() string { return words.Length(r.Comparison.Sessions[r.last()], r.Units) }

// chance returns one of a layout's chances (see [words.SessionChances]).
func (r Compare) chance(layout, session, event int) words.Chance {
	res := r.Comparison.Results[layout]
	return words.SessionChances(res, &res.Sessions[session])[event]
}

// chances is the table of the layouts at the longest session.
func (r Compare) chances() *table {
	t := &table{
		heading: fmt.Sprintf("Chance within %s, and its 95 %% interval from sampling alone", r.length()),
		head:    []string{"layout", "overflow\n(gets past)", "drain choked\n(backs up)", "limit of\nrisk"},
		words:   []int{0, 3},
	}
	for i := range r.Comparison.Layouts {
		row := []string{r.name(i)}
		for _, event := range []int{words.Overflow, words.DrainChoked} {
			row = append(row, r.chance(i, r.last(), event).Cell())
		}
		if !r.isOption(i) {
			t.add(append(row, words.None)...)
			continue
		}
		t.add(append(row, r.standing(i).Text())...)
	}
	return t
}

// standing says how a layout stands to its limit of risk at the longest session.
func (r Compare) standing(layout int) words.Standing {
	return words.SessionStanding(r.Comparison.Results[layout], r.last(), r.scenario(layout).Limits.Risk.Nominal())
}

// bySession is the table of the chance of failing by session length.
func (r Compare) bySession() *table {
	t := &table{heading: "Chance of overflow or a choked drain, by session length", head: []string{"layout"}, words: []int{0}}
	for _, s := range r.Comparison.Sessions {
		t.head = append(t.head, words.Length(s, r.Units))
	}
	for i := range r.Comparison.Layouts {
		row := []string{r.name(i)}
		for s := range r.Comparison.Sessions {
			row = append(row, r.chance(i, s, 4).Text())
		}
		t.add(row...)
	}
	return t
}

// compared is one thing that two layouts are compared in.
type compared struct {
	head, name string
	of         func(p decide.Pair) difference
}

// difference is a paired difference, in the unit that it is shown in.
type difference struct {
	value, low, high float64
	toTell           float64
	none             bool // no difference in any realization
}

func (d difference) tells() bool { return d.low > 0 || d.high < 0 }

func pointsOf(d stats.PairedDifference) difference {
	return difference{100 * d.Difference, 100 * d.Low, 100 * d.High, d.TrialsToTell, d.OnlyFirst == 0 && d.OnlySecond == 0}
}

func meanOf(d stats.MeanDifference, u units.Unit) difference {
	return difference{u.FromSI(d.Difference), u.FromSI(d.Low), u.FromSI(d.High), d.TrialsToTell, d.Difference == 0 && d.Low == 0 && d.High == 0}
}

// compared lists what the layouts are compared in, at the longest session.
func (r Compare) compared() []compared {
	kPa, oil := units.DisplayUnit(units.Pressure, r.Units), words.SmallVolumes(r.Units).Unit
	session := func(p decide.Pair) decide.PairedSession { return p.Sessions[r.last()] }
	return []compared{
		{"overflow\npoints", "overflow", func(p decide.Pair) difference { return pointsOf(session(p).Overflow) }},
		{"drain choked\npoints", "choked drain", func(p decide.Pair) difference { return pointsOf(session(p).DrainChoked) }},
		{"crankcase\n" + kPa.Symbol, "crankcase pressure", func(p decide.Pair) difference { return meanOf(p.Pressure, kPa) }},
		{"oil to " + r.oilTo() + "\n" + oil.Symbol, "oil to " + r.oilTo(), func(p decide.Pair) difference { return meanOf(session(p).OilToIntake, oil) }},
	}
}

// oilTo says where the oil goes that no can caught.
func (r Compare) oilTo() string {
	to := map[scenarios.Destination]bool{}
	for i := range r.Comparison.Layouts {
		to[r.scenario(i).Separator.Outlet.To] = true
	}
	switch {
	case to[scenarios.ToAir] && to[scenarios.ToIntake]:
		return "intake or air"
	case to[scenarios.ToAir]:
		return "air"
	}
	return "intake"
}

// differences is the table of what sets each layout apart from the first.
func (r Compare) differences() *table {
	t := &table{
		heading: fmt.Sprintf("More (+) or less (-) than %s within %s, and its 95 %% interval: chances in percentage points; mean highest crankcase pressure; mean oil",
			r.quoted(0), r.length()),
		head: []string{"layout"}, words: []int{0},
	}
	list := r.compared()
	for _, x := range list {
		t.head = append(t.head, x.head)
	}
	for i := 1; i < len(r.Comparison.Layouts); i++ {
		p := r.Comparison.Pair(0, i)
		row := []string{r.name(i)}
		for _, x := range list {
			row = append(row, x.of(p).cell())
		}
		t.add(row...)
	}
	return t
}

// cell writes a difference with its interval.
func (d difference) cell() string {
	switch {
	case d.unbounded():
		return "can't tell\ntoo few"
	case d.none && d.low == 0 && d.high == 0:
		return "none seen"
	case d.none:
		return "none seen\n" + d.interval()
	case !d.tells():
		return "can't tell\n" + d.interval()
	}
	return withSign(d.value, d.halfWidth()) + "\n" + d.interval()
}

// unbounded reports whether there are too few realizations for an interval.
func (d difference) unbounded() bool { return math.IsInf(d.low, 0) || math.IsInf(d.high, 0) }

func (d difference) halfWidth() float64 { return (d.high - d.low) / 2 }

func (d difference) interval() string {
	return withSign(d.low, d.halfWidth()) + " .. " + withSign(d.high, d.halfWidth())
}

// withSign writes a number with its sign, and with as many decimals as show one or
// two digits of a half-width.
func withSign(v, halfWidth float64) string {
	text := precisely(v, halfWidth)
	if v > 0 && strings.Trim(text, "0.") != "" {
		return "+" + text
	}
	return text
}

func precisely(v, halfWidth float64) string {
	const most = 6
	decimals := 0
	if halfWidth > 0 {
		decimals = int(math.Ceil(-math.Log10(halfWidth) + 0.3))
	}
	decimals = min(max(decimals, 0), most)
	if words.Round(v, decimals) == 0 {
		v = 0 // no minus before a rounded zero
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

// quoted is a layout's name as it stands in a sentence.
func (r Compare) quoted(layout int) string { return "\"" + r.name(layout) + "\"" }

func (r Compare) sampling() string {
	res := r.Comparison.Results[0]
	text := fmt.Sprintf("%s realizations of each layout, %s, seed %d", words.Grouped(int64(r.Comparison.Realizations)), words.Design(res.Sampling), res.Seed)
	widest := 0.0
	for _, res := range r.Comparison.Results {
		widest = math.Max(widest, res.Reached)
	}
	text += fmt.Sprintf("; widest interval of a chance ± %s %%", words.Percent(widest, widest/10))
	if res.Wanted > 0 && widest > res.Wanted {
		text += fmt.Sprintf(" (wanted ± %s %%)", words.Percent(res.Wanted, res.Wanted/10))
	}
	return text
}
