package physics

import (
	"fmt"
	"math"
	"strings"
)

// steelRoughness is the roughness behind Crane's f_T, commercial steel, m
// (0.0018 in). Source: Crane TP-410 (from memory).
const steelRoughness = 4.572e-5

// LossRange is the loss coefficient K of a fitting, on the velocity head in the
// bore, with the range it may lie in.
type LossRange struct {
	Low, Nominal, High float64
	Source             string
}

// TurbulentFriction returns f_T, the friction factor of clean commercial steel
// pipe when fully turbulent, by which the loss of some fittings is stated.
//
//	f_T = 0.25 / log10²(ε/3.7D)
//
// bore is D, m. About 0.027 at 12.7 mm, 0.015 at 128 mm. Source: the rough limit
// of Colebrook 1939, with the roughness of Crane TP-410.
func TurbulentFriction(bore float64) float64 {
	l := math.Log10(steelRoughness / (3.7 * bore))
	return 0.25 / (l * l)
}

// MitreLoss returns the loss coefficient of a mitre bend.
//
//	K = 0.42 sin(α/2) + 2.56 sin³(α/2)
//
// angle is α, rad, 0 to 2.6 (150°). Source: Rennels & Hudson, Pipe Flow, Wiley
// 2012.
func MitreLoss(angle float64) float64 {
	s := math.Sin(angle / 2)
	return 0.42*s + 2.56*s*s*s
}

// fitting is a named fitting: K = fixed + pipe · f_T, spread between the shares
// low and high.
type fitting struct {
	name        string
	fixed, pipe float64
	low, high   float64
	source      string
}

const craneSource = "Crane TP-410; range a prior"

var fittings = []fitting{
	{"straight", 0.1, 0, 0, 3, "prior, no published source"},
	{"sweep elbow", 0, 14, 0.7, 1.5, "Crane TP-410, bend of radius 1.5 bores (from memory); range a prior"},
	{"45 elbow", 0, 16, 0.8, 1.5, craneSource},
	{"elbow", 0, 30, 0.8, 1.5, craneSource},
	{"tight elbow", MitreLoss(math.Pi / 2), 0, 0.8, 1.3, "mitre bend, Rennels & Hudson 2012; range a prior"},
	{"return bend", 0, 50, 0.8, 1.5, craneSource},
	{"tee run", 0, 20, 0.8, 1.5, "Crane TP-410 (from memory); range a prior"},
	{"tee", 0, 60, 0.8, 1.5, "Crane TP-410, branch (from memory); range a prior"},
	{"banjo", 5, 0, 0.6, 1.6, "hollow-bolt fitting on its own bore, 3 to 8; prior, no published source"},
	{"entrance", 0.5, 0, 1, 1.14, "flush and sharp, Crane TP-410 0.50, Rennels & Hudson 2012 0.57"},
	{"projecting entrance", 0.78, 0, 1, 1.3, "Crane TP-410 0.78, thin wall 1.0 (Idelchik)"},
	{"rounded entrance", 0.202910, 0, 0.7, 1.95, "Rennels & Hudson 2012, radius 0.15 to 0.02 bores, nominal 0.10"},
	{"exit", 1, 0, 1, 2, "1.0 turbulent, 2.0 for a developed laminar profile"},
}

// sameFitting are other names of fittings.
var sameFitting = map[string]string{
	"union": "straight", "hose tail": "straight", "standard elbow": "elbow", "90 elbow": "elbow",
	"swept elbow": "sweep elbow", "sweep": "sweep elbow", "45 degree elbow": "45 elbow",
	"mitre elbow": "tight elbow", "drilled elbow": "tight elbow", "180 bend": "return bend",
	"tee branch": "tee", "through tee": "tee run",
	"hollow bolt": "banjo", "hollow-bolt fitting": "banjo", "banjo bolt": "banjo",
}

// Fitting returns the loss coefficient of a fitting by name, on the velocity
// head in bore, m.
//
// Names are as from FittingNames, in any case, or usual other names of these
// ("hollow bolt"). The coefficients are turbulent:
// at low Reynolds numbers, oil's, the laminar part comes on top (see
// DrainHose). An unknown name is an error that lists what is known.
func Fitting(name string, bore float64) (LossRange, error) {
	if !(bore > 0) {
		return LossRange{}, fmt.Errorf("fitting %q: bore is %g m: must be above 0", name, bore)
	}
	wanted := strings.ToLower(strings.TrimSpace(name))
	if same := sameFitting[wanted]; same != "" {
		wanted = same
	}
	for _, f := range fittings {
		if f.name == wanted {
			k := f.fixed + f.pipe*TurbulentFriction(bore)
			return LossRange{Low: f.low * k, Nominal: k, High: f.high * k, Source: f.source}, nil
		}
	}
	return LossRange{}, fmt.Errorf("fitting %q is not known: use one of %s", name, strings.Join(FittingNames(), ", "))
}

// FittingNames returns the names that Fitting knows, in a fixed order.
func FittingNames() []string {
	names := make([]string, len(fittings))
	for i, f := range fittings {
		names[i] = f.name
	}
	return names
}
