package preset

import "slices"

// used is oil use that nobody read: how much, over what.
type used struct{ volume, over Range }

// onCircuit is the liquid and mist that leaves in 20 minutes on a circuit, by
// word; over an oil change interval, in 1000 km of road. Empty: not known.
var (
	onCircuit = map[string]Range{
		"none": {Value: "5 .. 30 mL", Source: "prior: a healthy engine in 20 min on track; none seen is not none" + allLayouts},
		"some": {Value: "30 .. 100 mL", Source: "prior: between a healthy engine and a badly vented one, in 20 min on track" + allLayouts},
		"much": {Value: "100 .. 500 mL", Source: "prior: a badly vented or overfilled engine in 20 min on track" + allLayouts},
		"": {Value: "50 x/ 3.5 mL", AtLeast: "5 mL", AtMost: "1 L",
			Source: "prior: 5 to 30 mL of a healthy engine, 50 to 500 mL of a badly vented or overfilled one, in 20 min on track" + allLayouts},
	}
	onRoad = map[string]Range{
		"none": {Value: "0.017 .. 0.10 L", Source: "West and Sluder 2013, SAE 2013-01-0884: 0.015 to 0.090 g/km of healthy engines, at 0.87 kg/L" + allLayouts},
		"some": {Value: "0.1 .. 0.3 L", Source: "prior: between healthy engines (West and Sluder 2013) and what repair manuals call excessive" + allLayouts},
		"much": {Value: "0.30 .. 0.65 L", Source: "called excessive in repair manuals: 1 US qt in 900 to 2000 miles" + allLayouts},
		"": {Value: "0.1 x/ 2.5 L", AtLeast: "0.01 L", AtMost: "1 L",
			Source: "derived: healthy engines 0.017 to 0.10 L (West and Sluder 2013), excessive 0.30 to 0.65 L (repair manuals), in 1000 km" + allLayouts},
	}
)

// The intervals of the words above, and those of a volume that was read.
var (
	twentyMinutes = Range{Path: "carry_over.during", Value: "20 min", Source: "the time that the volume above is for"}
	thousand      = Range{Path: "carry_over.during.distance", Value: "1000 km", Source: "the distance that the volume above is for"}
	oilChange     = Range{Path: "carry_over.during.distance", Value: "5000 .. 10000 .. 15000 km", Source: fromMemory}
	sessionOrDay  = Range{Path: "carry_over.during", Value: "15 .. 150 min", Source: "prior: not known over what; from one session to a day of them"}
)

// Share of the oil used that left through the breathers.
var (
	throughOnRoad = Range{Path: "carry_over.through_breathers", Value: "10 .. 20 .. 60 %",
		Source: "Yilmaz et al. 2004, SAE 2004-01-2909: 10 to 30 % on the road; upper end: prior" + allLayouts}
	throughOnTrack = Range{Path: "carry_over.through_breathers", Value: "60 .. 100 %", Source: prior + allLayouts}
)

// carryOver writes how much oil the blow-by takes along.
func (f *file) carryOver() {
	f.line("", "")
	f.line("", "carry_over:               # the one thing worth measuring")
	road := f.onRoad()
	if f.known.OilUsed == "" || slices.Contains(AmountNames(), f.known.OilUsed) {
		f.amount(road)
	} else {
		f.stated("  ", "carry_over.oil_used", "oil used", f.known.OilUsed)
		f.interval()
	}
	through := throughOnTrack
	if road {
		through = throughOnRoad
	}
	f.ranges("  ", []Range{through}, through.Path)
	f.ranges("  ", f.engine.Ranges, "carry_over.corner_share")
}

// onRoad reports whether oil use was read over a road interval.
func (f *file) onRoad() bool {
	switch f.known.period {
	case unknownPeriod:
		return f.use.Road
	case anOilChange, aDistance:
		return true
	}
	return false
}

// amount writes an amount that nobody read, and what it is for.
func (f *file) amount(road bool) {
	u := used{onCircuit[f.known.OilUsed], twentyMinutes}
	if road {
		u = used{onRoad[f.known.OilUsed], thousand}
	}
	if f.known.OilUsed != "" {
		f.line("  ", "# stated: "+f.known.OilUsed)
	}
	u.volume.Path = "carry_over.oil_used"
	f.ranges("  ", []Range{u.volume}, u.volume.Path)
	f.during(u.over)
}

// interval writes over what a volume was read.
func (f *file) interval() {
	session := f.use.Session
	session.Path = "carry_over.during"
	session.Source = "a session of this use: " + session.Source
	switch period := f.known.period; {
	case period == aTime:
		f.stated("  ", "carry_over.during", "oil used over", f.known.OilOver)
	case period == aDistance:
		f.line("  ", "during:")
		f.stated("    ", "carry_over.during.distance", "oil used over", f.known.OilOver)
	case f.onRoad():
		f.during(oilChange)
	case period == aSession:
		f.during(session)
	default:
		f.during(sessionOrDay)
	}
}

// during writes an interval that is assumed: a time, or a road distance.
func (f *file) during(r Range) {
	if r.Path == "carry_over.during" {
		f.ranges("  ", []Range{r}, r.Path)
		return
	}
	f.line("  ", "during:")
	f.ranges("    ", []Range{r}, r.Path)
}
