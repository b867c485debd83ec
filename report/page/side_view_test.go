package page

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// element is one of an SVG, in the order of its document.
type element struct {
	name string
	attr map[string]string
	text string
}

func (e element) number(t *testing.T, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(e.attr[name], 64)
	require.NoError(t, err, "%s %s", e.name, name)
	return v
}

// points are the ends of the straight lines of a path.
func (e element) points(t *testing.T) (p [][2]float64) {
	t.Helper()
	fields := strings.Fields(strings.NewReplacer("M", " ", "L", " ").Replace(e.attr["d"]))
	require.Zero(t, len(fields)%2, e.attr["d"])
	for i := 0; i < len(fields); i += 2 {
		x, err := strconv.ParseFloat(fields[i], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(fields[i+1], 64)
		require.NoError(t, err)
		p = append(p, [2]float64{x, y})
	}
	return p
}

// parsed reads an SVG with a reader that stops at whatever is not well-formed.
func parsed(t *testing.T, svg string) (list []element) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	var open []int
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err, svg)
		switch token := token.(type) {
		case xml.StartElement:
			e := element{name: token.Name.Local, attr: map[string]string{}}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			open = append(open, len(list))
			list = append(list, e)
		case xml.CharData:
			if len(open) > 0 {
				list[open[len(open)-1]].text += string(token)
			}
		case xml.EndElement:
			open = open[:len(open)-1]
		}
	}
	require.NotEmpty(t, list)
	return list
}

// one finds the only element of a class.
func one(t *testing.T, list []element, class string) element {
	t.Helper()
	found := all(list, class)
	require.Len(t, found, 1, class)
	return found[0]
}

func all(list []element, class string) (found []element) {
	for _, e := range list {
		if e.attr["class"] == class {
			found = append(found, e)
		}
	}
	return found
}

func set(path string, value any) scenarios.Change {
	return scenarios.Change{Path: path, Value: value}
}

// changed is a ready-made scenario with some values changed.
func changed(t testing.TB, ready string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready(ready)
	require.NoError(t, err)
	if len(changes) > 0 {
		s, err = s.With(changes...)
		require.NoError(t, err)
	}
	return s
}

// routed replaces the fall of the ready-made sealed drain by a route.
func routed(route string, more ...scenarios.Change) []scenarios.Change {
	return append([]scenarios.Change{set("drain.fall", nil), set("drain.length", nil), set("drain.route", route)}, more...)
}

func modelled(t testing.TB, s *scenarios.Scenario) (*sim.Model, *sim.DrainCheck) {
	t.Helper()
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	c, err := m.CheckDrain(context.Background())
	require.NoError(t, err)
	return m, c
}

func drawn(t *testing.T, s *scenarios.Scenario, u units.System) (string, *sim.DrainCheck) {
	t.Helper()
	m, c := modelled(t, s)
	svg, err := SideView(m, c, u)
	require.NoError(t, err)
	return string(svg), c
}

// layouts are cans and drains of every kind, small and large.
func layouts(t testing.TB) map[string]*scenarios.Scenario {
	t.Helper()
	list := map[string]*scenarios.Scenario{
		"lost circuit": changed(t, "lost-circuit"),
		"sealed can":   changed(t, "sealed-can"),
		"sealed can, 2 L": changed(t, "sealed-can",
			set("separator.usable_volume", "2 L")),
		"low point": changed(t, "sealed-drain", routed("[[0, 0, 0 mm], [-60, 0, -90 mm], [-200, 30, -80 mm], [-320, 60, -160 mm]]")...),
		"four low points": changed(t, "sealed-drain",
			routed("[[0, 0, 0 mm], [-60, 0, -90 mm], [-100, 0, -80 mm], [-120, 0, -120 mm], [-150, 0, -110 mm], [-200, 0, -150 mm], [-230, 0, -147 mm], [-250, 0, -180 mm], [-300, 0, -175 mm], [-320, 60, -200 mm]]")...),
		"long":   changed(t, "sealed-drain", routed("[[0, 0, 0 mm], [-60, 0, -190 mm], [-900, 30, -185 mm], [-1900, 60, -260 mm]]")...),
		"across": changed(t, "sealed-drain", routed("[[0, 0, 0 mm], [0, 100, -60 mm], [-80, 300, -120 mm]]")...),
		"below the oil, route": changed(t, "sealed-drain", routed("[[0, 0, 0 mm], [-60, 0, -190 mm], [-260, 30, -310 mm]]",
			set("drain.return", "below_oil"), set("drain.seal", nil), set("drain.valve_opens_at", nil),
			set("drain.sump", "{oil_surface: [-300, 0, -250 mm], area: 0.06 m2}"))...),
		"dip":      changed(t, "sealed-drain", set("drain.fall", "150 mm"), set("drain.dip", "40 mm")),
		"no fall":  changed(t, "sealed-drain", set("drain.fall", "0 mm")),
		"open dip": changed(t, "lost-circuit", set("drain.dip", "8 mm"), set("drain.length", "900 mm")),
		"sealed by its dip": changed(t, "lost-circuit", set("drain.dip", "30 mm"), set("drain.length", "900 mm"),
			set("breathers", "[{name: covers, to: separator, bore: 16 mm, length: 700 mm}]")),
		"high pressure": changed(t, "sealed-drain",
			set("drain.port_pressure", "6 kPa")),
		"helped": changed(t, "sealed-drain", set("drain.port_pressure", "-4 kPa")),
	}
	base := changed(t, "sealed-drain")
	for _, name := range base.Variants {
		s, err := base.Variant(name)
		require.NoError(t, err)
		list[name] = s
	}
	for _, can := range [][2]string{{"0.1 L", "40 mm"}, {"0.45 L", "120 mm"}, {"2 L", "90 mm"}, {"2 L", "200 mm"}} {
		for _, fall := range []string{"30 mm", "118 mm", "250 mm", "600 mm", "2 m"} {
			for _, bore := range []string{"6 mm", "12.7 mm", "32 mm"} {
				list[fmt.Sprintf("can %v, fall %s, bore %s", can, fall, bore)] = changed(t, "sealed-drain",
					set("separator.usable_volume", can[0]), set("separator.diameter", can[1]),
					set("drain.fall", fall), set("drain.length", "2.5 m"), set("drain.bore", bore))
			}
		}
	}
	return list
}

// Every length, across and down, is the scenario's own times one scale: that of
// the scale bar. The widths and heights that are expected are worked out here
// from the scenario, those of the drain check from its numbers.
func TestSideViewIsToScale(t *testing.T) {
	const rounding = 2e-3 // coordinates have three decimals
	for name, s := range layouts(t) {
		svg, c := drawn(t, s, units.Metric)
		list := parsed(t, svg)

		bar := one(t, list, "scale-bar").points(t)
		length, err := strconv.ParseFloat(strings.Fields(textAfter(list, "scale-bar"))[0], 64)
		require.NoError(t, err, name)
		scale := (bar[1][0] - bar[0][0]) / length // per mm
		exactly := func(px, metres float64, what string) {
			t.Helper()
			assert.InDelta(t, metres*1000*scale, px, rounding*(1+math.Abs(metres)*1000/length), "%s: %s", name, what)
		}

		can := one(t, list, "can")
		diameter := s.Separator.Diameter.Nominal()
		exactly(can.number(t, "width"), diameter, "width of the can")
		exactly(can.number(t, "height"), s.Separator.UsableVolume.Nominal()/(math.Pi/4*diameter*diameter), "height of the can")
		if c.Kind == sim.NoDrain {
			assert.Empty(t, all(list, "hose"), name)
			assert.Empty(t, all(list, "fall-bar"), name)
			continue
		}
		exactly(one(t, list, "can-oil").number(t, "height"), s.Limits.ChokeLevel.Nominal()*s.Separator.UsableVolume.Nominal()/(math.Pi/4*diameter*diameter), "choke level")
		hose := one(t, list, "hose")
		exactly(hose.number(t, "stroke-width"), s.Drain.Bore.Nominal(), "bore")
		exactly(one(t, list, "fall-bar").number(t, "height"), math.Abs(c.FullThrottle.Fall), "fall")
		if c.Kind == sim.Unsealed {
			assert.Empty(t, all(list, "column-bar"), name)
			up, limit := one(t, list, "gas-up").number(t, "width"), one(t, list, "gas-limit").number(t, "width")
			assert.InDelta(t, c.FullThrottle.GasUp/c.FullThrottle.GasLimit, up/limit, 1e-4, name)
			continue
		}
		exactly(one(t, list, "column-bar").number(t, "height"), math.Abs(c.FullThrottle.Column), "column")
		gap := one(t, list, "difference").points(t)
		exactly(math.Abs(gap[3][1]-gap[0][1]), math.Abs(c.FullThrottle.Margin), "margin")

		way := hose.points(t)
		if route := s.Drain.Route; route != nil {
			require.Len(t, way, len(route), name)
			for i := 1; i < len(route); i++ {
				exactly(way[i][1]-way[i-1][1], route[i-1].Z.Nominal()-route[i].Z.Nominal(), "down the route")
				if name != "across" {
					exactly(way[i][0]-way[i-1][0], route[i].X.Nominal()-route[i-1].X.Nominal(), "along the route")
				} else {
					exactly(way[i][0]-way[i-1][0], route[i-1].Y.Nominal()-route[i].Y.Nominal(), "across the car")
				}
			}
		} else {
			exactly(way[len(way)-1][1]-way[0][1], s.Drain.Fall.Nominal(), "from end to end of the hose")
		}
		assert.InDelta(t, can.number(t, "y")+can.number(t, "height"), way[0][1], rounding, "%s: the hose starts at the can's floor", name)
	}
}

var wrongNumber = regexp.MustCompile(`NaN|Inf|%!`)

// textAfter is the first text behind an element of a class.
func textAfter(list []element, class string) string {
	seen := false
	for _, e := range list {
		seen = seen || e.attr["class"] == class
		if seen && e.name == "text" {
			return e.text
		}
	}
	return ""
}

// A column taller than the fall reaches above the hose's top; a shorter one ends
// below it.
func TestColumnStandsBesideTheFall(t *testing.T) {
	for name, above := range map[string]bool{"": true, "lower return": false} {
		s := changed(t, "sealed-drain")
		if name != "" {
			var err error
			s, err = s.Variant(name)
			require.NoError(t, err)
		}
		svg, c := drawn(t, s, units.Metric)
		list := parsed(t, svg)
		column, fall := one(t, list, "column-bar"), one(t, list, "fall-bar")
		assert.InDelta(t, fall.number(t, "y")+fall.number(t, "height"), column.number(t, "y")+column.number(t, "height"), 2e-3, "they stand on one line")
		top := one(t, list, "hose").points(t)[0][1]
		assert.Equal(t, above, column.number(t, "y") < top-1, name)
		assert.Equal(t, above, c.FullThrottle.Held, name)
		want := "in hand: runs at full throttle"
		if above {
			want = "short by 73 mm: held at full throttle" // 115 mm less 42 mm
		}
		assert.Contains(t, oneLine(list, "desc"), want)
	}
}

// oneLine is the text of the first element of a name.
func oneLine(list []element, name string) string {
	for _, e := range list {
		if e.name == name {
			return strings.ToLower(e.text)
		}
	}
	return ""
}

// A fall that is not exact stands with the range that it is drawn from. By hand: 5 and
// 95 % of 30 .. 130 mm, and of 100 ± 10 mm at 1.6449 standard deviations.
func TestSideViewSaysHowSureTheFallIs(t *testing.T) {
	for _, c := range []struct {
		fall  string
		units units.System
		want  string
	}{
		{"30 .. 130 mm", units.Metric, "fall there is: 80 mm, 35 to 125 mm (5 to 95 %)"},
		{"100 +- 10 mm", units.Metric, "fall there is: 100 mm, 84 to 116 mm (5 to 95 %)"},
		{"100 +- 10 mm", units.US, "fall there is: 3.94 in, 3.29 to 4.58 in (5 to 95 %)"},
		{"80 mm", units.Metric, "fall there is: 80 mm"},
	} {
		m, check := modelled(t, changed(t, "sealed-drain", set("drain.fall", c.fall)))
		assert.Equal(t, c.want, newSideView(m, check, c.units).fallWords())
	}
	m, check := modelled(t, changed(t, "sealed-drain", routed("[[0, 0, 150 +- 20 mm], [0, 0, 0 mm]]")...))
	assert.Equal(t, "fall there is: 150 mm", newSideView(m, check, units.Metric).fallWords(), "no range is known of a route as a whole")
}

// What is written in the drawing is written in its description too.
func TestSideViewSaysItInWords(t *testing.T) {
	for name, s := range layouts(t) {
		for _, u := range []units.System{units.Metric, units.US} {
			m, c := modelled(t, s)
			v := newSideView(m, c, u)
			svg, err := SideView(m, c, u)
			require.NoError(t, err, name)
			list := parsed(t, string(svg))
			require.Equal(t, "img", list[0].attr["role"])
			require.Equal(t, "title", list[1].name)
			require.Equal(t, "desc", list[2].name)
			description := strings.ToLower(list[2].text)
			said := []string{v.verdict()}
			if c.Kind != sim.NoDrain {
				said = append(said, v.fallWords(), v.returnWords())
			}
			for _, l := range c.LowPoints {
				said = append(said, v.lowPointWords(l))
			}
			if c.Kind == sim.Sealed || c.Kind == sim.BelowOil {
				said = append(said, v.columnWords())
			}
			if c.Kind == sim.Unsealed {
				up, limit := v.gasWords()
				said = append(said, up, limit)
			}
			var text strings.Builder
			for _, e := range list {
				if e.name == "text" {
					text.WriteString(strings.Join(strings.Fields(e.text), "") + "")
				}
			}
			for _, words := range said {
				assert.Contains(t, description, strings.ToLower(words), name)
				assert.Contains(t, text.String(), strings.ReplaceAll(words, " ", ""), name)
			}
			if s.Drain.Route == nil && c.Kind != sim.NoDrain {
				assert.Contains(t, description, "only heights are known: drawn straight down", name)
			}
			assert.False(t, wrongNumber.MatchString(string(svg)), name)
		}
	}
}

func TestSideViewEscapes(t *testing.T) {
	title := "<script>alert(1)</script> & \"x\" \x1b[31m \u202e ]]>"
	s := changed(t, "sealed-drain")
	s.Title = title
	svg, _ := drawn(t, s, units.Metric)
	list := parsed(t, svg)
	assert.Equal(t, `Side view to scale: <script>alert(1)</script> & "x" \x1b[31m \u202e ]]>`, list[1].text)
	assert.NotContains(t, svg, "<script")
	s.Title = "\xff\xfe broken"
	svg, _ = drawn(t, s, units.Metric)
	parsed(t, svg)
}

func TestSideViewRepeats(t *testing.T) {
	s := changed(t, "sealed-drain", set("drain.fall", "150 mm"), set("drain.dip", "40 mm"))
	a, _ := drawn(t, s, units.US)
	b, _ := drawn(t, s, units.US)
	assert.Equal(t, a, b)
}

// No colour is given but by variables with what surrounds the drawing as the
// fall-back, and no identifiers, of which a page could hold two.
func TestSideViewTakesItsColoursFromThePage(t *testing.T) {
	for name, s := range layouts(t) {
		svg, _ := drawn(t, s, units.Metric)
		for _, e := range parsed(t, svg) {
			for _, key := range []string{"fill", "stroke"} {
				if v := e.attr[key]; v != "" && v != "none" {
					assert.Regexp(t, `^var\(--[a-z]+, (currentColor|Canvas)\)$`, v, name)
				}
			}
			assert.NotContains(t, e.attr, "id", name)
			assert.NotContains(t, e.attr, "style", name)
		}
	}
}
