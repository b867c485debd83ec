package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// asItIs is what the page calls a file's own layout.
const asItIs = "as it is"

// mostOptions is how many options the first page has room for.
const mostOptions = 5

// option is one layout in the table of options, at the longest session.
type option struct {
	Letter, Name, What string
	Past, BacksUp      string     // counts
	Chance, Interval   string     // of the one or the other
	Against            difference // from the layout that the page is about
	Price              string
	Stand              standing
	Short              string // how it stands, in a word or two
	Why                string // it breaks the limit, where that is neither backing up nor getting past
	Bar                template.HTML

	subject bool // the layout that the page is about
	index   int  // in the comparison
	result  *sim.Result
}

// options lists the layouts, and apart those that the first page has no room for.
func (v *view) options() (list, further []option) {
	c := v.page.Options
	if c == nil || len(c.Layouts) == 0 {
		return []option{v.option(0, nil)}, nil
	}
	for i := range c.Layouts {
		list = append(list, v.option(i, c))
	}
	return list[:min(mostOptions, len(list))], list[min(mostOptions, len(list)):]
}

func nameOf(layout string) string {
	if layout == decide.AsWritten {
		return asItIs
	}
	return words.OneLine(layout)
}

func (v *view) option(index int, c *decide.Comparison) option {
	o := option{Letter: string(rune('A' + index)), index: index, subject: index == 0}
	res, s := v.page.Result, v.scenario()
	name := s.VariantName
	if name == "" {
		name = decide.AsWritten
	}
	if c != nil {
		o.result, name, s = c.Results[index], c.Layouts[index].Name, c.Layouts[index].Model.Scenario()
	}
	o.Name, o.Price = nameOf(name), v.price(name)
	o.What = v.inShort(s)
	if index > 0 {
		o.What = v.setsApart(s)
	}
	if o.result != nil { // all rows, and what sets them apart, from the same draws
		res = o.result
	}
	last := len(res.Sessions) - 1
	chances := words.SessionChances(res, &res.Sessions[last])
	o.Past, o.BacksUp = countOf100(chances[words.Overflow]), countOf100(chances[words.DrainChoked])
	o.Chance, o.Interval = chances[words.Fails].Text(), ranged(chances[words.Fails].Interval())
	o.Bar = bar(chances[words.Fails].Estimate, v.limit())
	if o.subject { // as the answer has it, from the sessions of the run
		res = v.page.Result
	}
	last = len(res.Sessions) - 1
	o.Stand = sessionStanding(res, last, v.limit())
	o.Short = o.Stand.Short()
	o.Why = why(res, last, v.limit())
	if o.subject && v.depends() {
		o.Stand, o.Why, o.Short = unclear, "", "depends"
	}
	if !o.subject && v.roadReading() {
		o.Stand, o.Short = unclear, "as drawn, "+o.Short
	}
	if !o.subject {
		o.Against = against(pairAt(c, index).Fails)
	}
	return o
}

// countOf100 is a count out of a hundred, as the table's head says.
func countOf100(c words.Chance) string {
	if c.Impossible {
		return "cannot occur"
	}
	text := strings.TrimPrefix(strings.TrimSuffix(c.Count(100), " of 100"), "about ")
	return strings.Replace(text, " of ", "\u00a0of ", 1)
}

// ranged writes ".." between two numbers as a word.
func ranged(text string) string { return strings.ReplaceAll(text, " .. ", " to ") }

// price is what the caller knows of a layout's price.
func (v *view) price(name string) string {
	for _, n := range []string{name, nameOf(name)} {
		if p, known := v.page.Prices[n]; known {
			return together(words.OneLine(p))
		}
	}
	return ""
}

// pairAt returns how a layout differs from the first one at the longest session.
func pairAt(c *decide.Comparison, index int) decide.PairedSession {
	sessions := c.Pair(0, index).Sessions
	if len(sessions) == 0 {
		return decide.PairedSession{}
	}
	return sessions[len(sessions)-1]
}

// difference is how many more or fewer of 100 sessions fail, and its interval.
type difference struct{ Text, Interval string }

// against says how far a chance is from that of option A, in sessions of 100.
func against(d stats.PairedDifference) difference {
	low, high := d.Low, d.High
	switch {
	case !d.Tells():
		return difference{"can’t tell", fmt.Sprintf("%s to %s", points(low, d), points(high, d))}
	case d.High < 0:
		return difference{points(-d.Difference, d) + " fewer", fmt.Sprintf("%s to %s", points(-high, d), points(-low, d))}
	}
	return difference{points(d.Difference, d) + " more", fmt.Sprintf("%s to %s", points(low, d), points(high, d))}
}

// points writes a difference of chances in sessions of 100, as finely as its interval is worth.
func points(v float64, d stats.PairedDifference) string {
	text := strings.Replace(words.Percent(v, (d.High-d.Low)/2), "-", "−", 1)
	if v > 0 && d.Low < 0 && d.High > 0 {
		return "+" + text
	}
	return text
}

// bar draws a chance from 0 to 100 % with its interval and the limit. The numbers
// stand beside it.
func bar(e stats.Estimate, limit float64) template.HTML {
	x := func(v float64) string { return coordinate(200 * number(v, 0)) }
	return template.HTML(fmt.Sprintf(`<svg class="bar" viewBox="0 0 200 10" preserveAspectRatio="none" aria-hidden="true">`+
		`<rect class="ground" width="200" height="10"/><rect class="span" width="%s" height="10"/>`+
		`<path class="whisker" d="M%s 5H%s"/><path class="limit" d="M%s 0V10"/></svg>`,
		coordinate(math.Max(200*number(e.Probability, 0), 0)), x(e.Low), x(e.High), x(limit)))
}

// change says what sets an option apart from the layout that the page is about.
type change int

const (
	anotherChange change = iota
	largerCan            // and nothing else that carries oil
	lowerReturn
)

func changeOf(from, to *scenarios.Scenario) change {
	more := to.Separator.UsableVolume.Nominal() > 1.01*from.Separator.UsableVolume.Nominal()
	sameCan := math.Abs(to.Separator.UsableVolume.Nominal()/from.Separator.UsableVolume.Nominal()-1) < 0.01
	deeper := decide.NominalFall(to) > decide.NominalFall(from)+1e-3
	sameFall := math.Abs(decide.NominalFall(to)-decide.NominalFall(from)) < 1e-3 || from.Drain.Return == scenarios.EmptiedByHand
	same := from.Drain.Return == to.Drain.Return && from.Drain.Seal == to.Drain.Seal && len(from.Breathers) == len(to.Breathers) &&
		from.Drain.Bore.Nominal() == to.Drain.Bore.Nominal() && from.Drain.Emptied == to.Drain.Emptied
	switch {
	case same && more && sameFall:
		return largerCan
	case same && deeper && sameCan:
		return lowerReturn
	}
	return anotherChange
}

// remarks says where a larger can or a lower return does not help, or does, from
// the differences on the same draws and from what sizing found.
func (v *view) remarks() []string {
	var list []string
	if c := v.page.Options; c != nil {
		for _, o := range v.Options {
			if o.subject || o.Name == decide.AsItWas {
				continue
			}
			what := changeOf(v.scenario(), c.Layouts[o.index].Model.Scenario())
			if text := v.remark(o, what, pairAt(c, o.index)); text != "" {
				list = append(list, text)
			}
		}
	}
	return append(list, v.sizingRemarks()...)
}

func (v *view) remark(o option, what change, d decide.PairedSession) string {
	name := ""
	switch what {
	case largerCan:
		name = "A larger can alone (" + o.Letter + ")"
	case lowerReturn:
		name = "A lower return alone (" + o.Letter + ")"
	default:
		return ""
	}
	subject := v.Options[0]
	switch {
	case subject.Stand == within:
		return ""
	case o.Stand == within:
		return name + " is enough."
	case d.Fails.Low > 0:
		return name + " makes it worse."
	case v.drains() && !d.DrainChoked.Tells() && (d.Fails.High < 0 || d.Overflow.High < 0):
		return fmt.Sprintf("%s keeps more oil from getting past, but no difference can be told in how often the drain backs up.", name)
	case !d.Fails.Tells():
		return fmt.Sprintf("%s: can’t tell that it helps, even on the same draws.", name)
	}
	return name + " helps, but is not enough."
}
