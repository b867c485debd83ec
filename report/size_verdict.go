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
		return fmt.Sprintf("No can of up to %s meets %s in a session of %s: with one of that size %s.",
			size(t.To, units.Volume, v.units), v.limit(), v.session(), v.happens(v.LargestCan))
	}
	taken, on := v.otherwise(v.TakenCan, v.LargestCan, "can", t.To, units.Volume), ""
	if taken != "" {
		on = " on " + v.failure()
	}
	text := fmt.Sprintf("The smallest can that meets %s%s in a session of %s holds %s", v.limit(), on, v.session(), v.threshold(t, units.Volume))
	if t.Least {
		text = fmt.Sprintf("Any can from %s on meets %s%s in a session of %s (smaller ones were not tried)%s",
			size(t.From, units.Volume, v.units), v.limit(), on, v.session(), v.surely(t, units.Volume))
	}
	if area := v.crossSection(); area > 0 && !math.IsNaN(t.Buy) {
		text += fmt.Sprintf(" (%s)", v.tall(t.Buy, area))
	}
	if t.High <= v.Scenario.Separator.UsableVolume.Nominal() {
		text += ": the present one does"
	}
	return text + "." + taken
}

// tall says how high a can of a volume in m3 is inside at a cross-section in m2. One of
// known shape grows as a whole: its outlet's mouth with its lid.
func (v sizingWords) tall(volume, area float64) string {
	mouth := volume / area
	shape := v.Scenario.Separator.Shape
	if shape == nil {
		return size(mouth, units.Length, v.units) + " tall inside at this cross-section"
	}
	height := mouth * shape.Height.Nominal() / shape.Outlet.Z.Nominal()
	return fmt.Sprintf("%s tall inside, the outlet's mouth %s up, at this cross-section",
		size(height, units.Length, v.units), size(mouth, units.Length, v.units))
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
		return fmt.Sprintf("No fall of up to %s meets it: with that much %s.", size(t.To, units.Length, v.units), v.happens(v.LongestFall))
	}
	taken, on := v.otherwise(v.TakenFall, v.LongestFall, "fall", t.To, units.Length), ""
	if taken != "" {
		on = " on " + v.failure()
	}
	text := fmt.Sprintf("The least fall that meets it%s with this can is %s", on, v.threshold(t, units.Length))
	if t.Least {
		text = fmt.Sprintf("Any fall from %s on meets it%s with this can (less was not tried)%s", size(t.From, units.Length, v.units), on, v.surely(t, units.Length))
	}
	switch more := t.Buy - decide.NominalFall(v.Scenario); {
	case t.High <= v.shortestFall():
		text += ": there is as much"
	case more > lengthNoise:
		text += fmt.Sprintf(", %s more than there is", size(more, units.Length, v.units))
	case more > -lengthNoise:
		text += ", as much as there is at nominal values"
	}
	return text + "." + taken
}

// lengthNoise is how near two lengths are the same, m: what arithmetic leaves of a
// difference is no length.
const lengthNoise = 1e-6

// failure is what a threshold is about.
func (v sizingWords) failure() string {
	if v.Kind == sim.NoDrain {
		return "overflow"
	}
	return "overflow and a choked drain"
}

// otherwise says of a size that meets the limit on overflow and a choked drain
// where over-pressure or oil lost does not, and whether any size searched does
// better; empty where both meet it.
func (v sizingWords) otherwise(taken, end *sim.Result, what string, to float64, d units.Dimension) string {
	if taken == nil {
		return ""
	}
	last := len(taken.Sessions) - 1
	w := wordingOf(taken, v.units, v.Risk, last)
	w.chances[words.Overflow].Events, w.chances[words.DrainChoked].Events = 0, 0 // not spoken of
	w.of = w.denominator()
	at := words.SessionChances(end, &end.Sessions[last])
	limits := v.Scenario.Limits
	var breaks, may []string
	mends := false
	for _, x := range []struct {
		event int // see words.SessionChances
		what  string
	}{
		{words.OverPressure, "crankcase pressure goes over " + words.Show(limits.CrankcasePressure.Nominal(), units.Pressure, v.units)},
		{words.OilLost, "more than " + words.Show(limits.OilLost.Nominal(), units.Volume, v.units) + " of oil is lost"},
	} {
		c := w.chances[x.event]
		text := x.what + " in " + w.count(c)
		switch s := c.StandingTo(v.Risk); {
		case s == words.Beyond:
			breaks = append(breaks, text)
			mends = mends || at[x.event].StandingTo(v.Risk) != words.Beyond
		case s == words.Unclear && c.Events > 0:
			may = append(may, text)
		}
	}
	switch {
	case len(breaks) > 0 && mends:
		return fmt.Sprintf(" That does not meet the limit for all: with it %s.", words.Joined(breaks, "and"))
	case len(breaks) > 0:
		return fmt.Sprintf(" That does not meet the limit for all: with it %s, and no %s of up to %s mends that.", words.Joined(breaks, "and"), what, size(to, d, v.units))
	case len(may) > 0:
		return fmt.Sprintf(" Whether that meets the limit for all, %s realizations can't tell: with it %s.", words.Grouped(int64(taken.Realizations)), words.Joined(may, "and"))
	}
	return ""
}

func (v sizingWords) threshold(t decide.Threshold, d units.Dimension) string {
	switch {
	case math.IsInf(t.High, 1) && t.Low == t.From:
		return fmt.Sprintf("%s (more realizations would tell)", size(t.Value, d, v.units))
	case math.IsInf(t.High, 1):
		return fmt.Sprintf("%s (from %s on; more realizations would tell)", size(t.Value, d, v.units), size(t.Low, d, v.units))
	}
	return fmt.Sprintf("%s (%s): take %s", size(t.Value, d, v.units), thresholdInterval(t, d, v.units), size(t.Buy, d, v.units))
}

// surely says of a threshold that lies below what was searched from where on the
// whole interval says so.
func (v sizingWords) surely(t decide.Threshold, d units.Dimension) string {
	switch {
	case t.High == t.From:
		return ""
	case math.IsInf(t.High, 1):
		return "; more realizations would tell"
	}
	return fmt.Sprintf(", with the whole interval from %s on: take %s", size(t.High, d, v.units), size(t.Buy, d, v.units))
}

// happens says what still goes wrong at the end of a search.
func (v sizingWords) happens(res *sim.Result) string {
	w := wordingOf(res, v.units, v.Risk, len(res.Sessions)-1)
	over, backsUp := w.chances[words.Overflow], w.chances[words.DrainChoked]
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

// bore names the narrowest bore of the table that meets the limit at some fall.
func (v sizingWords) bore() string {
	if v.Drains != nil {
		for j, bore := range v.Drains.Columns.Values {
			for i, fall := range v.Drains.Rows.Values {
				c := v.Drains.Cells[i][j]
				if c.Problem == "" && c.Fails.High <= v.Risk {
					return fmt.Sprintf("A bore of %s meets it, from %s of fall on.", size(bore, units.Length, v.units), size(fall, units.Length, v.units))
				}
			}
		}
	}
	return "A seal, a wider bore or another breather circuit may."
}
