package scenarios

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"sumpward/scenarios/units"
)

// What a shelf may hold.
const (
	mostCans         = 200
	mostPlaces       = 20
	mostReturns      = 20 // of a place
	mostCombinations = 400
	longestName      = 40
)

// shelfBinder ties decoded values to a Shelf.
type shelfBinder struct {
	*binder
	shelf *Shelf
}

func (b *shelfBinder) bind() {
	b.version("shelf")
	b.shelf.Title = b.word("title")
	b.cans()
	b.places()
	if len(b.problems) > 0 {
		return
	}
	if n := len(b.shelf.Mountings()); n > mostCombinations {
		b.problem(b.line("places"), "places", fmt.Sprintf("too many combinations of can, place and return (got %d, allowed 0 to %d)", n, mostCombinations),
			"part the shelf: fewer cans or places a file")
	}
}

// elementsOf returns the paths of a list's elements, if there are not too many.
func (b *shelfBinder) elementsOf(list string, most int, why string) []string {
	paths := b.elements[list]
	if v := b.values[list]; v == nil {
		b.missing(list, why)
	} else if len(paths) > most {
		b.problem(v.line, list, fmt.Sprintf("too many (got %d, allowed 1 to %d)", len(paths), most), "part the shelf: fewer of them a file")
		return nil
	}
	return paths
}

// name returns the name of an element; it is needed, short, and stands once.
func (b *shelfBinder) name(path string, used map[string]int) string {
	v := b.values[path+".name"]
	if v == nil {
		b.missing(path+".name", "a name to tell them apart")
		return ""
	}
	name := strings.Join(strings.Fields(v.word), " ")
	key := strings.ToLower(name)
	switch before, twice := used[key]; {
	case v.bad:
	case len([]rune(name)) > longestName:
		b.problem(v.line, v.path, fmt.Sprintf("the name is too long (got %d characters, allowed 1 to %d)", len([]rune(name)), longestName), "")
	case key == byHandName:
		b.problem(v.line, v.path, "this stands for a can that is emptied by hand (got "+shorten(name)+")", "give it another name")
	case twice:
		b.problem(v.line, v.path, fmt.Sprintf("the name is used twice (got %s, first in line %d)", shorten(name), before), "give each its own name")
	}
	used[key] = v.line
	return name
}

func (b *shelfBinder) cans() {
	used := map[string]int{}
	for _, path := range b.elementsOf("cans", mostCans, "what could be fitted") {
		if b.values[path].bad {
			continue
		}
		c := Can{
			Name: b.name(path, used), Size: b.outerSize(path + ".outer_size"), node: b.values[path].node,
			UsableVolume: b.required(path+".usable_volume", "the oil that the can holds"),
			CrossSection: b.given(path + ".cross_section"), Diameter: b.given(path + ".diameter"),
			Efficiency: b.given(path + ".efficiency"), OilCollects: b.word(path + ".oil_collects"),
			Loss: b.given(path + ".pressure_loss.loss"), LossAt: b.given(path + ".pressure_loss.at"),
			GasPathClosesFrom: b.given(path + ".gas_path_closes_from"), OilBlownOutFrom: b.given(path + ".oil_blown_out_from"),
			EfficiencyWhenFull: b.given(path + ".efficiency_when_full"), OffAxis: b.given(path + ".off_axis"),
			DrainBore: b.given(path + ".drain_bore"), Seal: Seal(b.word(path + ".seal")), ValveOpensAt: b.given(path + ".valve_opens_at"),
			Mass: b.given(path + ".mass"), Price: b.price(path + ".price"),
		}
		b.given(path + ".pressure_loss.gas_density")
		if b.has(path+".loss_coefficient") || b.has(path+".fittings") {
			c.LossCoefficient = b.lossCoefficient(path)
		}
		b.canTogether(path, &c)
		b.shelf.Cans = append(b.shelf.Cans, c)
	}
}

// outerSize binds the outer size of a can.
func (b *shelfBinder) outerSize(path string) Size {
	if v := b.values[path]; v == nil || v.bad {
		b.missing(path, "how large the can is outside")
		return Size{}
	}
	s := Size{Height: b.side(path+".height", "how high the can stands")}
	if !b.has(path + ".diameter") {
		s.Length = b.side(path+".length", "length and width, or the diameter of a round can")
		s.Width = b.side(path+".width", "length and width, or the diameter of a round can")
		return s
	}
	for _, other := range []string{".length", ".width"} {
		b.conflict(path+".diameter", path+other, "a round can has one of them")
	}
	d := b.given(path + ".diameter").Nominal()
	return Size{Length: d, Width: d, Height: s.Height, Round: true}
}

// side returns a length that is needed.
func (b *shelfBinder) side(path, why string) float64 { return b.required(path, why).Nominal() }

// canTogether checks what one value of a can means for another.
func (b *shelfBinder) canTogether(path string, c *Can) {
	b.conflict(path+".cross_section", path+".diameter", "one follows from the other")
	if c.CrossSection == nil && c.Diameter == nil {
		b.missing(path+".cross_section", "this, or the inside diameter of a round can")
	}
	if loss := path + ".pressure_loss"; b.has(loss) && !b.values[loss].bad {
		b.required(loss+".loss", "a flow means little without its loss")
		b.required(loss+".at", "a loss means little without its flow")
	}
	if c.DrainBore == nil && !b.told(path+".drain_bore") {
		b.unused("the can has no drain (no drain_bore)", path+".seal", path+".valve_opens_at", path+".loss_coefficient", path+".fittings")
	}
	if c.ValveOpensAt != nil && c.Seal != "" && c.Seal != ValveSeal {
		b.unused("there is no valve", path+".valve_opens_at")
	}
	b.inside(path+".usable_volume", c.UsableVolume, c.Size.Volume(), units.Volume, "more than the outer size holds")
	b.inside(path+".cross_section", c.CrossSection, c.Size.Footprint(), units.Area, "more than the outer size covers")
	b.inside(path+".diameter", c.Diameter, min(c.Size.Length, c.Size.Width), units.Length, "more than the can is wide outside")
}

// inside insists that what is inside a can is no larger than its outer size.
func (b *shelfBinder) inside(path string, q *Quantity, most float64, d units.Dimension, what string) {
	if q == nil || !(most > 0) || !(q.Nominal() > most*(1+1e-9)) {
		return
	}
	b.problem(q.Line, path, fmt.Sprintf("%s (got %s, allowed up to %s)", what, shorten(q.Text), units.Format(most, d, units.Metric)),
		"look at outer_size and at the units")
}

// priced is a number and the letters of a currency.
var priced = regexp.MustCompile(`^([0-9]{1,12}(?:\.[0-9]{1,4})?) ?([A-Za-z]{3})$`)

// price binds a price; all are in one currency.
func (b *shelfBinder) price(path string) *float64 {
	v := b.values[path]
	if v == nil || v.bad {
		return nil
	}
	m := priced.FindStringSubmatch(v.word)
	if m == nil {
		b.problem(v.line, path, "a number and the three letters of its currency are wanted here (got "+shorten(v.word)+")", v.field.hint(""))
		return nil
	}
	currency := strings.ToUpper(m[2])
	switch b.shelf.Currency {
	case "":
		b.shelf.Currency = currency
	case currency:
	default:
		b.problem(v.line, path, "another currency than the prices before (got "+currency+", allowed "+b.shelf.Currency+")", "state all prices in one")
	}
	number, err := strconv.ParseFloat(m[1], 64)
	if err != nil { // twelve digits are always readable
		return nil
	}
	return &number
}

func (b *shelfBinder) places() {
	used := map[string]int{}
	for _, path := range b.elementsOf("places", mostPlaces, "where in the bay a can could sit") {
		if b.values[path].bad {
			continue
		}
		p := Place{Name: b.name(path, used), EmptiedByHand: b.word(path+".emptied_by_hand") == "true"}
		if room := path + ".largest_size"; !b.has(room) || b.values[room].bad {
			b.missing(room, "the outer size of the largest can that fits")
		} else {
			const why = "of the largest can that fits"
			p.Largest = Size{Length: b.side(room+".length", why), Width: b.side(room+".width", why), Height: b.side(room+".height", why)}
		}
		if b.has(path + ".returns") {
			p.Returns = b.returns(path + ".returns")
		} else if !p.EmptiedByHand && !b.told(path+".emptied_by_hand") {
			b.missing(path+".returns", "where the oil goes back to; or write emptied_by_hand: true")
		}
		b.shelf.Places = append(b.shelf.Places, p)
	}
}

func (b *shelfBinder) returns(list string) []PlaceReturn {
	used := map[string]int{}
	var all []PlaceReturn
	for _, path := range b.elementsOf(list, mostReturns, "") {
		if b.values[path].bad {
			continue
		}
		if !b.has(path + ".return") {
			b.missing(path+".return", "where the oil goes (above_oil or below_oil)")
		}
		r := PlaceReturn{Name: b.name(path, used), Return: Return(b.word(path + ".return")), Seal: Seal(b.word(path + ".seal")), node: b.values[path].node}
		b.wayBack(path, &r)
		all = append(all, r)
	}
	return all
}

// wayBack binds the fall (with length and dip) or the route of a return.
func (b *shelfBinder) wayBack(path string, r *PlaceReturn) {
	surface := b.values[path+".oil_surface"]
	if surface != nil {
		p := b.point(surface.path)
		r.OilSurface = &p
	}
	if v := b.values[path+".route"]; v != nil {
		for _, other := range []string{".fall", ".length", ".dip"} {
			b.conflict(path+".route", path+other, "a route has its own fall and length")
		}
		if !v.bad {
			r.Route = b.route(v.path)
		}
		if r.Return == BelowOil && surface == nil {
			b.missing(path+".oil_surface", "a return below the oil is measured to the middle of the oil's surface, not to the port")
		}
	} else if !b.has(path + ".fall") {
		b.missing(path+".fall", "how far the oil falls from the can's drain outlet to the return; or a route")
	} else {
		r.Fall, r.Length, r.Dip = b.given(path+".fall"), b.given(path+".length"), b.given(path+".dip")
		if r.Length != nil {
			b.longEnough(r.Length, r.Fall, r.Dip)
		}
	}
	if surface != nil && (r.Return != BelowOil || r.Route == nil && r.Fall != nil) {
		why := "the return is above the oil"
		if r.Return == BelowOil {
			why = "the fall ends at the oil's surface"
		}
		b.unused(why, surface.path)
	}
}

// byHandName stands for the return of a can that is emptied by hand.
const byHandName = "emptied by hand"
