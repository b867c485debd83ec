package scenarios

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/internal/bounded"
)

// leastShelf is a shelf with nothing left to take away.
const leastShelf = `shelf: 1
cans:
  - {name: jar, outer_size: {diameter: 90 mm, height: 160 mm}, usable_volume: 0.5 L, diameter: 80 mm}
places:
  - {name: tray, largest_size: {length: 200 mm, width: 120 mm, height: 200 mm}, emptied_by_hand: true}
`

// drained is a can with a drain, a place with a return and one with a route.
const drained = `shelf: 1
cans:
  - name: box
    outer_size: {length: 150 mm, width: 100 mm, height: 160 mm}
    usable_volume: 0.8 L
    cross_section: 120 cm2
    efficiency: {value: 50 .. 70 %, basis: measured, source: test bench}
    drain_bore: 16 mm
    fittings: [straight, elbow]
    seal: valve
    valve_opens_at: 0.1 kPa
    mass: 900 g
    price: 120.5 eur
places:
  - name: tray
    largest_size: {length: 100 mm, width: 150 mm, height: 160 mm}
    returns:
      - {name: block, return: above_oil, fall: 110 .. 130 mm}
      - {name: plain, return: above_oil, fall: 300 mm, length: 400 mm, seal: none}
      - {name: sump, return: below_oil, route: [[0, 0, 0], [-200, 0, -250 mm]], oil_surface: [-200, 0, -150 mm]}
`

func shelfOf(t testing.TB, text string) *Shelf {
	t.Helper()
	sh, err := ParseShelf("test.yaml", []byte(text))
	require.NoError(t, err)
	return sh
}

// TestWrongShelf compares the messages about wrong shelves, all problems at once.
func TestWrongShelf(t *testing.T) {
	change := func(of, from, to string) string {
		require.Contains(t, of, from)
		return strings.Replace(of, from, to, 1)
	}
	for _, x := range []struct{ text, want string }{
		{"", "test.yaml:1: the file is empty\n  write: shelf: 1"},
		{"- a", "test.yaml:1: a block of fields is wanted here (got a list)\n  write: shelf: 1"},
		{"scenario: 1", "test.yaml:1: this is a scenario, not a shelf\n  the scenario comes first, then the shelf"},
		{leastShelf + "---\nshelf: 1\n", "test.yaml:7: a second document starts here\n  keep one shelf a file"},
		{change(leastShelf, "shelf: 1", "shelf: 2"), "test.yaml:1: shelf: another version of the file format (got 2, allowed 1)\n  write: shelf: 1"},
		{change(leastShelf, "usable_volume: 0.5 L", "usable_volume: 0.5 L, usable_volume: 1 L"), "test.yaml:3: cans.1.usable_volume: written twice (first in line 3)\n  keep one of the two"},
		{change(leastShelf, "usable_volume: 0.5 L", "volume: 0.5"), "test.yaml:3: cans.1.volume: unknown field\n  did you mean usable_volume?"},
		{change(leastShelf, "0.5 L", "0.5"), `test.yaml:3: cans.1.usable_volume: unit is missing (got "0.5", wanted a volume in L, mL, cc, cm3, m3, US qt, imp qt, US gal, imp gal, US fl oz, imp fl oz or in3)` + "\n  write: usable_volume: 0.5 L"},
		{change(leastShelf, "0.5 L", "5 L"), "test.yaml:3: cans.1.usable_volume: more than the outer size holds (got 5 L, allowed up to 1.02 L)\n  look at outer_size and at the units"},
		{change(leastShelf, "diameter: 80 mm", "diameter: 95 mm"), "test.yaml:3: cans.1.diameter: more than the can is wide outside (got 95 mm, allowed up to 90 mm)\n  look at outer_size and at the units"},
		{change(leastShelf, ", diameter: 80 mm", ""), "test.yaml:3: cans.1.cross_section: missing: this, or the inside diameter of a round can\n  write: cross_section: 44 cm2"},
		{change(leastShelf, "{diameter: 90 mm, height: 160 mm}", "{diameter: 90 mm, length: 90 mm}"),
			"test.yaml:3: cans.1.outer_size.height: missing: how high the can stands\n  write: height: 160 mm\n" +
				"test.yaml:3: cans.1.outer_size.length: not together with cans.1.outer_size.diameter: a round can has one of them\n  leave one of the two out"},
		{change(leastShelf, "name: jar", "name: emptied by hand"), "test.yaml:3: cans.1.name: this stands for a can that is emptied by hand (got emptied by hand)\n  give it another name"},
		{change(leastShelf, ", emptied_by_hand: true", ""), "test.yaml:5: places.1.returns: missing: where the oil goes back to; or write emptied_by_hand: true\n  write: returns: [{name: block, return: above_oil, fall: 110 .. 130 mm, length: 500 mm}]"},
		{change(leastShelf, "emptied_by_hand: true", "emptied_by_hand: yes"), "test.yaml:5: places.1.emptied_by_hand: not one of the choices (got yes, allowed true, false)\n  write: emptied_by_hand: false"},
		{change(drained, "120.5 eur", "cheap"), "test.yaml:13: cans.1.price: a number and the three letters of its currency are wanted here (got cheap)\n  write: price: 180 EUR"},
		{change(drained, "places:", "  - {name: Box, outer_size: {diameter: 9 cm, height: 16 cm}, usable_volume: 0.5 L, diameter: 8 cm, price: 3 USD}\nplaces:"),
			"test.yaml:14: cans.2.name: the name is used twice (got Box, first in line 3)\n  give each its own name\n" +
				"test.yaml:14: cans.2.price: another currency than the prices before (got USD, allowed EUR)\n  state all prices in one"},
		{change(drained, "mass: 900 g", "mass: 800 .. 900 g"), "test.yaml:12: cans.1.mass: an exact value is wanted here (got 800 .. 900 g)\n  write: mass: 650 g"},
		{change(drained, "[straight, elbow]", "[strait]"), "test.yaml:9: cans.1.fittings: unknown fitting (got strait, allowed straight, elbow, sweep elbow, 45 elbow, tight elbow, return bend, tee, tee run, banjo)\n  write: fittings: [straight]"},
		{change(drained, "length: 400 mm", "length: 200 mm"), "test.yaml:19: places.1.returns.2.length: shorter than the way down (got 200 mm, allowed 300 mm or more)\n  write: length: 590 mm"},
		{change(drained, ", oil_surface: [-200, 0, -150 mm]", ""), "test.yaml:20: places.1.returns.3.oil_surface: missing: a return below the oil is measured to the middle of the oil's surface, not to the port\n  write: oil_surface: [-250, 0, -100 mm]"},
		{change(drained, "return: above_oil, fall: 110 .. 130 mm", "return: emptied_by_hand"),
			"test.yaml:18: places.1.returns.1.return: not one of the choices (got emptied_by_hand, allowed above_oil, below_oil)\n  write: return: above_oil\n" +
				"test.yaml:18: places.1.returns.1.fall: missing: how far the oil falls from the can's drain outlet to the return; or a route\n  write: fall: 120 mm"},
	} {
		sh, err := ParseShelf("test.yaml", []byte(x.text))
		assert.Nil(t, sh)
		assert.IsType(t, Problems{}, err, x.want)
		assert.EqualError(t, err, x.want)
	}
	_, err := Parse("test.yaml", []byte(leastShelf), nil)
	assert.EqualError(t, err, "test.yaml:1: this is a shelf, not a scenario\n  the scenario comes first, then the shelf")
}

// TestTooLargeShelf refuses more than can be looked at.
func TestTooLargeShelf(t *testing.T) {
	can := "  - {name: jar %d, outer_size: {diameter: 90 mm, height: 160 mm}, usable_volume: 0.5 L, diameter: 80 mm}\n"
	place := "  - {name: tray %d, largest_size: {length: 200 mm, width: 120 mm, height: 200 mm}, emptied_by_hand: true}\n"
	many := func(cans, places int) error {
		text := "shelf: 1\ncans:\n"
		for i := range cans {
			text += fmt.Sprintf(can, i)
		}
		text += "places:\n"
		for i := range places {
			text += fmt.Sprintf(place, i)
		}
		_, err := ParseShelf("test.yaml", []byte(text))
		return err
	}
	assert.NoError(t, many(200, 2))
	assert.ErrorContains(t, many(201, 1), "cans: too many (got 201, allowed 1 to 200)")
	assert.ErrorContains(t, many(1, 21), "places: too many (got 21, allowed 1 to 20)")
	assert.EqualError(t, many(101, 4), "test.yaml:104: places: too many combinations of can, place and return (got 404, allowed 0 to 400)\n  part the shelf: fewer cans or places a file")
}

// TestExcess turns cans about the vertical axis, and never lays them down.
func TestExcess(t *testing.T) {
	place := Size{Length: 0.2, Width: 0.1, Height: 0.15}
	for _, x := range []struct {
		outer Size
		want  Excess
	}{
		{Size{Length: 0.2, Width: 0.1, Height: 0.15}, Excess{}},
		{Size{Length: 0.1, Width: 0.2, Height: 0.15}, Excess{}},
		{Size{Length: 0.2 + 1e-9, Width: 0.1, Height: 0.15}, Excess{}},
		{Size{Length: 0.15, Width: 0.1, Height: 0.2}, Excess{High: 0.05}},
		{Size{Length: 0.1, Width: 0.23, Height: 0.1}, Excess{Long: 0.03}},
		{Size{Length: 0.12, Width: 0.12, Height: 0.1, Round: true}, Excess{Wide: 0.02}},
		{Size{Length: 0.25, Width: 0.11, Height: 0.16}, Excess{0.05, 0.01, 0.01}},
	} {
		got := place.Excess(x.outer)
		assert.InDelta(t, x.want.Long, got.Long, 1e-12, "%+v", x)
		assert.InDelta(t, x.want.Wide, got.Wide, 1e-12, "%+v", x)
		assert.InDelta(t, x.want.High, got.High, 1e-12, "%+v", x)
		assert.Equal(t, x.want == Excess{}, got.Fits())
	}
}

// TestMounted puts what the shelf says in the scenario's place, basis and all, and
// leaves the rest.
func TestMounted(t *testing.T) {
	s, err := Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(Change{"correlations", "[{between: [drain.fall, carry_over.oil_used], rank: 0.5}, {between: [engine.blow_by.full_throttle, carry_over.oil_used], rank: 0.6}]"})
	require.NoError(t, err)
	sh := shelfOf(t, drained)
	require.Equal(t, []Mounting{{0, 0, 0}, {0, 0, 1}, {0, 0, 2}}, sh.Mountings())
	assert.Equal(t, "EUR", sh.Currency)
	assert.Equal(t, 120.5, *sh.Cans[0].Price)

	m, err := s.Mounted(sh, sh.Mountings()[0])
	require.NoError(t, err)
	assert.Equal(t, "box, tray, block", m.VariantName)
	assert.InDelta(t, 0.8e-3, m.Separator.UsableVolume.Nominal(), 1e-12)
	assert.Nil(t, m.Separator.Diameter)
	assert.InDelta(t, 120e-4, m.Separator.CrossSection.Nominal(), 1e-12)
	assert.Equal(t, Measured, m.Separator.Efficiency.Basis)
	assert.Equal(t, "test bench", m.Separator.Efficiency.Source)
	assert.InDelta(t, 0.5, m.Separator.Efficiency.Distribution.Quantile(0), 1e-9)
	assert.Equal(t, s.Separator.Loss.Distribution, m.Separator.Loss.Distribution, "not said: stays")
	assert.Equal(t, s.Separator.Outlet.Bore.Nominal(), m.Separator.Outlet.Bore.Nominal())
	assert.Equal(t, ValveSeal, m.Drain.Seal)
	assert.InDelta(t, 100, m.Drain.ValveOpensAt.Nominal(), 1e-9)
	assert.InDelta(t, 0.016, m.Drain.Bore.Nominal(), 1e-12)
	assert.InDelta(t, 1.5+0.1+0.81, m.Drain.LossCoefficient.Nominal(), 1e-9, "entrance, exit, straight, elbow")
	assert.InDelta(t, 0.11, m.Drain.Fall.Distribution.Quantile(0), 1e-12)
	assert.Nil(t, m.Drain.Length, "the old hose is gone")
	assert.Len(t, m.Correlations, 1, "that of the fall is dropped")
	assert.Contains(t, m.Warnings, Warning{Path: "correlations", Text: "dropped: drain.fall is another one with a can of the shelf"})
	assert.True(t, sh.Says(sh.Mountings()[0], "separator.efficiency"))
	assert.True(t, sh.Says(sh.Mountings()[0], "drain.loss_coefficient"))
	assert.False(t, sh.Says(sh.Mountings()[0], "separator.pressure_loss.loss"))

	m, err = s.Mounted(sh, sh.Mountings()[1])
	require.NoError(t, err)
	assert.Equal(t, NoSeal, m.Drain.Seal, "the return's goes before the can's")
	assert.Nil(t, m.Drain.ValveOpensAt)
	assert.InDelta(t, 0.4, m.Drain.Length.Nominal(), 1e-12)

	m, err = s.Mounted(sh, sh.Mountings()[2])
	require.NoError(t, err)
	assert.Equal(t, BelowOil, m.Drain.Return)
	assert.Len(t, m.Drain.Route, 2)
	assert.InDelta(t, -0.15, m.Drain.Sump.OilSurface.Z.Nominal(), 1e-12)

	jar := shelfOf(t, leastShelf)
	m, err = s.Mounted(jar, Mounting{0, 0, -1})
	require.NoError(t, err)
	assert.Equal(t, Drain{Return: EmptiedByHand}, m.Drain)
	back, err := m.Mounted(sh, sh.Mountings()[0])
	require.NoError(t, err, "from a can that is emptied by hand")
	assert.Equal(t, AboveOil, back.Drain.Return)
}

// TestReadyShelf mounts all that is possible of the ready-made shelf.
func TestReadyShelf(t *testing.T) {
	sh, err := ReadyShelf()
	require.NoError(t, err)
	s, err := Ready(DefaultReady)
	require.NoError(t, err)
	require.Greater(t, len(sh.Mountings()), 10)
	for _, m := range sh.Mountings() {
		mounted, err := s.Mounted(sh, m)
		require.NoError(t, err, sh.Name(m))
		complete(t, mounted)
	}
	assert.Empty(t, sh.Warnings)
	assert.NotContains(t, ReadyNames(), ReadyShelfName)
}

// FuzzShelf feeds any bytes: ParseShelf returns a shelf of which all is mounted, or
// problems, and never panics.
func FuzzShelf(f *testing.F) {
	f.Add([]byte(leastShelf))
	f.Add([]byte(drained))
	f.Add(ReadyShelfSource())
	s, err := Ready(DefaultReady)
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, data []byte) {
		var sh *Shelf
		var err error
		bounded.Do(t, func() { sh, err = ParseShelf("fuzz.yaml", data) })
		if err != nil {
			checkProblems(t, err, data)
			return
		}
		for _, m := range sh.Mountings() {
			var problems Problems
			mounted, err := s.Mounted(sh, m)
			if err != nil && !errors.As(err, &problems) {
				t.Fatalf("%s: %v", sh.Name(m), err)
			}
			if err == nil {
				complete(t, mounted)
			}
		}
	})
}
