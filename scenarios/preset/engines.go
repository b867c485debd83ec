package preset

// Engine is an engine layout, naturally aspirated or turbocharged.
type Engine struct {
	Name     string // "flat four turbo"
	Layout   string // "flat four"
	Turbo    bool
	Line     string   // what it is, in one line
	Circuits []string // names of its breather circuits, the one that is given up first
	Ranges   []Range  // what a scenario takes from it
	Heights  []Range  // of places above the sump's oil, from which the fall follows
}

// layout is what differs between layouts.
type layout struct {
	name, line         string
	displacement       [2]string // naturally aspirated, turbocharged
	circuits           []string
	hose               Range // length of a circuit
	cornerShare, cover Range
}

// The hoses of circuits, the share driven by corners, and the height of cam
// covers: what a layout's own shape tells, each still a prior.
var (
	usualHose = Range{Path: "breathers.*.length", Value: "300 .. 600 .. 900 mm", Source: prior + "; shared by inline and V engines"}
	longHose  = Range{Path: "breathers.*.length", Value: "600 .. 900 .. 1200 mm",
		Source: prior + ": a flat engine's circuits start low and far out, so their hoses are long"}

	anyShare = Range{Path: "carry_over.corner_share", Value: "0 .. 90 %", Source: prior}
	bankOil  = Range{Path: "carry_over.corner_share", Value: "20 .. 90 %",
		Source: "prior: corners hold oil in the outer head of a flat or V engine, a mechanism that patents on head drains describe; no share is published"}

	highCover = Range{Name: "cam cover", Value: "450 .. 650 mm", Source: prior}
	lowCover  = Range{Name: "cam cover", Value: "50 .. 250 mm",
		Source: "prior: a flat engine's cylinders lie level, so its covers are no higher than its block breather"}
)

var layouts = []layout{
	{"inline four", "one bank; circuits from the block and the cam cover",
		[2]string{"1.3 .. 2 .. 2.5 L", "1.2 .. 2 .. 2.5 L"}, []string{"block", "cover"}, usualHose, anyShare, highCover},
	{"flat four", "two banks lying level; two long circuits, from the crankcase and the covers",
		[2]string{"1.8 .. 2 .. 2.6 L", "1.8 .. 2.2 .. 2.6 L"}, []string{"crankcase", "covers"}, longHose, bankOil, lowCover},
	{"V6", "two banks; a circuit from each cam cover",
		[2]string{"2.4 .. 3.2 .. 4 L", "2.4 .. 3 .. 3.8 L"}, []string{"left cover", "right cover"}, usualHose, bankOil, highCover},
	{"V8", "two banks; a circuit from each cam cover",
		[2]string{"3.5 .. 5 .. 7 L", "3 .. 4 .. 5.5 L"}, []string{"left cover", "right cover"}, usualHose, bankOil, highCover},
}

// Engines lists the engine layouts, each naturally aspirated and turbocharged.
func Engines() []Engine {
	list := make([]Engine, 0, 2*len(layouts))
	for _, l := range layouts {
		list = append(list, l.engine(false), l.engine(true))
	}
	return list
}

func (l layout) engine(turbo bool) Engine {
	e := Engine{Name: l.name, Layout: l.name, Turbo: turbo, Line: l.line, Circuits: l.circuits}
	displacement := l.displacement[0]
	boost := Range{Path: "engine.boost", Value: "0 bar", Source: byDefinition + ": without a charger"}
	heights := []Range{
		{Name: canOutlet, Value: "150 .. 300 .. 500 mm", Source: prior + allLayouts},
		{Name: "block breather", Value: "150 .. 300 mm", Source: prior + allLayouts},
		l.cover,
		{Name: "sump boss", Value: "-30 .. 80 mm", Source: prior + allLayouts},
	}
	if turbo {
		e.Name += " turbo"
		displacement = l.displacement[1]
		boost.Value, boost.Source = "0.4 .. 1 .. 1.8 bar", prior+allLayouts
		heights = append(heights, Range{Name: "turbo drain", Value: "100 .. 250 mm", Source: prior + allLayouts})
	}
	e.Heights = heights
	e.Ranges = append([]Range{{Path: "engine.displacement", Value: displacement, Source: fromMemory}, boost}, sharedByEngines...)
	e.Ranges = append(e.Ranges, l.cornerShare, l.hose)
	return e
}

// sharedByEngines is what is unknown of every engine, in the same range.
var sharedByEngines = []Range{
	{Path: "engine.wear", Value: "1.6 x/ 1.5", AtLeast: "0.9", AtMost: "6",
		Source: "fresh (0.9) to tired (6); 1.6: a petrol engine at 300,000 km, Koszalka and Krzaczek 2022, Energies 15(24) 9570; spread: prior" + allLayouts},
	{Path: "engine.gas_temperature", Value: "50 .. 90 .. 120 C",
		Source: "common practice, from memory: 70 to 120 °C into a can at the engine, 40 to 100 °C into a remote one" + allLayouts},
	{Path: "engine.intake_depression", Value: "1 .. 3 .. 5 kPa", Source: fromMemory + allLayouts},
	{Path: "engine.pulsation", Value: "0 .. 0.6", Source: prior + allLayouts},
	{Path: "breathers.*.bore", Value: "12 .. 16 .. 19 mm", Source: prior + allLayouts},
	{Path: "breathers.*.loss_coefficient", Value: "1.5 .. 2.5 .. 7",
		Source: "derived: entrance and exit 1.5 and an elbow 0.8 (Crane TP-410), up to a hollow-bolt fitting of 5 more (prior)" + allLayouts},
}

// engineOf returns an engine by its layout; the layout is known.
func engineOf(name string, turbo bool) Engine {
	for _, e := range Engines() {
		if e.Layout == name && e.Turbo == turbo {
			return e
		}
	}
	return Engine{}
}
