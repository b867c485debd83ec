package units

// Definitions that the table is made of. All are exact by definition:
// international yard and pound agreement of 1959 (in, lb), standard gravity
// (3rd CGPM 1901), US gallon of 231 cubic inches and imperial gallon of
// 4.54609 L (NIST Special Publication 811, 2008, appendix B; from memory).
const (
	inch         = 0.0254             // m
	foot         = 12 * inch          // m
	mile         = 5280 * foot        // m
	pound        = 0.45359237         // kg
	ounce        = pound / 16         // kg
	standardG    = 9.80665            // m/s2
	cubicInch    = inch * inch * inch // m3
	cubicFoot    = foot * foot * foot // m3
	usGallon     = 231 * cubicInch    // m3
	imperialGal  = 4.54609e-3         // m3
	litre        = 1e-3               // m3
	minute       = 60                 // s
	hour         = 3600               // s
	degree       = pi / 180           // rad
	pi           = 3.14159265358979323846264338327950288419716939937510582097494459
	celsiusZero  = 273.15 // K
	rankineRatio = 5.0 / 9
	horsepower   = 550 * foot * pound * standardG // W: 550 foot-pounds-force a second
	metricHorse  = 75 * standardG                 // W: 75 kilogram-force metres a second
)

// Conventional columns of liquid: density by convention times standard
// gravity, water 1000 kg/m3, mercury 13,595.1 kg/m3 (NIST SP 811, 2008,
// appendix B.8, "conventional"; from memory).
const (
	waterColumn   = 1000 * standardG    // Pa per m
	mercuryColumn = 13595.1 * standardG // Pa per m
)

type entry struct {
	symbol string
	factor float64
	offset float64
	also   []string // further spellings
}

func is(symbol string, factor float64, also ...string) entry {
	return entry{symbol: symbol, factor: factor, also: also}
}

var lengths = []entry{
	is("mm", 1e-3, "millimetre", "millimetres", "millimeter", "millimeters"),
	is("cm", 1e-2, "centimetre", "centimetres", "centimeter", "centimeters"),
	is("m", 1, "metre", "metres", "meter", "meters"),
	is("in", inch, "inch", "inches", `"`),
	is("ft", foot, "foot", "feet", "'"),
	is("µm", 1e-6, "micron", "microns"),
	is("km", 1e3, "kilometre", "kilometres", "kilometer", "kilometers"),
	is("mi", mile, "mile", "miles"),
}

var distances = append([]entry{lengths[6], lengths[7]}, lengths[:6]...)

var dropletSizes = append([]entry{lengths[5]}, append(lengths[:5:5], lengths[6:]...)...)

var trackLengths = []entry{lengths[2], lengths[4], lengths[6], lengths[7], lengths[0], lengths[1], lengths[3], lengths[5]}

var speeds = []entry{
	is("m/s", 1),
	is("km/h", 1e3/float64(hour), "kph", "kmh", "km/hr"),
	is("mph", mile/float64(hour), "mi/h"),
	is("ft/s", foot, "fps"),
}

var roadSpeeds = []entry{speeds[1], speeds[2], speeds[0], speeds[3]}

var masses = []entry{
	is("g", 1e-3, "gram", "grams"),
	is("kg", 1),
	is("mg", 1e-6),
	is("lb", pound, "lbs"),
	is("oz", ounce),
}

// table holds the units of each dimension, the usual one first.
var table = [dimensions][]entry{
	Number:   nil,
	Fraction: {is("%", 0.01, "per cent", "percent")},
	Length:   lengths,
	Area: {
		is("cm2", 1e-4, "sq cm"),
		is("mm2", 1e-6, "sq mm"),
		is("m2", 1, "sq m"),
		is("in2", inch*inch, "sq in", "sq inch", "square inch", "square inches"),
		is("ft2", foot*foot, "sq ft", "square foot", "square feet"),
	},
	Volume: {
		is("L", litre, "l", "litre", "litres", "liter", "liters", "dm3"),
		is("mL", 1e-6, "ml", "millilitre", "millilitres", "milliliter", "milliliters"),
		is("cc", 1e-6, "ccm"),
		is("cm3", 1e-6),
		is("m3", 1),
		is("US qt", usGallon/4, "us qt", "qt US", "US quart", "US quarts"),
		is("imp qt", imperialGal/4, "UK qt", "imperial qt", "imp quart", "imp quarts", "imperial quart", "imperial quarts"),
		is("US gal", usGallon, "us gal", "US gallon", "US gallons"),
		is("imp gal", imperialGal, "UK gal", "imperial gal", "imperial gallon", "imperial gallons"),
		is("US fl oz", usGallon/128),
		is("imp fl oz", imperialGal/160),
		is("in3", cubicInch, "cu in", "cubic inch", "cubic inches"),
	},
	VolumeFlow: {
		is("L/min", litre/minute, "l/min", "lpm", "LPM"),
		is("L/s", litre, "l/s"),
		is("mL/s", 1e-6, "ml/s", "cc/s", "cm3/s"),
		is("mL/min", 1e-6/minute, "ml/min", "cc/min", "cm3/min"),
		is("L/h", litre/hour, "l/h"),
		is("m3/h", 1.0/hour),
		is("m3/min", 1.0/minute),
		is("m3/s", 1),
		is("cfm", cubicFoot/minute, "CFM", "ft3/min", "cu ft/min"),
	},
	MassFlow: {
		is("g/s", 1e-3),
		is("g/min", 1e-3/minute),
		is("g/h", 1e-3/hour),
		is("mg/s", 1e-6),
		is("kg/s", 1),
		is("kg/h", 1.0/hour),
		is("oz/min", ounce/minute),
	},
	Mass: masses,
	Pressure: {
		is("kPa", 1e3),
		is("Pa", 1),
		is("hPa", 100),
		is("mbar", 100),
		is("bar", 1e5),
		is("psi", pound*standardG/(inch*inch), "PSI", "lbf/in2"),
		is("inH2O", waterColumn*inch, "in H2O", "inWC", "in WC"),
		is("mmH2O", waterColumn*1e-3, "mm H2O", "mmWC"),
		is("mmHg", mercuryColumn*1e-3, "mm Hg"),
		is("inHg", mercuryColumn*inch, "in Hg"),
		is("MPa", 1e6),
	},
	Temperature: {
		{"C", 1, celsiusZero, []string{"°C", "° C", "degC", "deg C", "Celsius", "celsius"}},
		{"F", rankineRatio, 459.67 * rankineRatio, []string{"°F", "° F", "degF", "deg F", "Fahrenheit", "fahrenheit"}},
		is("K", 1, "kelvin"),
	},
	TemperatureDifference: {
		is("K", 1, "kelvin"),
		is("C", 1, "°C", "° C", "degC", "deg C", "Celsius", "celsius"),
		is("F", rankineRatio, "°F", "° F", "degF", "deg F", "Fahrenheit", "fahrenheit"),
	},
	Density: {
		is("kg/m3", 1),
		is("g/cm3", 1e3, "g/cc"),
		is("kg/L", 1e3, "kg/l"),
		is("g/mL", 1e3, "g/ml"),
		is("lb/ft3", pound/cubicFoot),
	},
	Concentration: {
		is("g/m3", 1e-3),
		is("mg/m3", 1e-6),
		is("kg/m3", 1),
		is("g/L", 1, "g/l"),
		is("mg/L", 1e-3, "mg/l"),
	},
	KinematicViscosity: {
		is("cSt", 1e-6),
		is("mm2/s", 1e-6),
		is("St", 1e-4),
		is("m2/s", 1),
	},
	Time: {
		is("s", 1, "sec", "second", "seconds"),
		is("ms", 1e-3),
		is("min", minute, "mins", "minute", "minutes"),
		is("h", hour, "hr", "hrs", "hour", "hours"),
	},
	Speed: speeds,
	Acceleration: {
		is("g", standardG, "G"),
		is("m/s2", 1, "m/s/s"),
		is("ft/s2", foot),
	},
	Distance: distances,
	Frequency: {
		is("Hz", 1, "/s"),
		is("rpm", 1.0/minute, "RPM", "r/min", "rev/min", "/min"),
		is("kHz", 1e3),
	},
	Angle: {
		is("deg", degree, "°", "degree", "degrees"),
		is("rad", 1),
	},
	RoadSpeed: roadSpeeds,
	Power: {
		is("kW", 1e3),
		is("W", 1),
		is("hp", horsepower, "HP", "bhp", "BHP"),
		is("PS", metricHorse, "cv", "CV"),
	},
	VehicleMass: {masses[1], masses[3], masses[0], masses[2], masses[4]},
	DropletSize: dropletSizes,
	TrackLength: trackLengths,
}
