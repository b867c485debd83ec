package page

import (
	"fmt"
	"html/template"

	"sumpward/report/words"
	"sumpward/scenarios/units"
)

// cardLevel is a level of the can, what to call it and what it means.
type cardLevel struct {
	Name, At, Means string
	fill            float64
}

// actShare is the fill from which a can is to be emptied where nothing of the
// can itself asks for it earlier; our choice.
const actShare = 0.8

// level writes a fill as a height above the can's floor: what fills a can of one
// cross-section stands at volume over cross-section.
func (c Card) level(fill float64) string {
	return fmt.Sprintf("%s (%.3g %%)", c.height(fill), 100*fill)
}

func (c Card) height(fill float64) string {
	can := c.Model.Nominal().Can
	return words.FineLengths(c.Units).WithUnit(fill * can.UsableVolume / can.CrossSection)
}

// actLevel is the fill at which to empty the can, and why there.
func (c Card) actLevel() (fill float64, because string) {
	car := c.Model.Nominal()
	fill, because = actShare, fmt.Sprintf("%s: our choice.", words.Show(actShare, units.Fraction, c.Units))
	if from := car.Can.BlownOutFrom; from < fill {
		fill, because = from, "From there on oil is blown out of it again."
	}
	if from := car.Gas.Element.ClosesFrom; from < fill {
		fill, because = from, "From there on the oil closes the gas passage."
	}
	if c.drains() && car.Limits.ChokeLevel > fill {
		fill, because = car.Limits.ChokeLevel, "That is its choke level."
	}
	return fill, because
}

// levels lists what may be seen, from fine to full.
func (c Card) levels() []cardLevel {
	act, because := c.actLevel()
	choke := c.Model.Nominal().Limits.ChokeLevel
	list := []cardLevel{
		{"Act", c.level(act) + " or more", "empty it now and note how much came out. " + because, act},
		{"Full", c.level(1), "oil goes over " + c.to(), 1},
	}
	if !c.drains() {
		return append([]cardLevel{{"Fine", "below " + c.level(act), "until it is next emptied", 0}}, list...)
	}
	ahead := []cardLevel{
		{"Fine", "below " + c.level(choke), "the drain brings the oil back", 0},
		{"Watch", c.level(choke) + " or more after a slow lap", "the drain backs up: look again at every stop", choke},
	}
	if act <= choke {
		ahead = ahead[:1]
	}
	return append(ahead, list...)
}

// above says how levels are to be read.
func (c Card) above() string {
	can := c.Model.Nominal().Can
	return fmt.Sprintf("Heights above the can's floor, car level and at rest, by sight line or dipstick: usable volume %s over %s of cross-section.",
		words.Show(can.UsableVolume, units.Volume, c.Units), words.Show(can.CrossSection, units.Area, c.Units))
}

// gauge draws the can with a mark at each level.
func (c Card) gauge(levels []cardLevel) template.HTML {
	const width, height, left, canWidth = 150.0, 132.0, 4.0, 46.0
	d := &drawing{}
	body := box{left, 14, canWidth, height - 22}
	at := func(fill float64) float64 { return body.y + body.h*(1-fill) }
	var labels []*label
	for _, l := range levels {
		if l.fill > 0 {
			labels = append(labels, &label{x: body.x + body.w, y: at(l.fill), text: l.Name, lines: []string{l.Name + " " + c.height(l.fill)}, bold: l.Name == "Act"})
		}
	}
	stack(labels, body.x+body.w+14, width-body.x-body.w-14, 1, height-1, 2)
	text := "Levels above the floor of the can:"
	for _, l := range labels {
		y := l.box.y + l.box.h/2
		d.path("leader", []float64{l.x - body.w, l.y, l.x + 4, l.y, l.box.x - 2, y}, stroke(ink, 1))
		d.write(l.lines, l.box.x, l.box.y, noteSize, weight(l.bold))
		text += " " + l.lines[0] + "."
	}
	first := labels[len(labels)-1] // the lowest: stack has put them in order
	d.rect("can-oil", box{body.x, first.y, body.w, body.y + body.h - first.y}, fmt.Sprintf(`fill="%s" fill-opacity="0.35"`, oil))
	d.path("can-wall", []float64{body.x, 4, body.x, body.y + body.h, body.x + body.w, body.y + body.h, body.x + body.w, 4}, stroke(ink, 1.8))
	return template.HTML(fmt.Sprintf(`<svg class="gauge" role="img" viewBox="0 0 %s %s" font-family="system-ui, sans-serif" fill="%s"><title>The can's levels</title><desc>%s</desc>%s</svg>`,
		num(width), num(height), ink, escaped(text), d.String()))
}
