package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"

	"sumpward/scenarios/units"
	"sumpward/sim"
)

// No text lies over another, over the can or over the measures, and none
// leaves the sheet, whatever the layout.
func TestLabelsNeverOverlap(t *testing.T) {
	modes := map[bool]int{}
	for name, s := range layouts(t) {
		for _, u := range []units.System{units.Metric, units.US} {
			m, c := modelled(t, s)
			d, sheet, err := drawSideView(m, c, u)
			require.NoError(t, err, name)
			modes[sheet.keyed]++
			require.Greater(t, len(d.texts), 5, name)
			whole := box{0, 0, sheetWidth, sheet.bottom}
			taken := []box{}
			for _, e := range parsed(t, d.String()) {
				switch e.attr["class"] {
				case "can", "fall-bar", "column-bar", "gas-up", "gas-limit":
					taken = append(taken, box{e.number(t, "x"), e.number(t, "y"), e.number(t, "width"), e.number(t, "height")})
				}
			}
			for i, b := range d.texts {
				assert.True(t, b.within(whole), "%s: text %d at %v leaves %v", name, i, b, whole)
				for j, o := range d.texts[:i] {
					assert.False(t, b.overlaps(o), "%s: texts %d at %v and %d at %v", name, i, b, j, o)
				}
				for _, o := range taken {
					assert.False(t, b.overlaps(o), "%s: text %d at %v over %v", name, i, b, o)
				}
			}
			for _, e := range parsed(t, d.String()) {
				if e.attr["class"] == "key" {
					at := box{e.number(t, "cx") - keyRadius + 0.01, e.number(t, "cy") - keyRadius + 0.01, 2*keyRadius - 0.02, 2*keyRadius - 0.02}
					assert.False(t, overlapsAny(at, taken), "%s: key at %v", name, at)
					taken = append(taken, at)
					assert.True(t, at.within(whole), "%s: key at %v", name, at)
				}
			}
			if sheet.keyed {
				assert.Len(t, keysOf(t, d), len(sheet.ticks)+len(sheet.side), name)
			}
			assert.GreaterOrEqual(t, sheet.scale*s.Separator.Diameter.Nominal(), 1.0, name)
		}
	}
	assert.Positive(t, modes[true], "no layout was listed below")
	assert.Positive(t, modes[false], "no layout was labelled beside")
}

func keysOf(t *testing.T, d *drawing) []element { return all(parsed(t, d.String()), "key") }

// The widths that labels are laid out with are no less than those of a real
// face: Go Regular and Go Bold, which are as wide as common ones.
func TestTextWidthIsNoLessThanARealOne(t *testing.T) {
	face := func(ttf []byte, size float64) font.Face {
		f, err := opentype.Parse(ttf)
		require.NoError(t, err)
		face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72})
		require.NoError(t, err)
		return face
	}
	regular, bold := face(goregular.TTF, textSize), face(gobold.TTF, textSize)
	n := 0
	for name, s := range layouts(t) {
		m, c := modelled(t, s)
		v := newSideView(m, c, units.Metric)
		for _, text := range append(v.notes(), v.fallWords(), v.returnWords(), v.verdict(), "100 %", "choke", "full") {
			real := float64(font.MeasureString(regular, text)) / 64
			assert.GreaterOrEqual(t, textWidth(text, textSize), real, "%s: %s", name, text)
			assert.Less(t, textWidth(text, textSize), 1.35*real, "%s: %s", name, text)
			real = float64(font.MeasureString(bold, text)) / 64
			assert.GreaterOrEqual(t, textWidth(text, textSize*boldness), real, "%s: bold %s", name, text)
			n++
		}
	}
	assert.Positive(t, n)
}

func TestWrapText(t *testing.T) {
	const width = 80
	for _, text := range []string{"", "a", "column that pressure asks for: 115 mm at full throttle", strings.Repeat("w", 100), "a " + strings.Repeat("x", 60) + " b"} {
		lines := wrapText(text, textSize, width)
		for _, l := range lines {
			assert.LessOrEqual(t, textWidth(l, textSize), float64(width), l)
		}
		assert.Equal(t, strings.ReplaceAll(text, " ", ""), strings.NewReplacer(" ", "", "\u00a0", "").Replace(strings.Join(lines, "")))
	}
	assert.Equal(t, []string{"fall there", "is: 42\u00a0mm"}, wrapText("fall there is: 42 mm", textSize, width))
	assert.Equal(t, []string{"is: 42\u00a0mm,", "31\u00a0to\u00a054\u00a0mm", "(5\u00a0to\u00a095\u00a0%)"}, wrapText("is: 42 mm, 31 to 54 mm (5 to 95 %)", textSize, width+6))
	assert.Equal(t, []string{"holds", "0.476\u00a0US\u00a0qt"}, wrapText("holds 0.476 US qt", textSize, width+20))
}

// Labels stand at their places where there is room, else next to each other,
// in the order of their places.
func TestStack(t *testing.T) {
	one := textSize * lineHeight
	at := func(y ...float64) (list []*label) {
		for _, y := range y {
			list = append(list, &label{y: y, text: "a"})
		}
		return list
	}
	for name, x := range map[string]struct {
		places, tops []float64
		bottom       float64
	}{
		"room enough":       {[]float64{20, 100}, []float64{20 - one/2, 100 - one/2}, 200},
		"above the top":     {[]float64{0, 100}, []float64{4, 100 - one/2}, 200},
		"below the bottom":  {[]float64{20, 200}, []float64{20 - one/2, 200 - one}, 200},
		"at one place":      {[]float64{50, 50}, []float64{50 - one/2, 50 + one/2 + 5}, 200},
		"out of order":      {[]float64{100, 20}, []float64{20 - one/2, 100 - one/2}, 200},
		"more than fit":     {[]float64{5, 5, 5}, []float64{4, 4 + one + 5, 4 + 2*one + 10}, 4 + 3*one + 10},
		"pushed up by last": {[]float64{190, 190, 190}, []float64{200 - 3*one - 10, 200 - 2*one - 5, 200 - one}, 200},
	} {
		list := at(x.places...)
		bottom := 200.0
		if x.bottom != 200 {
			bottom = 20
		}
		assert.InDelta(t, x.bottom, stack(list, 10, 50, 4, bottom, 5), 1e-9, name)
		for i, l := range list {
			assert.InDelta(t, x.tops[i], l.box.y, 1e-9, "%s: label %d", name, i)
		}
	}
}

func TestAlong(t *testing.T) {
	way, lengths := []spot{{0, 0}, {0, -3}, {4, -3}}, []float64{3, 4}
	assert.Equal(t, []spot{{0, 0}, {0, -3}, {4, -3}}, along(way, lengths, 7))
	assert.Equal(t, []spot{{0, 0}, {0, -3}, {1, -3}}, along(way, lengths, 4))
	assert.Equal(t, []spot{{0, 0}, {0, -3}}, along(way, lengths, 3))
	assert.Equal(t, []spot{{0, 0}}, along(way, lengths, 0))
}

// Oil stands in the hose where the drain is held, and only there.
func TestHeldHoseHoldsOil(t *testing.T) {
	for name, s := range layouts(t) {
		svg, c := drawn(t, s, units.Metric)
		found := len(all(parsed(t, svg), "hose-oil"))
		want := 0
		if c.FullThrottle.Held && c.Kind != sim.Unsealed && c.Kind != sim.NoDrain {
			want = 1
		}
		assert.Equal(t, want, found, name)
	}
}
