package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// heatMap is a sizing table for people: chances over two axes, told apart by number,
// tick and border first, by colour last.
type heatMap struct {
	Caption, Rows, Columns string
	Head                   []heatHead
	Body                   []heatRow
}

type heatHead struct {
	Text    string
	Written bool // what the scenario has
}

type heatRow struct {
	heatHead
	Cells []heatCell
}

type heatCell struct {
	Mark, Chance, Interval, Class string
}

// heatSteps are the chances from which a cell takes the next shade.
var heatSteps = []float64{0.001, 0.01, 0.03, 0.1, 0.3}

func shade(p float64) int {
	for i, s := range heatSteps {
		if p < s {
			return i
		}
	}
	return len(heatSteps)
}

func (v *view) heatMaps() []heatMap {
	z := v.page.Sizing
	if z == nil {
		return nil
	}
	var list []heatMap
	for _, t := range []*decide.Table{z.Volumes, z.Drains} {
		if t != nil && len(t.Cells) > 0 {
			list = append(list, v.heatMap(t, z.Risk))
		}
	}
	return list
}

func (v *view) heatMap(t *decide.Table, risk float64) heatMap {
	m := heatMap{Rows: axisName(t.Rows), Columns: axisName(t.Columns)}
	m.Caption = words.Sentence(fmt.Sprintf("%s by %s and %s", v.failing("chance that "), m.Rows, m.Columns))
	if t.Session > 0 {
		m.Caption += ", " + words.Length(t.Session, v.page.Units) + " sessions"
	}
	for _, x := range t.Columns.Values {
		m.Head = append(m.Head, v.heatHead(t.Columns, x))
	}
	for i, y := range t.Rows.Values {
		row := heatRow{heatHead: v.heatHead(t.Rows, y)}
		for _, c := range t.Cells[i] {
			row.Cells = append(row.Cells, heatCellOf(c, risk))
		}
		m.Body = append(m.Body, row)
	}
	return m
}

// axisName is what an axis of a sizing table is called.
func axisName(a decide.Axis) string {
	switch a.Path {
	case "sessions":
		return "session length"
	case decide.VolumePath:
		return "usable volume"
	case decide.FallPath:
		return "fall"
	case decide.BorePath:
		return "bore"
	}
	return words.OneLine(a.Path)
}

func (v *view) heatHead(a decide.Axis, value float64) heatHead {
	h := heatHead{Text: words.Show(value, a.Dimension, v.page.Units)}
	if a.Path == "sessions" {
		h.Text = words.Length(value, v.page.Units)
	}
	if q := v.page.Sizing.Scenario.Input(a.Path); q != nil {
		h.Written = math.Abs(q.Nominal()-value) <= 1e-6*math.Abs(value)
	}
	return h
}

func heatCellOf(c decide.Cell, risk float64) heatCell {
	if c.Problem != "" {
		return heatCell{Chance: "can’t be", Interval: words.OneLine(c.Problem), Class: "h0"}
	}
	chance := words.Chance{Estimate: c.Fails, Events: c.Events, Of: c.Realizations}
	cell := heatCell{Chance: chance.Text(), Interval: ranged(chance.Interval()), Class: fmt.Sprintf("h%d", shade(c.Fails.Probability))}
	switch standingOf(chance, risk) {
	case within:
		cell.Mark, cell.Class = "✓ ", cell.Class+" does"
	case unclear:
		cell.Mark = "? "
	}
	return cell
}

// thresholds says in words what the smallest can and the least fall are.
func (v *view) thresholds() []string {
	z := v.page.Sizing
	if z == nil {
		return nil
	}
	var list []string
	for _, t := range z.Volume {
		list = append(list, v.threshold(t, "usable volume", units.Volume, z.LargestCan))
	}
	for _, t := range z.Fall {
		list = append(list, v.threshold(t, "fall", units.Length, z.LongestFall))
	}
	return append(list, v.notJudgedBy()...)
}

func (v *view) threshold(t decide.Threshold, what string, d units.Dimension, at *sim.Result) string {
	show := func(si float64) string { return words.Show(si, d, v.page.Units) }
	session := words.Length(t.Session, v.page.Units)
	extreme := map[string]string{"usable volume": "largest", "fall": "longest"}[what]
	switch {
	case !t.Found:
		text := fmt.Sprintf("%s: no %s up to %s does", session, what, show(t.To))
		if c, known := chanceAt(at, t.Session); known {
			text += fmt.Sprintf(" (chance with the %s: %s, %s)", extreme, c.Text(), ranged(c.Interval()))
		}
		return text + "."
	case math.IsInf(t.High, 1):
		return fmt.Sprintf("%s: from a %s of %s on it may do; up to %s none does for sure.", session, what, show(t.Value), show(t.To))
	case t.Least && t.High <= t.From:
		return fmt.Sprintf("%s: the smallest %s looked at, %s, does.", session, what, show(t.From))
	}
	return fmt.Sprintf("%s: a %s of %s (%s to %s) is the least that does; taken as %s.",
		session, what, show(t.Value), show(t.Low), show(t.High), show(t.Buy))
}

// chanceAt returns the chance of failing within a session of a result.
func chanceAt(res *sim.Result, session float64) (c words.Chance, known bool) {
	if res == nil {
		return c, false
	}
	for i := range res.Sessions {
		if res.Sessions[i].Length == session {
			return words.SessionChances(res, &res.Sessions[i])[words.Fails], true
		}
	}
	return c, false
}

// sizingRemarks says where no can helps, or no fall, in the longest session, and what
// the sizes that do were not judged by.
func (v *view) sizingRemarks() []string {
	z := v.page.Sizing
	if z == nil || len(z.Volume) == 0 || v.Options[0].Stand == within {
		return nil
	}
	return append(v.sizes(z), v.notJudgedBy()...)
}

// settled reports whether there is a size to recommend for the longest session.
func settled(list []decide.Threshold) bool {
	return len(list) > 0 && list[len(list)-1].Found && !math.IsInf(list[len(list)-1].High, 1)
}

// notJudgedBy says where crankcase pressure or the oil lost breaks the limit, or may, in
// the longest session with a size that is recommended: sizes are looked for by backing
// up and getting past alone.
func (v *view) notJudgedBy() []string {
	z := v.page.Sizing
	var list []string
	for _, x := range []struct {
		what      string
		dimension units.Dimension
		sizes     []decide.Threshold
		taken     *sim.Result
	}{{"a can", units.Volume, z.Volume, z.TakenCan}, {"a fall", units.Length, z.Fall, z.TakenFall}} {
		if !settled(x.sizes) {
			continue
		}
		res, with := x.taken, fmt.Sprintf("with %s of %s", x.what, words.Show(x.sizes[len(x.sizes)-1].Buy, x.dimension, v.page.Units))
		if res == nil {
			res, with = v.page.Result, "with the layout as it is"
		}
		text := v.breaksBeside(res)
		if text != "" {
			text = fmt.Sprintf("Sizes are judged by %s alone: %s %s.", v.failingInShort(), with, text)
		}
		if text != "" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	return list
}

// failingInShort names what sizes are judged by.
func (v *view) failingInShort() string {
	if v.drains() {
		return "backing up and getting past"
	}
	return "getting past"
}

// breaksBeside says what else breaks the limit, or may, in the longest session.
func (v *view) breaksBeside(res *sim.Result) string {
	last := len(res.Sessions) - 1
	chances := words.SessionChances(res, &res.Sessions[last])
	beyondIt := [...]string{unclear: "which may be beyond the limit", beyond: "beyond the limit"}
	var parts []string
	for _, x := range []struct {
		chance int
		what   string
	}{{words.OverPressure, "crankcase pressure goes over its own limit"}, {words.OilLost, "too much oil is lost"}} {
		c := chances[x.chance]
		if s := standingOf(c, v.limit()); s == beyond || s == unclear && c.Events > 0 {
			parts = append(parts, fmt.Sprintf("%s in %s, %s", x.what, c.Count(words.Denominator(v.limit(), c)), beyondIt[s]))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, ", and ") + ", in " + words.Length(res.Sessions[last].Length, v.page.Units)
}

// limitInWords writes a limit as a count out of 100, or of more where it is finer.
func limitInWords(limit float64) string {
	of := 100.0
	for limit*of < 1 && of < 1e6 {
		of *= 10
	}
	return countOfLimit(limit, of)
}

// sizes says which can does, or which fall, in the longest session.
func (v *view) sizes(z *decide.Sizing) []string {
	can := z.Volume[len(z.Volume)-1]
	session := words.Length(can.Session, v.page.Units)
	volume := func(si float64) string { return words.Show(si, units.Volume, v.page.Units) }
	if len(z.Fall) == 0 {
		if !can.Found {
			return []string{fmt.Sprintf("No can up to %s does for %s without a drain.", volume(can.To), session)}
		}
		if math.IsInf(can.High, 1) {
			return nil
		}
		return []string{fmt.Sprintf("So that oil gets past in no more than %s sessions of %s, the can would have to hold %s.", limitInWords(z.Risk), session, volume(can.Buy))}
	}
	fall := z.Fall[len(z.Fall)-1]
	length := func(si float64) string { return words.Show(si, units.Length, v.page.Units) }
	var more []string
	switch {
	case !can.Found && fall.Found && !math.IsInf(fall.High, 1):
		return []string{fmt.Sprintf("No can up to %s does for %s: the drain is the trouble. A fall of %s does, with the can as it is.",
			volume(can.To), session, length(fall.Buy))}
	case !can.Found && !fall.Found && v.page.Result.Kind == sim.Unsealed:
		return []string{fmt.Sprintf("Neither a larger can (up to %s) nor more fall (up to %s) does for %s: gas that goes up the open drain holds the oil up.",
			volume(can.To), length(fall.To), session)}
	case !can.Found && !fall.Found:
		return []string{fmt.Sprintf("Neither a larger can (up to %s) nor more fall (up to %s) alone does for %s.", volume(can.To), length(fall.To), session)}
	case can.Found && !fall.Found && v.page.Result.Kind == sim.Unsealed:
		more = append(more, fmt.Sprintf("No fall up to %s does for %s: gas that goes up the open drain holds the oil up.", length(fall.To), session))
	case can.Found && !fall.Found:
		more = append(more, fmt.Sprintf("No fall up to %s does for %s: the can is the trouble.", length(fall.To), session))
	case !can.Found:
		return []string{fmt.Sprintf("No can up to %s does for %s: the drain is the trouble.", volume(can.To), session)}
	}
	if can.Found && !math.IsInf(can.High, 1) {
		more = append(more, fmt.Sprintf("A can of %s does for %s, with the drain as it is.", volume(can.Buy), session))
	}
	if fall.Found && !math.IsInf(fall.High, 1) {
		more = append(more, fmt.Sprintf("A fall of %s does for %s, with the can as it is.", length(fall.Buy), session))
	}
	return more
}
