package page

import (
	"fmt"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// shelf is the cans on a shelf, each in the places where it fits.
type shelf struct {
	Says []string
	Rows []shelfRow
}

type shelfRow struct {
	Can, Place, Return, Chance, Interval, Price string
	Emptied                                     string // how often it would have to be, to meet the limit
	Mark, Stand, Class                          string
}

func (v *view) shelf() *shelf {
	c := v.page.Choice
	if c == nil {
		return nil
	}
	s := &shelf{Says: v.picks(c)}
	for i := range c.Options {
		s.Rows = append(s.Rows, v.shelfRow(c, &c.Options[i]))
	}
	return s
}

// standings tells how the standings of a choice show.
var standings = map[decide.Standing]standing{decide.Meets: within, decide.Untold: unclear, decide.Breaks: beyond}

func (v *view) shelfRow(c *decide.Choice, o *decide.Option) shelfRow {
	r := shelfRow{Can: words.OneLine(o.Can), Place: words.OneLine(o.Place), Return: words.OneLine(o.Return), Price: priceOf(c, o)}
	if o.Result == nil {
		r.Return, r.Mark, r.Stand = "", "–", v.doesNotFit(o)
		return r
	}
	chance := words.SessionChances(o.Result, &o.Result.Sessions[len(o.Result.Sessions)-1])[words.Fails]
	r.Chance, r.Interval = chance.Text(), ranged(chance.Interval())
	s := standings[o.Standing]
	r.Mark, r.Stand, r.Class = s.Mark(), s.Short(), s.Class()
	if e := o.Emptying; e != nil && e.Does {
		r.Emptied = "meets it when emptied " + v.howOften(e)
		if e.Else != decide.Meets {
			r.Emptied = "overflows within the limit when emptied " + v.howOften(e)
		}
	}
	return r
}

// howOften says how often a can without a drain must be emptied.
func (v *view) howOften(e *decide.Emptying) string {
	switch {
	case e.Sessions == 0:
		return "every " + words.Length(e.Every, v.page.Units)
	case e.Sessions == 1:
		return "after every session"
	case e.Most:
		return fmt.Sprintf("after %d sessions or more", e.Sessions)
	}
	return fmt.Sprintf("after every %d sessions", e.Sessions)
}

func (v *view) doesNotFit(o *decide.Option) string {
	if o.Problem != "" {
		return words.OneLine(o.Problem)
	}
	var list []string
	for _, x := range []struct {
		by  float64
		way string
	}{{o.TooLarge.High, "high"}, {o.TooLarge.Long, "long"}, {o.TooLarge.Wide, "wide"}} {
		if x.by > 0 {
			list = append(list, words.Show(x.by, units.Length, v.page.Units)+" too "+x.way)
		}
	}
	return "does not fit: " + words.Joined(list, "and")
}

// priceOf writes what the can of an option costs, as the shelf has it.
func priceOf(c *decide.Choice, o *decide.Option) string {
	var can scenarios.Can = c.Shelf.Cans[o.Mounting.Can]
	if can.Price == nil {
		return ""
	}
	return words.OneLine(strings.TrimSuffix(fmt.Sprintf("%.2f", *can.Price), ".00") + " " + c.Shelf.Currency)
}

// picks names the cans that are to be picked.
func (v *view) picks(c *decide.Choice) []string {
	var list []string
	for _, by := range []struct {
		picks decide.Picks
		way   string
	}{{c.Picks, "Of the cans that drain back"}, {c.ByHand, "Of the cans that are emptied by hand"}} {
		var parts []string
		for _, x := range []struct {
			option int
			what   string
		}{{by.picks.Smallest, "smallest"}, {by.picks.Lightest, "lightest"}, {by.picks.Cheapest, "cheapest"}} {
			if x.option >= 0 {
				parts = append(parts, "the "+x.what+" is "+words.OneLine(c.Options[x.option].Layout.Name))
			}
		}
		switch {
		case len(parts) > 0:
			list = append(list, by.way+", within the limit: "+strings.Join(parts, "; ")+".")
		case v.looked(c, by.way):
			list = append(list, by.way+" none meets the limit for sure.")
		}
	}
	return list
}

// looked reports whether the shelf has such cans in places where they fit.
func (v *view) looked(c *decide.Choice, way string) bool {
	byHand := strings.HasSuffix(way, "by hand")
	for i := range c.Options {
		if o := &c.Options[i]; o.Result != nil && (o.Return == decide.ByHandName) == byHand {
			return true
		}
	}
	return false
}
