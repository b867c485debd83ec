package preset

// Use is what a car is used for.
type Use struct {
	Name     string // "track day"
	Line     string // what it is, in one line
	Road     bool   // on roads: alternating bursts without hard corners
	Sessions []string
	Session  Range     // length of one
	Ranges   []Range   // what a scenario takes from it, laps apart
	Lap      [][]Range // phases of what repeats on a circuit; nil on roads
}

// Uses lists the uses.
func Uses() []Use {
	return []Use{
		{
			Name: "road", Line: "a few per cent of full throttle, no hard corners", Road: true,
			Sessions: []string{"30 min", "60 min", "120 min"},
			Session:  Range{Name: "session", Value: "30 .. 120 min", Source: prior},
			Ranges:   onRoads,
		},
		onCircuits("track day", "sessions of 15 to 30 minutes, stops between",
			Range{Name: "session", Value: "15 .. 20 .. 30 min", Source: "as organisers of track days publish"}, "15 min", "20 min", "25 min", "30 min"),
		onCircuits("sprint and hill climb", "timed runs and short races of 3 to 10 minutes",
			Range{Name: "session", Value: "3 .. 5 .. 10 min", Source: prior}, "3 min", "5 min", "10 min"),
		onCircuits("endurance", "stints of one to two hours",
			Range{Name: "session", Value: "40 .. 60 .. 120 min", Source: "as organisers of endurance races publish"}, "60 min", "90 min", "120 min"),
	}
}

func onCircuits(name, line string, session Range, sessions ...string) Use {
	return Use{Name: name, Line: line, Sessions: sessions, Session: session, Ranges: onTrack, Lap: stretch}
}

var onRoads = append([]Range{
	{Path: "oil.temperature.start", Value: "10 .. 90 C", Source: "prior: from a cold start to one while still warm"},
	{Path: "oil.temperature.settled", Value: "90 .. 100 .. 115 C", Source: fromMemory},
	{Path: "duty.pattern.full_throttle", Value: "1 .. 4 %", Source: prior},
	{Path: "duty.pattern.burst", Value: "2 .. 4 .. 8 s", Source: "derived: bursts of 3 s (median, one lap on a circuit), exponential: a mean of 4.3 s; spread: prior"},
	{Path: "duty.pattern.load_otherwise", Value: "10 .. 40 %", Source: prior},
	{Path: "duty.lap_variation", Value: "5 .. 12 .. 25 %", Source: prior},
}, anywhere...)

var onTrack = append([]Range{
	{Path: "oil.temperature.start", Value: "40 .. 60 .. 90 C", Source: prior + allTrackUses},
	{Path: "oil.temperature.settled", Value: "100 .. 120 .. 150 C",
		Source: "common practice, from memory: 100 to 110 °C is aimed at, 120 to 130 °C is common, 150 °C extreme" + allTrackUses},
	{Path: "duty.lap_variation", Value: "50 .. 100 %",
		Source: "derived: bursts of 0.4 to 20 s about a median of 3 s, measured on one lap; here each stretch counts as a lap" + allTrackUses},
}, anywhere...)

var anywhere = []Range{
	{Path: "oil.temperature.time_constant", Value: "3 .. 6 .. 8 min", Source: fromMemory + "; shared by all uses"},
	{Path: "oil.ambient", Value: "10 .. 25 .. 40 C", Source: prior + "; shared by all uses"},
}

// stretch is what repeats on a circuit: a straight, its braking, a corner each
// way. The straight is 30, 45 and 75 % of it at its low end, its median and its
// high end, with the other phases at their most likely lengths.
var stretch = [][]Range{
	{
		{Path: "for", Value: "5.3 x/ 1.6 s", AtLeast: "2.8 s", AtMost: "19.5 s",
			Source: "derived: full throttle for 45 (30 to 75) % of a lap, by point-mass runs at 110 to 250 kW; one measured lap 39 %" + allTrackUses},
		{Path: "load", Value: "100 %", Source: byDefinition + ": full throttle"},
		{Path: "forward", Value: "0.2 .. 0.4 .. 0.7 g", Source: measuredLap},
	},
	{
		{Path: "for", Value: "1.5 .. 2.5 .. 3.5 s", Source: prior + allTrackUses},
		{Path: "load", Value: "0 %", Source: byDefinition + ": closed throttle"},
		{Path: "backward", Value: "0.8 .. 1 .. 1.2 g", Source: measuredLap},
	},
	corner("right"), corner("left"),
}

const measuredLap = "one measured lap of a road car; ends: prior" + allTrackUses

func corner(way string) []Range {
	return []Range{
		{Path: "for", Value: "1.5 .. 2 .. 3 s", Source: prior + allTrackUses},
		{Path: "load", Value: "20 .. 40 .. 60 %", Source: prior + allTrackUses},
		{Path: way, Value: "0.9 .. 1 .. 1.3 g", Source: measuredLap},
	}
}
