package plot

import (
	"errors"
	"fmt"
	"io"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim/sensitivity"
)

// Sensitivity is which inputs drive what a scenario comes to: for each outcome two
// bars for each input, full for what it has of the variance alone and hatched for what
// it has with others, each with its interval.
type Sensitivity struct {
	Result *sensitivity.Result
	Units  units.System
	Of     []sensitivity.Output // those drawn; none: the first that can be told, the highest fill and the oil to the intake
}

// Write draws the bars.
func (s Sensitivity) Write(w io.Writer, f Format) error {
	if len(s.shown()) == 0 {
		return errors.New("nothing to draw: of no outcome that was asked for it can be told what drives it")
	}
	return s.figure().write(w, f)
}

// shown lists the outputs that are drawn.
func (s Sensitivity) shown() []*sensitivity.OutputResult {
	var list []*sensitivity.OutputResult
	for i := range s.Result.Outputs {
		o := &s.Result.Outputs[i]
		if o.Telling == sensitivity.Told && s.wanted(o.Output, len(list) == 0) {
			list = append(list, o)
		}
	}
	return list
}

// wanted reports whether an output is drawn.
func (s Sensitivity) wanted(o sensitivity.Output, first bool) bool {
	for _, x := range s.Of {
		if x == o {
			return true
		}
	}
	return len(s.Of) == 0 && (first || o == sensitivity.PeakFill || o == sensitivity.OilToIntake)
}

func (s Sensitivity) figure() *figure {
	r := s.Result
	share := words.ColumnOf(units.Fraction, s.Units).Unit
	f := &figure{
		title: r.Scenario.Title,
		subtitle: fmt.Sprintf("Seed %d, %s realizations from %s base points; whiskers are 95 %% intervals",
			r.Seed, words.Grouped(int64(r.Realizations)), words.Grouped(int64(r.Points))),
		x: exact("share of the variance, "+share.Symbol, 0, 100, 10),
		keys: []key{
			{"alone: what knowing it takes off", drawFullSwatch},
			{"with others: what is left if all else is known", drawHatchedSwatch},
		},
	}
	for _, o := range s.shown() {
		f.panels = append(f.panels, s.panel(o))
	}
	return f
}

// rowHeight is the height of a row.
const rowHeight vg.Length = 27

// Where bars lie, shares of a row's height from its middle, and how far apart the
// strokes of a hatching are, per cent on the axis.
const (
	nearEdge  = 0.06
	farEdge   = 0.38
	hatchStep = 1.1
)

// widestName is the room that the name of a driver may take.
const widestName vg.Length = 210

func (s Sensitivity) panel(o *sensitivity.OutputResult) *panel {
	order, rest := o.Ranked()
	rows := len(order)
	if len(rest) > 0 {
		rows++
	}
	p := &panel{
		heading: words.Sentence(report.SensitivityOutput(o.Output)) + " within " + words.DrivenBy(s.Result.Scenario, s.Units).Length(s.Result.Length),
		height:  vg.Length(rows) * rowHeight,
		y:       axis{low: -float64(rows) + 0.5, high: 0.5},
	}
	for row, i := range order {
		part := o.Parts[i]
		p.bars(-float64(row), report.SensitivityDriver(&s.Result.Drivers[i]), &part.First, part.Total)
	}
	if len(rest) > 0 {
		p.bars(-float64(rows-1), "at most, "+report.SensitivityRest(s.Result, rest), nil, o.AtMost(rest))
	}
	return p
}

// bars adds a row: the upper bar for the share alone, the lower one for the one with
// others.
func (p *panel) bars(y float64, name string, first *sensitivity.Index, total sensitivity.Index) {
	p.y.ticks = append(p.y.ticks, tick{y, shortened(clean(name), tickText, widestName)})
	if first != nil {
		p.bands = append(p.bands, band{teal, []point{{0, y + nearEdge}, {percent(first.Value), y + nearEdge}}, []point{{0, y + farEdge}, {percent(first.Value), y + farEdge}}})
		p.whisker(y+(nearEdge+farEdge)/2, *first)
	}
	p.hatched(percent(total.Value), y-farEdge, y-nearEdge)
	p.whisker(y-(nearEdge+farEdge)/2, total)
}

// percent is a share on the axis.
func percent(share float64) float64 { return 100 * min(max(share, 0), 1) }

// hatched adds a bar that is outlined and hatched.
func (p *panel) hatched(to, low, high float64) {
	if to <= 0 {
		return
	}
	edge := stroke(rust, 0.9, solid)
	p.lines = append(p.lines, line{style: edge, points: []point{{0, low}, {to, low}, {to, high}, {0, high}, {0, low}}})
	const lean = 1.0 // per cent that a stroke leans over a bar's height
	for x := hatchStep / 2; x < to; x += hatchStep {
		top := min(x+lean, to)
		p.lines = append(p.lines, line{style: stroke(rust, 0.7, solid), points: []point{{x, low}, {top, low + (high-low)*(top-x)/lean}}})
	}
}

// whisker adds an interval.
func (p *panel) whisker(y float64, x sensitivity.Index) {
	const cap = 0.09
	low, high := percent(x.Low), percent(x.High)
	style := stroke(ink, 1, solid)
	for _, points := range [][]point{{{low, y}, {high, y}}, {{low, y - cap}, {low, y + cap}}, {{high, y - cap}, {high, y + cap}}} {
		p.lines = append(p.lines, line{style: style, points: points})
	}
}

// drawFullSwatch and drawHatchedSwatch explain the bars.
func drawFullSwatch(c *draw.Canvas, middle vg.Point) {
	c.SetColor(teal)
	c.Fill(swatch(middle).Path())
}

func drawHatchedSwatch(c *draw.Canvas, middle vg.Point) {
	r := swatch(middle)
	style := stroke(rust, 0.9, solid)
	c.StrokeLines(style, []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}, r.Min})
	for x := r.Min.X + 2; x+5 < r.Max.X; x += 5 {
		c.StrokeLine2(stroke(rust, 0.7, solid), x, r.Min.Y, x+5, r.Max.Y)
	}
}

func swatch(middle vg.Point) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: middle.X - 11, Y: middle.Y - 4}, Max: vg.Point{X: middle.X + 11, Y: middle.Y + 4}}
}
