package page

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

func (v *sideView) length(si float64) string {
	return words.FineLengths(v.units).WithUnit(si)
}

// column and fall, written so that they differ where they do.
func (v *sideView) heights() (column, fall string) {
	mm := words.FineLengths(v.units)
	if mm.Text(v.column) == mm.Text(v.fall) && v.column != v.fall {
		mm.Decimals++
	}
	return mm.WithUnit(v.column), mm.WithUnit(v.fall)
}

// geometricFall is the height of the can's floor above where fall is measured
// from.
func (v *sideView) geometricFall() float64 { return v.floor.z - v.base }

func (v *sideView) fallWords() string {
	_, fall := v.heights()
	if math.Abs(v.fall-v.geometricFall()) < 5e-4 {
		return "fall there is: " + fall + v.fallRange()
	}
	if v.fall <= 0 {
		return fmt.Sprintf("fall that counts: none (the can is %s up%s)", v.length(v.geometricFall()), v.fallRange())
	}
	return fmt.Sprintf("fall that counts: %s of %s%s", fall, v.length(v.geometricFall()), v.fallRange())
}

// fallRange says where the middle nine tenths of the drawn falls lie; empty where the fall
// is exact, or follows from the points of a route, each of which is drawn by itself.
func (v *sideView) fallRange() string {
	q := v.model.Scenario().Drain.Fall
	if q == nil || q.Distribution.IsExact() {
		return ""
	}
	mm := words.FineLengths(v.units)
	return fmt.Sprintf(", %s to %s (5 to 95 %%)", mm.Text(q.Distribution.Quantile(0.05)), mm.WithUnit(q.Distribution.Quantile(0.95)))
}

func (v *sideView) columnWords() string {
	column, _ := v.heights()
	if v.column <= 0 {
		return "column that pressure asks for at full throttle: none"
	}
	return "column that pressure asks for: " + column + " at full throttle"
}

// verdict says what comes of it.
func (v *sideView) verdict() string {
	p := v.check.FullThrottle
	switch {
	case v.kind == sim.NoDrain && v.check.ToOver == sim.Never:
		return "not full within " + words.Show(sim.HandHorizon, units.Time, v.units) + " of full throttle"
	case v.kind == sim.NoDrain:
		return "full after " + words.Show(v.check.ToOver, units.Time, v.units) + " of full throttle, from empty"
	case v.kind == sim.Unsealed && p.Fall <= 0:
		return "no fall: held at full throttle"
	case v.kind == sim.Unsealed:
		does := "runs"
		if p.Held {
			does = "held"
		}
		return fmt.Sprintf("%.0f %% of that speed: %s at full throttle", 100*p.GasUp/p.GasLimit, does)
	case p.Held:
		return fmt.Sprintf("short by %s: held at full throttle", v.length(-p.Margin))
	}
	return fmt.Sprintf("%s in hand: runs at full throttle", v.length(p.Margin))
}

// levelWords name a level of the can, whole and broken to a narrow column.
func (v *sideView) levelWords(name string, height, fill float64) (text string, lines []string) {
	share := fmt.Sprintf("%.3g %%", 100*fill)
	return fmt.Sprintf("%s: %s, %s", name, v.length(height), share), append(strings.Fields(name), v.length(height), share)
}

func (v *sideView) returnWords() string {
	s := v.model.Scenario().Drain
	text := "return above the oil"
	if v.kind == sim.BelowOil {
		text = "return below the oil"
	}
	switch {
	case s.Seal == scenarios.ValveSeal:
		text += ", valve opens at " + words.Show(v.model.Nominal().Drain.OpensAt, units.Pressure, v.units)
	case s.Seal == scenarios.TrapSeal:
		text += ", sealed by a trap"
	case v.check.SealedByTrap:
		text += ", sealed by oil in the hose"
	case v.kind == sim.Unsealed:
		text += ", no seal: gas goes up"
	}
	return text
}

func (v *sideView) surfaceWords() string {
	if v.port == nil {
		return "oil in the sump: the fall counts down to its surface"
	}
	return "surface of the oil in the sump"
}

func (v *sideView) lowPointWords(l sim.LowPointCheck) string {
	text := fmt.Sprintf("%s: climbs %s", l.Name, v.length(l.Climb))
	switch {
	case l.WeightLost >= 1:
		text += ", no fall behind it helps"
	case l.WeightLost > 0:
		text += fmt.Sprintf(", %.0f %% of the fall behind it no longer helps", 100*l.WeightLost)
	}
	return text
}

// gasWords say how fast gas goes up the drain, and what holds all oil up.
func (v *sideView) gasWords() (up, limit string) {
	p := v.check.FullThrottle
	return "gas up the drain at full throttle: " + words.Show(p.GasUp, units.Speed, v.units),
		"no oil comes down it from: " + words.Show(p.GasLimit, units.Speed, v.units)
}

// notes say how the drawing is to be read.
func (v *sideView) notes() []string {
	text := "One scale in both directions, nominal values. The can is a cylinder of its usable volume: its outer shape is not known."
	if v.model.Scenario().Separator.Shape != nil {
		text = "One scale in both directions, nominal values. The can is drawn up to its outlet's mouth: the room over it and its walls are not shown."
	}
	if v.kind == sim.NoDrain {
		return []string{text}
	}
	text += " The hose is as wide as its bore, " + words.Show(v.bore, units.Length, v.units) + "."
	switch {
	case v.plane == fromTheRight:
		text += " Seen from the right, the car's front to the right." + v.acrossWords()
	case v.plane == fromBehind:
		text += " Seen from behind." + v.acrossWords()
	case len(v.low) > 0:
		text += " Only heights are known: drawn straight down, the dip beside it."
	default:
		text += " Only heights are known: drawn straight down."
	}
	return []string{text}
}

func (v *sideView) acrossWords() string {
	if v.across < 5e-4 {
		return ""
	}
	return " It also runs " + v.length(v.across) + " along the line of sight."
}

// description says the same as the drawing, in words.
func (v *sideView) description() string {
	list := []string{
		fmt.Sprintf("Can: usable height %s, width %s.", v.length(v.high), v.length(v.wide)),
	}
	say := func(text string) { list = append(list, words.Sentence(text)+".") }
	if v.kind != sim.NoDrain {
		text, _ := v.levelWords("choke level", v.choke, v.choke/v.high)
		say(text)
		say(v.fallWords())
	}
	switch v.kind {
	case sim.NoDrain:
		say("no drain: emptied by hand")
	case sim.Unsealed:
		up, limit := v.gasWords()
		say(up)
		say(limit)
	default:
		say(v.columnWords())
	}
	say(v.verdict())
	for _, l := range v.check.LowPoints {
		say(v.lowPointWords(l))
	}
	if v.kind != sim.NoDrain {
		say(v.returnWords())
	}
	return strings.Join(append(list, v.notes()...), " ")
}
