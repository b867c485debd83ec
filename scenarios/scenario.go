// Package scenarios reads what a user writes: one layout of engine, separator
// and drain, and one kind of day, as a YAML file in which every number carries
// its unit and may be uncertain.
//
// A scenario that loads without error is complete: whatever the file left out
// has been filled with a default whose basis is [Assumed] and whose source is
// stated. The package computes nothing about oil or gas.
package scenarios

import "sumpward/scenarios/datalog"

// Scenario is one layout and one kind of day. All values are SI.
type Scenario struct {
	Title   string
	File    string // as named by the user; empty for a ready-made scenario
	Example string // name of the ready-made scenario, empty for a user's own file
	SHA256  string // of the file's bytes, hexadecimal

	Engine     Engine
	Oil        Oil
	CarryOver  CarryOver
	Breathers  []Breather
	Separator  Separator
	Drain      Drain
	Duty       Duty
	Sessions   []float64 // session lengths, s, ascending
	Limits     Limits
	Simulation Simulation

	Correlations []Correlation
	Learned      *Learned // inputs that are drawn together; nil: none
	Variants     []string // names, in the order of the file
	VariantName  string   // of the variant that this is; empty for the file itself

	Inputs   []*Quantity // every quantity, exact ones too; Inputs[i].ID == i
	Rules    []Rule      // inputs left out that follow from others
	Warnings []Warning

	source *source // for variants and changed inputs
}

// Engine is the source of blow-by. Blow-by is either stated (BlowBy) or
// follows from displacement, boost and condition; the unused half is nil.
type Engine struct {
	BlowByFull   *Quantity // m3/s at full throttle, crankcase conditions
	BlowByClosed *Quantity // m3/s at closed throttle, net of what the manifold draws

	Displacement    *Quantity // m3
	Boost           *Quantity // Pa above atmospheric at full load
	Wear            *Quantity // blow-by over that of a healthy engine, from condition
	Law             *Quantity // m3/s per m3 of displacement and per bar absolute in the manifold
	ShaftSeals      *Quantity // factor of turbocharger shaft seals under boost; nil without boost
	ClosedPerVolume *Quantity // m3/s per m3 at closed throttle, net
	ClosedShare     *Quantity // closed-throttle over full-throttle blow-by, where only the latter was stated

	GasTemperature   *Quantity // K
	IntakeDepression *Quantity // Pa below atmospheric at full throttle
	Pulsation        *Quantity // breather flow amplitude over mean
}

// Oil is the engine oil and its temperature.
type Oil struct {
	Grade               string    // "SAE 40", "ISO VG 68"; empty where the viscosities are given
	At40, At100         *Quantity // kinematic viscosity, m2/s; nil where Grade stands for them
	Density             *Quantity // kg/m3 at 15 °C
	Aeration            *Quantity // gas share of the oil in the can
	HoseAeration        *Quantity // of that, what stays in the hose
	Start               *Quantity // K
	Settled             *Quantity // K
	TimeConstant        *Quantity // s, warming
	CoolingTimeConstant *Quantity // s, engine stopped
	Ambient             *Quantity // K
	HoseWarmth          *Quantity // of the sump's excess over ambient
}

// CarryOver is the oil that blow-by takes along: read from the oil used
// (OilUsed with During or Road) or given at full throttle; the other is nil.
type CarryOver struct {
	OilUsed          *Quantity // m3
	During           *Quantity // s of this scenario's own duty
	Road             *Road     // or a road interval
	SeparatorLost    *Quantity // share lost by the separator fitted when it was read; nil when none was
	ThroughBreathers *Quantity // share of the oil used that left through the breathers; nil with FullThrottle

	FullThrottle *Quantity // kg/s at full throttle

	Mist         *Quantity // kg per m3 of gas; nil counts as 0
	FlowExponent *Quantity
	CornerShare  *Quantity // share of the liquid driven by cornering; nil counts as 0
}

// Road is a road interval over which oil use was read.
type Road struct{ Distance, MeanSpeed, FullThrottle *Quantity } // m, m/s, share

// Breather is one circuit out of the crankcase.
type Breather struct {
	Name string
	To   Destination // ToSeparator, ToIntake or ToAir
	Pipe
}

// Pipe is a gas hose.
type Pipe struct{ Bore, Length, LossCoefficient *Quantity } // m, m, -

// Destination is where a gas path ends.
type Destination string

// Destinations of breathers and of the separator's outlet.
const (
	ToSeparator Destination = "separator"
	ToIntake    Destination = "intake"
	ToAir       Destination = "air"
)

// Separator is the can. Its mist efficiency is stated (Efficiency), or computed
// from Elements and Droplets; the other is nil.
type Separator struct {
	UsableVolume       *Quantity // m3; one that follows from the can's shape is no input: its ID is -1
	CrossSection       *Quantity // m2; nil where Diameter is given
	Diameter           *Quantity // m
	Shape              *CanShape // nil: only volume and cross-section are known
	Efficiency         *Quantity // of the mist; nil with Elements
	Elements           []Element // in the order in which the gas meets them
	Droplets           *Droplets // with Elements
	Loss, LossAt       *Quantity // Pa at m3/s; nil where the loss follows from Elements
	LossDensity        *Quantity // kg/m3 of the gas that Loss was measured with (by default air at 20 °C)
	OilCollects        string    // "after" or "before" the element
	GasPathClosesFrom  *Quantity // fill; nil with an inner can, whose rim says it
	OilBlownOutFrom    *Quantity // fill
	EfficiencyWhenFull *Quantity // share
	Outlet             Outlet
}

// Outlet takes the gas from the separator on.
type Outlet struct {
	To Destination // ToIntake or ToAir
	Pipe
	OffAxis *Quantity // m from the can's axis; nil where the can's shape has the mouth
}

// CanShape is a round can with its tubes. Points are in the can's own axes, m,
// from the centre of its floor: x forward, y left, z up. Where the usable volume
// is stated beside it, the shape is made taller or lower to hold it.
type CanShape struct {
	Height   *Quantity   // m, inside
	Outlet   *RoutePoint // mouth of the gas outlet tube
	Inlet    *RoutePoint // mouth of the gas inlet tube; nil: above the outlet's
	InnerCan *InnerCan   // nil: none
	ByVolume bool        // the usable volume is stated, and goes before the mouth's height
}

// InnerCan is a can within the can, open below: the gas goes round its rim.
type InnerCan struct{ Diameter, Rim *Quantity } // m; m above the floor

// Droplets are the sizes of the mist, log-normal by mass in two modes.
type Droplets struct {
	Fine, Coarse DropletMode
	CoarseShare  *Quantity
}

// DropletMode is a log-normal distribution of droplet sizes by mass.
type DropletMode struct{ Median, Spread *Quantity } // m; geometric standard deviation

// ElementKind is how an element of a separator catches droplets.
type ElementKind string

// The kinds of element.
const (
	ImpactorElement ElementKind = "impactor" // jets against a plate
	CycloneElement  ElementKind = "cyclone"
	SettlingElement ElementKind = "settling" // a plain space
	MeshElement     ElementKind = "mesh"
	MeasuredElement ElementKind = "measured" // a table of grade efficiency
)

// Element is one stage of a separator. What its kind doesn't use is nil.
type Element struct {
	Kind ElementKind

	Slot      bool      // impactor: slots, not round jets
	Width     *Quantity // m: of a jet or slot; of a cyclone's inlet
	Length    *Quantity // m: of a slot; height of a cyclone's inlet
	Count     *Quantity // jets, slots, or cyclones side by side
	Sharpness *Quantity // impactor: of the cut; see physics
	Turns     *Quantity // cyclone
	Area      *Quantity // m2: settling (nil: the can's cross-section), mesh
	Wire      *Quantity // m: mesh
	Thickness *Quantity // m: mesh
	Packed    *Quantity // mesh: share of its volume that is wire
	Limit     *Quantity // m/s: mesh, the K of Souders and Brown
	CarriedOn *Quantity // mesh: power with which less is caught above the limit
	LossHeads *Quantity // pressure loss in velocity heads, of jet, inlet or face velocity

	Grades   []Grade   // measured, ascending in size
	At       *Quantity // m3/s: measured, the gas flow
	Exponent *Quantity // measured: sizes move with flow to the minus this
}

// Grade is a point of a measured grade-efficiency curve.
type Grade struct{ Size, Caught *Quantity } // m; share

// Return says how caught oil leaves the can.
type Return string

// The ways of returning oil.
const (
	AboveOil      Return = "above_oil"
	BelowOil      Return = "below_oil"
	EmptiedByHand Return = "emptied_by_hand"
)

// Seal keeps crankcase gas out of a drain hose that ends above the oil.
type Seal string

// The seals.
const (
	NoSeal    Seal = "none"
	ValveSeal Seal = "valve"
	TrapSeal  Seal = "trap"
)

// Drain is the way back for the oil. With [EmptiedByHand] only Emptied is set.
type Drain struct {
	Return           Return
	Seal             Seal
	Bore             *Quantity // m
	Fall             *Quantity // m; nil where Route is given
	Length           *Quantity // m; nil: by rule from the fall, or from Route
	Dip              *Quantity // m; nil: none
	Route            []RoutePoint
	LossCoefficient  *Quantity
	ValveOpensAt     *Quantity // Pa; nil without a valve
	PortPressure     *Quantity // Pa, return port minus breather take-off
	FloodingConstant *Quantity // Wallis C; nil when sealed
	Sump             *Sump     // below oil only
	Emptied          Emptied
}

// RoutePoint is a point of the drain in vehicle axes, m (x forward, y left, z up).
type RoutePoint struct{ X, Y, Z *Quantity }

// Sump is where a return below the oil ends.
type Sump struct {
	OilSurface *RoutePoint // centroid of the oil's surface at rest, engine running; nil with a fall alone
	Area       *Quantity   // m2
}

// Emptied says when a can without a drain is emptied.
type Emptied struct {
	AtStops bool      // at stops: of the engine, in a lap; all, in a schedule
	Nth     int       // with AtStops: at every n-th stop, from 1
	Every   *Quantity // s; nil: once a session, before it starts
}

// Duty is what the engine does: one of Lap, Pattern, Log and Circuit is set.
type Duty struct {
	Lap          []Phase
	Pattern      *Pattern
	Log          *DataLog
	Circuit      *Circuit
	LapVariation *Quantity // coefficient of variation of full-throttle time, lap to lap

	Schedule []ScheduleItem // stints and stops, repeated until Event; none: driven without a stop
	Event    float64        // s, length of the event; 0 without a schedule
	SlowLaps *SlowLaps      // nil: none
}

// Circuit is what is driven round, and what drives. One of Segments and
// CentreLine is set.
type Circuit struct {
	Layout     string // name of a built-in circuit; empty for the user's own
	Segments   []Segment
	CentreLine *CentreLine
	Car        TrackCar
}

// Segment is a straight, or a corner of constant radius.
type Segment struct {
	Length        float64 // m; of a corner radius times angle
	Radius, Angle float64 // m, rad; 0 for a straight
	Right         bool    // the corner turns right
	Gradient      float64 // rise over run, positive uphill
	Banking       float64 // rad, positive: the road leans into the corner; of a straight: its right side is the higher one
}

// CentreLine is a circuit as points on the ground.
type CentreLine struct {
	File        string
	Points      [][3]float64 // m: x, y, z, not closed
	Notes       []string
	SurveyError float64 // m, how far a point may be off; below 0: not stated
}

// TrackCar is the car as a point mass.
type TrackCar struct {
	Mass                 *Quantity    // kg
	Power                *Quantity    // W at the wheels; nil with Curve
	Curve                []PowerPoint // ascending in speed
	Grip                 *Quantity    // friction coefficient of the tyres
	Driver               *Quantity    // share of the grip that the driver uses
	DragArea             *Quantity    // m2, drag coefficient times frontal area
	TopSpeed             *Quantity    // m/s in the highest gear
	ShiftTime, ShiftStep *Quantity    // s without drive; ratio of speeds from gear to gear
}

// PowerPoint is a point of power against speed.
type PowerPoint struct{ Speed, Power *Quantity } // m/s, W

// ScheduleItem is a stint (Drive) or a stop (Stop); the other is nil.
type ScheduleItem struct {
	Drive, Stop *Quantity // s
	EngineRuns  bool      // through the stop, at closed throttle
	Emptied     bool      // the can, at the stop
	ToppedUp    bool      // the oil, at the stop
}

// SlowLaps are driven behind a safety car, once in a stint at the most.
type SlowLaps struct {
	Chance *Quantity // that a stint has them
	For    *Quantity // s, mean
	Spread *Quantity // coefficient of variation from one time to the next
	Load   *Quantity
}

// DataLog is a data log, cut into phases. All its whole laps, one after
// another, repeat; one nominal lap is Report.LapTime long.
type DataLog struct {
	File   string
	Phases []datalog.Phase
	Report datalog.Report
}

// Phase is a stretch of a lap with constant load and acceleration.
type Phase struct {
	For     *Quantity // s
	Load    *Quantity // 0 closed throttle .. 1 full throttle
	Forward *Quantity // m/s2, body acceleration
	Left    *Quantity // m/s2, body acceleration
	Stopped bool      // engine off
}

// Pattern is a duty of alternating full-throttle bursts and rests.
type Pattern struct {
	FullThrottle  *Quantity // share of the time
	Burst         *Quantity // s, mean
	BurstSpread   *Quantity // coefficient of variation; 1 = exponential
	LoadOtherwise *Quantity
}

// Limits are what counts as failing. All are exact.
type Limits struct {
	Risk              *Quantity // chance
	CrankcasePressure *Quantity // Pa
	OilLost           *Quantity // m3 at 15 °C
	ChokeLevel        *Quantity // fill
}

// Simulation is how it is sampled.
type Simulation struct {
	Seed          uint64
	SamplingError float64 // half-width of the 95 % interval of every chance
	Realizations  int     // exactly so many; 0: as many as SamplingError asks
}

// Correlation ties two uncertain inputs by Spearman's rank correlation.
type Correlation struct {
	Between [2]*Quantity
	Rank    float64
	Line    int
}

// Rule is an input that was left out and follows from others in each realization.
type Rule struct{ Path, Text, Source string }

// Warning is something the user should know that stops nothing.
type Warning struct {
	Line int // 0 when it isn't about a line
	Path string
	Text string
}
