package scenarios

import "math"

// Shelf is cans that could be fitted, and the places in the bay where one could
// sit. All values are SI.
type Shelf struct {
	Title    string
	File     string // as named by the user; empty for the ready-made shelf
	Example  string // name of the ready-made shelf, empty for a user's own file
	SHA256   string // of the file's bytes, hexadecimal
	Currency string // of all prices, "EUR"; empty where no can has one

	Cans     []Can
	Places   []Place
	Warnings []Warning
}

// Can is a separator on a shelf. What is nil or empty was left open; it stays as
// the scenario has it.
type Can struct {
	Name string
	Size Size // outer

	UsableVolume       *Quantity // m3
	CrossSection       *Quantity // m2; nil where Diameter is given
	Diameter           *Quantity // m, inside
	Efficiency         *Quantity // of the mist
	Loss, LossAt       *Quantity // Pa at m3/s
	OilCollects        string
	GasPathClosesFrom  *Quantity // fill
	OilBlownOutFrom    *Quantity // fill
	EfficiencyWhenFull *Quantity // of that when empty
	OffAxis            *Quantity // m, gas outlet from the can's axis

	DrainBore       *Quantity // m; nil: it has no drain
	LossCoefficient *Quantity // of the drain
	Seal            Seal      // that its drain comes with
	ValveOpensAt    *Quantity // Pa

	Mass  *Quantity // kg, exact
	Price *float64  // in the shelf's currency

	node *node
}

// Size is an outer size, or the largest that fits, m. A round can has its diameter
// as length and width.
type Size struct {
	Length, Width, Height float64
	Round                 bool
}

// Place is where a can could sit.
type Place struct {
	Name          string
	Largest       Size // outer size of a can
	EmptiedByHand bool // a can can be reached there to be emptied
	Returns       []PlaceReturn
}

// PlaceReturn is a way back for the oil from a place.
type PlaceReturn struct {
	Name       string
	Return     Return       // AboveOil or BelowOil
	Fall       *Quantity    // m, drain outlet above the return; nil where Route is given
	Length     *Quantity    // m; nil: by rule from the fall, or from Route
	Dip        *Quantity    // m; nil: none
	Route      []RoutePoint // from can to return
	OilSurface *RoutePoint  // with a route below the oil
	Seal       Seal         // of the hose that is laid there, instead of the can's; empty: not said

	node *node
}

// Mounting is a can of a shelf in a place, with one of its returns, by index.
type Mounting struct {
	Can, Place int
	Return     int // -1: emptied by hand
}

// ByHand reports whether the can is emptied by hand.
func (m Mounting) ByHand() bool { return m.Return < 0 }

// Excess is by how much a can is too large for a place, m; 0 where it isn't.
type Excess struct{ Long, Wide, High float64 }

// Fits reports whether nothing is too large.
func (e Excess) Fits() bool { return e == Excess{} }

// sameSize is how exactly outer sizes are compared, m: it covers rounding alone.
const sameSize = 1e-6

// Excess returns by how much a can of an outer size, upright, is too large for a
// place; it may be turned by 90° about its vertical axis, and is turned the way
// that leaves less of it outside.
func (largest Size) Excess(outer Size) Excess {
	over := func(size, room float64) float64 {
		if size <= room+sameSize {
			return 0
		}
		return size - room
	}
	e := Excess{over(outer.Length, largest.Length), over(outer.Width, largest.Width), over(outer.Height, largest.Height)}
	turned := Excess{over(outer.Width, largest.Length), over(outer.Length, largest.Width), e.High}
	if max(turned.Long, turned.Wide) < max(e.Long, e.Wide) {
		return turned
	}
	return e
}

// Volume returns the volume that an outer size takes, m3.
func (s Size) Volume() float64 { return s.Footprint() * s.Height }

// Footprint returns the area that an outer size covers, m2.
func (s Size) Footprint() float64 {
	if s.Round {
		return math.Pi / 4 * s.Length * s.Length
	}
	return s.Length * s.Width
}

// Excess returns by how much a can is too large for a place.
func (sh *Shelf) Excess(can, place int) Excess {
	return sh.Places[place].Largest.Excess(sh.Cans[can].Size)
}

// Mountings lists what is possible: by place, then can, then return, emptied by
// hand last. Cans that don't fit are left out.
func (sh *Shelf) Mountings() []Mounting {
	var list []Mounting
	for p := range sh.Places {
		for c := range sh.Cans {
			if !sh.Excess(c, p).Fits() {
				continue
			}
			if sh.Cans[c].DrainBore != nil {
				for r := range sh.Places[p].Returns {
					list = append(list, Mounting{c, p, r})
				}
			}
			if sh.Places[p].EmptiedByHand {
				list = append(list, Mounting{c, p, -1})
			}
		}
	}
	return list
}

// Name names a mounting: "can, place, return".
func (sh *Shelf) Name(m Mounting) string {
	way := byHandName
	if !m.ByHand() {
		way = sh.Places[m.Place].Returns[m.Return].Name
	}
	return sh.Cans[m.Can].Name + ", " + sh.Places[m.Place].Name + ", " + way
}
