package page

import (
	"fmt"
	"html/template"
	"strings"
)

// bars are rows of two bars each, one below the other: a full one and a hollow one,
// so that they are told apart without colour. What each stands for is written beside it.
type bars struct {
	id, title, says string
	upper, lower    barKind
	rows            []barRow
	axis            scale // no ticks: each row has a scale of its own
}

// barKind is how one of a row's bars looks, and what it stands for.
type barKind struct{ class, means string }

const (
	full   = "full"
	hollow = "hollow"
)

type barRow struct {
	name         string
	upper, lower barMark
}

// barMark is one bar, in the units of the axis.
type barMark struct {
	from, to float64
	whisker  *[2]float64 // an interval; nil: none
	middle   *float64    // a mark across; nil: none
	text     string
}

// How rows lie, in units of the drawing, and the most letters of a row's name that go
// beside each other.
const (
	barsWide    = 440
	barHigh     = 11
	barStep     = 17
	rowStep     = 64
	barsRight   = 214
	mostOfAName = 60
)

func (b bars) svg() template.HTML {
	foot := 8.0
	if len(b.axis.ticks) > 0 {
		foot = 42
	}
	c := &chart{width: barsWide, height: float64(rowStep*len(b.rows)) + foot, left: 6, right: barsRight, bottom: foot, x: b.axis}
	for _, t := range b.axis.ticks {
		x := coordinate(c.across(t.at))
		fmt.Fprintf(&c.b, `<path class="grid" d="M%s 4V%s"/>`, x, coordinate(c.height-foot))
		c.text("tick", place{c.across(t.at), c.height - foot + 16, "middle"}, t.text)
	}
	if b.axis.title != "" {
		c.text("tick", place{0, c.height - 4, "start"}, b.axis.title)
	}
	for i, r := range b.rows {
		top := float64(rowStep * i)
		c.text("note ink", place{6, top + 16, "start"}, shortened(r.name, mostOfAName))
		c.bar(b.upper.class, top+24, r.upper)
		c.bar(b.lower.class, top+24+barStep, r.lower)
	}
	return c.svg(b.id, b.title, b.describe())
}

// bar draws one bar with its interval and its text.
func (c *chart) bar(class string, top float64, m barMark) {
	from, to := c.across(number(m.from, 0)), c.across(number(m.to, 0))
	fmt.Fprintf(&c.b, `<rect class="%s" x="%s" y="%s" width="%s" height="%d"/>`, class, coordinate(from), coordinate(top), coordinate(max(to-from, 1)), barHigh)
	middle := coordinate(top + barHigh/2.0)
	if w := m.whisker; w != nil {
		d := fmt.Sprintf("M%s %sH%s", coordinate(c.across(number(w[0], 0))), middle, coordinate(c.across(number(w[1], 0))))
		fmt.Fprintf(&c.b, `<path class="halo" d="%s"/><path class="whisker" d="%s"/>`, d, d)
	}
	if m.middle != nil {
		d := fmt.Sprintf("M%s %sv%d", coordinate(c.across(number(*m.middle, 0))), coordinate(top-2), barHigh+4)
		fmt.Fprintf(&c.b, `<path class="halo" d="%s"/><path class="whisker" d="%s"/>`, d, d)
	}
	c.text("tick", place{c.width - c.right + 8, top + barHigh - 1, "start"}, m.text)
}

// describe says in words what is drawn.
func (b bars) describe() string {
	list := []string{b.says}
	for _, r := range b.rows {
		list = append(list, fmt.Sprintf("%s: %s %s, %s %s.", r.name, b.upper.means, r.upper.text, b.lower.means, r.lower.text))
	}
	return strings.Join(list, " ")
}

// barKey is a line of the key of bars.
type barKey struct{ Class, Text string }

func (b bars) key() []barKey {
	return []barKey{{b.upper.class, b.upper.means}, {b.lower.class, b.lower.means}}
}
