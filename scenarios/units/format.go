package units

import (
	"math"
	"strconv"
	"strings"
)

// System is the system of units that results are shown in.
type System int

// The systems of units.
const (
	Metric System = iota
	US
)

// Format writes a quantity for people: three significant digits or the whole
// number, trailing zeros left out, in a unit of sensible size.
//
//	Format(0.12, Length, Metric) = "120 mm"
//	Format(0.12, Length, US)     = "4.72 in"
//
// si is in the SI unit of d. What is not finite is written "+Inf", "NaN".
func Format(si float64, d Dimension, s System) string {
	u := SensibleUnit(si, d, s)
	v := u.FromSI(si)
	if d == Temperature {
		return u.Attach(trimmed(v, min(1, decimals(v))))
	}
	return u.Attach(trimmed(v, decimals(v)))
}

// decimals is how many decimals show three significant digits of v.
func decimals(v float64) int {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0
	}
	return max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
}

// trimmed writes v with so many decimals, without trailing zeros or the sign
// of a rounded zero, and with an exponent where it is very small or large.
func trimmed(v float64, decimals int) string {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	if decimals > 8 || math.Abs(v) >= 1e9 {
		return strconv.FormatFloat(v, 'e', 2, 64)
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// DisplayUnit returns the one unit in which a table column of dimension d is
// shown.
func DisplayUnit(d Dimension, s System) Unit {
	if !d.valid() {
		return Unit{Factor: 1, Dimension: d}
	}
	symbol := displayUnits[d][Metric]
	if s == US {
		symbol = displayUnits[d][US]
	}
	return shown(symbol, d)
}

var displayUnits = [dimensions][2]string{
	Number: {"", ""}, Fraction: {"%", "%"}, Length: {"mm", "in"}, Area: {"cm2", "in2"},
	Volume: {"L", "US qt"}, VolumeFlow: {"L/min", "cfm"}, MassFlow: {"g/s", "g/s"}, Mass: {"g", "oz"},
	Pressure: {"kPa", "inH2O"}, Temperature: {"C", "F"}, TemperatureDifference: {"K", "F"},
	Density: {"kg/m3", "lb/ft3"}, Concentration: {"g/m3", "g/m3"}, KinematicViscosity: {"cSt", "cSt"},
	Time: {"s", "s"}, Speed: {"m/s", "ft/s"}, Acceleration: {"g", "g"}, Distance: {"km", "mi"},
	Frequency: {"Hz", "Hz"}, Angle: {"deg", "deg"}, RoadSpeed: {"km/h", "mph"},
	Power: {"kW", "hp"}, VehicleMass: {"kg", "lb"}, DropletSize: {"µm", "µm"}, TrackLength: {"m", "ft"},
}

// shown returns the unit with the symbol that people read.
func shown(symbol string, d Dimension) Unit {
	u, err := ParseUnit(symbol, d)
	if err != nil {
		return Unit{Factor: 1, Dimension: d}
	}
	switch u.Symbol {
	case "C", "F":
		u.Symbol = "°" + u.Symbol
	}
	return u
}

// step says from which size on (in SI) a unit is used.
type step struct {
	from   float64
	symbol string
}

// ladders holds, where one unit does not serve all sizes, the units from
// small to large.
var ladders = map[Dimension][2][]step{
	Length:     {{{0, "µm"}, {1e-4, "mm"}, {1, "m"}}, {{0, "in"}, {6 * foot, "ft"}}},
	Volume:     {{{0, "mL"}, {0.1e-3, "L"}}, {{0, "US fl oz"}, {0.1 * litre, "US qt"}}},
	VolumeFlow: {{{0, "mL/min"}, {1e-3 / minute, "L/min"}}, {{0, "mL/min"}, {0.1 * cubicFoot / minute, "cfm"}}},
	MassFlow:   {{{0, "g/h"}, {1e-3 / minute, "g/min"}, {0.1e-3, "g/s"}}, {{0, "g/h"}, {1e-3 / minute, "g/min"}, {0.1e-3, "g/s"}}},
	Mass:       {{{0, "g"}, {1, "kg"}}, {{0, "oz"}, {pound, "lb"}}},
	Pressure:   {{{0, "Pa"}, {200, "kPa"}, {0.5e5, "bar"}}, {{0, "inH2O"}, {1e4, "psi"}}},
	Time:       {{{0, "ms"}, {0.1, "s"}, {120, "min"}, {7200, "h"}}, {{0, "ms"}, {0.1, "s"}, {120, "min"}, {7200, "h"}}},
	Area:       {{{0, "cm2"}, {0.12, "m2"}}, {{0, "in2"}, {0.12, "ft2"}}},
	Distance:   {{{0, "m"}, {1000, "km"}}, {{0, "ft"}, {0.2 * mile, "mi"}}},
}

// SensibleUnit returns the unit in which Format writes a quantity of size si.
func SensibleUnit(si float64, d Dimension, s System) Unit {
	ladder, ok := ladders[d]
	if !ok || si == 0 || math.IsNaN(si) {
		return DisplayUnit(d, s)
	}
	steps := ladder[Metric]
	if s == US {
		steps = ladder[US]
	}
	symbol := steps[0].symbol
	for _, st := range steps[1:] {
		if math.Abs(si) >= st.from*(1-1e-9) {
			symbol = st.symbol
		}
	}
	return shown(symbol, d)
}
