// Package units reads and writes quantities with their units, and converts
// them to and from SI.
//
// A quantity is written as a number and a unit: "120 mm", "4 3/4 in",
// "dash 8", "0.48 US qt", "118 C". What kind of quantity is wanted (its
// Dimension) is known beforehand, so that "g" is a mass where a mass is
// wanted and the standard acceleration where an acceleration is wanted, and
// a pressure given for a length is an error that says so.
package units

// Dimension is the kind of quantity that a unit measures.
type Dimension int

// The dimensions, each with the SI unit that Parse returns.
const (
	Number                Dimension = iota // 1, written bare
	Fraction                               // 1, written bare up to 1 or in per cent
	Length                                 // m
	Area                                   // m2
	Volume                                 // m3
	VolumeFlow                             // m3/s
	MassFlow                               // kg/s
	Mass                                   // kg
	Pressure                               // Pa
	Temperature                            // K
	TemperatureDifference                  // K, no offset
	Density                                // kg/m3
	Concentration                          // kg of oil per m3 of gas
	KinematicViscosity                     // m2/s
	Time                                   // s
	Speed                                  // m/s
	Acceleration                           // m/s2
	Distance                               // m; the units of Length, km and mi being the usual ones
	Frequency                              // Hz
	Angle                                  // rad
	RoadSpeed                              // m/s; the units of Speed, km/h and mph being the usual ones
	Power                                  // W
	VehicleMass                            // kg; the units of Mass, kg and lb being the usual ones
	DropletSize                            // m; the units of Length, µm being the usual one
	TrackLength                            // m; the units of Length, m and ft being the usual ones
	dimensions                             // how many there are
)

var dimensionNames = [dimensions]string{
	Number:                "number",
	Fraction:              "fraction",
	Length:                "length",
	Area:                  "area",
	Volume:                "volume",
	VolumeFlow:            "volume flow",
	MassFlow:              "mass flow",
	Mass:                  "mass",
	Pressure:              "pressure",
	Temperature:           "temperature",
	TemperatureDifference: "temperature difference",
	Density:               "density",
	Concentration:         "concentration",
	KinematicViscosity:    "kinematic viscosity",
	Time:                  "time",
	Speed:                 "speed",
	Acceleration:          "acceleration",
	Distance:              "distance",
	Frequency:             "frequency",
	Angle:                 "angle",
	RoadSpeed:             "speed",
	Power:                 "power",
	VehicleMass:           "mass",
	DropletSize:           "length",
	TrackLength:           "length",
}

// String returns the name of the dimension, such as "length".
func (d Dimension) String() string {
	if !d.valid() {
		return "unknown dimension"
	}
	return dimensionNames[d]
}

// Units returns the spellings that the error messages offer for d, the usual
// one first. Further spellings are understood (plurals, superscripts). It is
// empty for Number.
func (d Dimension) Units() []string {
	if !d.valid() {
		return nil
	}
	symbols := make([]string, 0, len(table[d]))
	for _, e := range table[d] {
		symbols = append(symbols, e.symbol)
	}
	return symbols
}

func (d Dimension) valid() bool { return d >= 0 && d < dimensions }

// article returns the name of d with its indefinite article, "an area".
func (d Dimension) article() string {
	name := d.String()
	switch name[0] {
	case 'a', 'u':
		return "an " + name
	}
	return "a " + name
}
