package preset

import (
	"fmt"
	"math"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// The can and its drain, where nothing is known of them: the same for all
// engines.
var (
	canRanges = []Range{
		{Path: "separator.usable_volume", Value: "0.2 .. 0.45 .. 1.2 L",
			Source: "derived: cans of 0.5 to 2 L (common practice, from memory), of which 40 to 60 % is usable with the surface tilted in a corner" + allLayouts},
		{Path: "separator.diameter", Value: "65 .. 85 .. 120 mm", Source: prior + allLayouts},
		{Path: "separator.efficiency", Value: "10 .. 85 %", Source: "derived: baffles (10 %) to a small cyclone (85 %), on mist of 1.2 µm" + allLayouts},
		{Path: "separator.gas_path_closes_from", Value: "40 .. 60 .. 80 %", Source: prior},
	}
	outletRanges = []Range{
		{Path: "separator.outlet.bore", Value: "16 .. 19 .. 25 mm", Source: prior + allLayouts},
		{Path: "separator.outlet.length", Value: "300 .. 600 .. 1000 mm", Source: prior + allLayouts},
		{Path: "separator.outlet.loss_coefficient", Value: "1.5 .. 2 .. 5",
			Source: "derived: entrance and exit 1.5 (Crane TP-410), one to three bends; spread: prior" + allLayouts},
	}
	drainRanges = []Range{
		{Path: "drain.bore", Value: "8 .. 12 .. 16 mm", Source: "common practice, from memory: hoses of dash 6 to dash 10" + allLayouts},
		{Path: "drain.dip", Value: "10 .. 60 mm", Source: prior},
		{Path: "drain.loss_coefficient", Value: "1.5 .. 3 .. 8",
			Source: "derived: entrance and exit 1.5 (Crane TP-410), bends, and up to a hollow-bolt fitting of 5 (prior)" + allLayouts},
	}
	trapDip = Range{Path: "drain.dip", Value: "30 .. 60 mm", Source: prior + ": a trap is a low point that holds oil"}
)

func (f *file) separator() {
	f.line("", "")
	f.line("", "separator:")
	f.knownOr("separator.usable_volume", "can volume", f.known.CanVolume, canRanges...)
	f.ranges("  ", canRanges, "separator.diameter", "separator.efficiency")
	if f.known.CanWithinCan {
		f.line("  ", "# stated: a can within a can; from which fill its gas passage closes is assumed")
		f.ranges("  ", canRanges, "separator.gas_path_closes_from")
	}
	f.line("  ", "pressure_loss:          # of the element, clean")
	for _, r := range f.pressureLoss() {
		f.line("    ", lastPart(r.Path)+": "+r.spelledOut())
	}
	f.line("  ", "outlet:")
	if f.known.VentsToAir {
		f.line("    ", "to: air   # stated; closed courses only")
	} else {
		f.assumed("    ", "to", "intake", prior)
	}
	f.ranges("    ", outletRanges, "separator.outlet.bore", "separator.outlet.length", "separator.outlet.loss_coefficient")
}

// pressureLoss is the loss of an element that was chosen for such an engine: at
// the blow-by that the scenario's own law gives for one, used:
//
//	Q = 1.6 · 13 L/min · V_d[L] · p_man[bar absolute], times 1.15 under boost
func (f *file) pressureLoss() []Range {
	volume := f.nominal("engine.displacement", f.known.Displacement, units.Volume)
	boost := f.nominal("engine.boost", f.known.Boost, units.Pressure)
	flow := 1.6 * 13 * volume * 1e3 * (1.01325 + boost/1e5)
	if boost > 0 {
		flow *= 1.15
	}
	flow = max(10, 10*math.Round(flow/10))
	return []Range{
		{Path: "separator.pressure_loss.loss", Value: "0.5 .. 1.5 kPa", Source: "derived: a baffled can to a fine element at full blow-by" + allLayouts},
		{Path: "separator.pressure_loss.at", Value: fmt.Sprintf("%.0f L/min", flow),
			Source: "derived: full-throttle blow-by of such an engine, used, at its most likely size and boost: what the separator was chosen for"},
	}
}

// nominal is the most likely value of an answer, or of its range where it
// isn't known, SI.
func (f *file) nominal(path, answer string, d units.Dimension) float64 {
	if q, err := uncertainty.Parse(answer, d); answer != "" && err == nil {
		return q.Nominal()
	}
	q, err := uncertainty.Parse(find(f.engine.Ranges, path).Value, d)
	if err != nil { // a fault of the preset; every test meets it
		return 0
	}
	return q.Nominal()
}

func (f *file) drain() {
	f.line("", "")
	f.line("", "drain:")
	returns := f.known.at.returns
	if f.known.Return == "" {
		f.assumed("  ", "return", returns, "not known; below_oil or emptied_by_hand otherwise")
	} else {
		f.line("  ", "return: "+returns+"   # stated: "+f.known.at.name)
	}
	if returns == byHand {
		f.assumed("  ", "emptied", "every session", "chosen; or at stops, or every 30 min")
		return
	}
	switch {
	case f.known.Seal != "":
		f.answers["drain.seal"] = "seal"
		f.line("  ", "seal: "+f.known.Seal+"   # stated")
	case returns == aboveOil:
		f.assumed("  ", "seal", string(scenarios.ValveSeal), "not known; the harder case where the fall is short, see the variants")
	}
	f.knownOr("drain.bore", "bore", f.known.Bore, drainRanges...)
	f.knownOr("drain.fall", "fall", f.known.Fall, f.engine.Fall(f.known.at.name))
	f.dip()
	f.ranges("  ", drainRanges, "drain.loss_coefficient")
}

// dip writes a low point: of stated or unknown depth, or the one that a trap is.
func (f *file) dip() {
	switch {
	case f.known.Dip == "yes":
		f.line("  ", "# stated: there is a low point; its depth is assumed")
		f.ranges("  ", drainRanges, "drain.dip")
	case f.known.Dip != "":
		f.stated("  ", "drain.dip", "dip", f.known.Dip)
	case f.known.Seal == "trap" && f.known.at.returns == aboveOil:
		f.ranges("  ", []Range{trapDip}, "drain.dip")
	}
}
