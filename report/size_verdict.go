package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// SizingVerdict says in plain words what would do for the longest session: the
// smallest can, the least fall, and which of the two is the trouble where one of
// them doesn't help.
func SizingVerdict(z *decide.Sizing, u units.System) string {
	v := sizingWords{z, u, len(z.Sessions) - 1}
	parts := []string{v.volume()}
	if z.Fall != nil {
		parts = append(parts, v.fall())
	}
	return strings.TrimSpace(strings.Join(append(parts, v.trouble()), " "))
}

type sizingWords struct {
	*decide.Sizing
	units   units.System
	longest int
}

func (v sizingWords) session() string { return words.Length(v.Sessions[v.longest], v.units) }

func (v sizingWords) limit() string {
	of := 100.0
	for v.Risk*of < 1 && of < 1e6 {
		of *= 10
	}
	return fmt.Sprintf("the limit of %s of %s", counted(v.Risk*of), words.Grouped(int64(of)))
}

// volume says what the smallest can is.
func (v sizingWords) volume() string {
	t := v.Volume[v.longest]
	if !t.Found {
		return fmt.Sprintf("No can of up to %s keeps %s in a session of %s: with one of that size %s.",
			size(t.To, units.Volume, v.units), v.limit(), v.session(), v.happens(v.LargestCan))
	}
	text := fmt.Sprintf("The smallest can that keeps %s in a session of %s holds %s", v.limit(), v.session(), v.threshold(t, units.Volume))
	if area := v.crossSection(); area > 0 && !math.IsNaN(t.Buy) {
		text += fmt.Sprintf(" (%s tall inside at this cross-section)", size(t.Buy/area, units.Length, v.units))
	}
	if t.High <= v.Scenario.Separator.UsableVolume.Nominal() {
		text += ": the present one does"
	}
	return text + "."
}

func (v sizingWords) crossSection() float64 {
	s := v.Scenario.Separator
	if s.Diameter != nil {
		d := s.Diameter.Nominal()
		return math.Pi / 4 * d * d
	}
	return s.CrossSection.Nominal()
}

// shortestFall is the least fall that the layout may have as written, m.
func (v sizingWords) shortestFall() float64 {
	if f := v.Scenario.Drain.Fall; f != nil {
		low, _ := f.Distribution.Range()
		return low
	}
	return decide.NominalFall(v.Scenario)
}

// fall says what the least fall is.
func (v sizingWords) fall() string {
	t := v.Fall[v.longest]
	if !t.Found {
		return fmt.Sprintf("No fall of up to %s keeps it: with that much %s.", size(t.To, units.Length, v.units), v.happens(v.LongestFall))
	}
	text := fmt.Sprintf("The least fall that keeps it with this can is %s", v.threshold(t, units.Length))
	switch more := t.Buy - decide.NominalFall(v.Scenario); {
	case t.High <= v.shortestFall():
		text += ": there is as much"
	case more > 0:
		text += fmt.Sprintf(", %s more than there is", size(more, units.Length, v.units))
	}
	return text + "."
}

func (v sizingWords) threshold(t decide.Threshold, d units.Dimension) string {
	switch {
	case t.Least && t.High == t.From:
		return "any from " + size(t.From, d, v.units)
	case math.IsInf(t.High, 1):
		return fmt.Sprintf("%s (from %s on; more realizations would tell)", size(t.Value, d, v.units), size(t.Low, d, v.units))
	}
	return fmt.Sprintf("%s (%s): take %s", size(t.Value, d, v.units), span(t.Low, t.High, d, v.units), size(t.Buy, d, v.units))
}

// happens says what still goes wrong at the end of a search.
func (v sizingWords) happens(res *sim.Result) string {
	w := wordingOf(res, v.units, v.Risk, len(res.Sessions)-1)
	over, backsUp := w.chances[0], w.chances[1]
	switch {
	case over.Events == 0:
		return "the drain still backs up in " + w.count(backsUp)
	case backsUp.Impossible || backsUp.Events == 0:
		return "it still overflows in " + w.count(over)
	}
	return fmt.Sprintf("the drain still backs up in %s and the can overflows in %s", w.count(backsUp), w.count(over))
}

// trouble says which of can and drain is to be changed.
func (v sizingWords) trouble() string {
	volume := v.Volume[v.longest].Found
	switch {
	case v.Fall == nil && volume, v.Fall == nil && v.Kind != sim.NoDrain:
		return ""
	case v.Fall == nil:
		return "Empty it more often, or let it drain back."
	}
	fall := v.Fall[v.longest].Found
	switch {
	case !volume && fall:
		return "The drain is the trouble, not the can: a larger can alone does not help."
	case volume && !fall && v.Kind == sim.Unsealed:
		return "More fall does not help: gas that goes up an open drain holds the oil up, whatever its fall. " + v.bore()
	case volume && !fall:
		return "The can is the trouble, not the fall."
	case !volume && v.Kind == sim.Unsealed:
		return "Neither helps: gas that goes up an open drain holds the oil up, whatever its fall. " + v.bore()
	case !volume:
		return "Neither alone does: change both, or the bore, the return or the breathers."
	}
	return ""
}

// bore names the narrowest bore of the table that keeps the limit at some fall.
func (v sizingWords) bore() string {
	if v.Drains != nil {
		for j, bore := range v.Drains.Columns.Values {
			for i, fall := range v.Drains.Rows.Values {
				c := v.Drains.Cells[i][j]
				if c.Problem == "" && c.Fails.High <= v.Risk {
					return fmt.Sprintf("A bore of %s keeps it, from %s of fall on.", size(bore, units.Length, v.units), size(fall, units.Length, v.units))
				}
			}
		}
	}
	return "A seal, a wider bore or another breather circuit may."
}
