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

// Separator is the can.
type Separator struct {
	UsableVolume       *Quantity // m3
	CrossSection       *Quantity // m2; nil where Diameter is given
	Diameter           *Quantity // m
	Efficiency         *Quantity // of the mist
	Loss, LossAt       *Quantity // Pa at m3/s
	LossDensity        *Quantity // kg/m3 of the gas that Loss was measured with (by default air at 20 °C)
	OilCollects        string    // "after" or "before" the element
	GasPathClosesFrom  *Quantity // fill
	OilBlownOutFrom    *Quantity // fill
	EfficiencyWhenFull *Quantity // share
	Outlet             Outlet
}

// Outlet takes the gas from the separator on.
type Outlet struct {
	To Destination // ToIntake or ToAir
	Pipe
	OffAxis *Quantity // m from the can's axis
}

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
	AtStops bool      // at every stop of the engine
	Every   *Quantity // s; nil: once a session, before it starts
}

// Duty is what the engine does: one of Lap, Pattern and Log is set.
type Duty struct {
	Lap          []Phase
	Pattern      *Pattern
	Log          *DataLog
	LapVariation *Quantity // coefficient of variation of full-throttle time, lap to lap
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
