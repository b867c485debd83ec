package units

import (
	"errors"
	"math"
	"strconv"
)

// largest is the largest number that is read, SI: far beyond anything that is
// measured, and near enough that it can be written in any unit, and squared.
const largest = 1e100

// Parse reads a quantity of dimension d and returns it in SI.
//
//	"120 mm"   "4 3/4 in"   "dash 8"   "0.48 US qt"   "118 °C"   "40 %"
//
// Number and Fraction may be bare; a bare Fraction is at most 1, so that a
// forgotten per cent sign is noticed. Every other dimension needs its unit.
// Signs are kept; whether a value makes sense is not judged here, as long as
// it is at most 1e100. Errors are of type *Error.
func Parse(text string, d Dimension) (si float64, err error) {
	if d == Length || d == Distance {
		if bore, isDash, err := dashSize(text); isDash {
			return bore, err
		}
	}
	value, unit, err := Split(text)
	if err != nil {
		return 0, complete(err, d)
	}
	u, err := ParseUnit(unit, d)
	if err != nil {
		return 0, quantityError(err, text, value, d)
	}
	if d == Fraction && u.Symbol == "" && math.Abs(value) > 1 {
		return 0, &Error{What: BareFraction, Got: clean(text), Wanted: allowed(d),
			Hint: "write " + shortest(value) + " %"}
	}
	si = u.ToSI(value)
	if !(math.Abs(si) <= largest) {
		return 0, &Error{What: "too large a number", Got: clean(text), Wanted: allowed(d)}
	}
	return si, nil
}

// complete adds what is wanted, and an example where no hint is given.
func complete(err error, d Dimension) error {
	var e *Error
	if !errors.As(err, &e) || !d.valid() {
		return err
	}
	full := *e
	full.Wanted = allowed(d)
	if full.Hint == "" {
		full.Hint = "write for instance " + example(d)
	}
	return &full
}

// quantityError turns the error of a unit into that of the whole quantity,
// with a hint that can be pasted where the number is to be kept.
func quantityError(err error, text string, value float64, d Dimension) error {
	var e *Error
	if !errors.As(err, &e) || !d.valid() {
		return err
	}
	full := *e
	full.Got = clean(text)
	number := shortest(value)
	switch pair, twofold := ambiguous[e.Got]; {
	case e.Got == "":
		full.Hint = "write " + number + " " + table[d][0].symbol
		if n := -value; d == Length && n == math.Trunc(n) && n >= smallestDash && n <= largestDash {
			full.Hint = "write dash " + shortest(n) + " or " + number + " mm"
		}
	case twofold && d == Volume:
		full.Hint = "write " + number + " " + pair[0] + " or " + number + " " + pair[1]
	case d == Volume && e.Got == "oz":
		full.Hint = "write " + number + " US fl oz or " + number + " imp fl oz"
	case d == Number:
		full.Hint = "write " + number
	default:
		if near := otherCase(e.Got, d); near != "" {
			full.Hint = "write " + number + " " + near
		} else {
			full.Hint = "write for instance " + example(d)
		}
	}
	return &full
}

// shortest writes a number with as many digits as tell it from its neighbours.
func shortest(value float64) string {
	if a := math.Abs(value); a != 0 && (a < 1e-4 || a >= 1e15) {
		return strconv.FormatFloat(value, 'e', -1, 64)
	}
	return strconv.FormatFloat(value, 'f', -1, 64)
}

var examples = [dimensions]string{
	Number: "2.5", Fraction: "40 %", Length: "120 mm", Area: "44 cm2", Volume: "0.45 L",
	VolumeFlow: "110 L/min", MassFlow: "0.4 g/s", Mass: "250 g", Pressure: "0.8 kPa",
	Temperature: "90 C", TemperatureDifference: "5 K", Density: "870 kg/m3",
	Concentration: "1 g/m3", KinematicViscosity: "14.5 cSt", Time: "25 min", Speed: "3 m/s",
	Acceleration: "1.1 g", Distance: "6000 km", Frequency: "20 Hz", Angle: "30 deg", RoadSpeed: "60 km/h",
	Power: "235 kW", VehicleMass: "1180 kg", DropletSize: "1.2 µm", TrackLength: "400 m",
}

// example returns a quantity of dimension d as it is written.
func example(d Dimension) string { return examples[d] }
