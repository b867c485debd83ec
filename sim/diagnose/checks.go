package diagnose

import (
	_ "embed"
	"fmt"
	"slices"
	"sync"

	"github.com/goccy/go-yaml"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Check is something that could be looked at or read next.
type Check struct {
	Name, Title string
	Minutes     float64
	Sheet       string // name of the shop test that says how it is done; empty: none

	Falsely float64 // chance that a look finds what isn't there

	reads       string // what a reading reads; empty: it is a look
	observation scenarios.Observation
	sessions    int
	Error       decide.ReadingError // of a reading that is no yes or no
	Dimension   units.Dimension
}

// Looks reports whether the check finds faults by looking, not by a reading.
func (c *Check) Looks() bool { return c.reads == "" }

// Readings of checks that no observation is of.
const (
	caughtReading = "caught"  // oil that the can catches with its drain plugged, m3
	intakeReading = "intake"  // depression at full throttle, Pa
	blowByReading = "blow_by" // at full throttle, m3/s
)

// whether reports whether the reading is a yes or no.
func (c *Check) whether() bool { return c.reads != "" && c.observation.Whether() }

//go:embed checks.yaml
var checksFile []byte

// Checks returns the checks that are built in.
func Checks() []Check { return slices.Clone(builtInChecks()) }

func lookNames() []string {
	var names []string
	for _, c := range builtInChecks() {
		if c.Looks() {
			names = append(names, c.Name)
		}
	}
	return names
}

var builtInChecks = sync.OnceValue(func() []Check {
	list, err := parseChecks(checksFile)
	if err != nil {
		panic("built-in checks: " + err.Error()) // a fault of this program; every test meets it
	}
	return list
})

// checkFile is a check as it is written.
type checkFile struct {
	Name, Title, Sheet, Falsely, Reads, Error string
	Minutes                                   float64
	ShowsFrom                                 string `yaml:"shows_from"`
	Volume, Temperature                       string
	Sessions                                  int
}

func parseChecks(data []byte) ([]Check, error) {
	var file []checkFile
	if err := yaml.UnmarshalWithOptions(data, &file, yaml.Strict()); err != nil {
		return nil, err
	}
	var list []Check
	for _, f := range file {
		c, err := f.check()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		list = append(list, c)
	}
	return list, nil
}

func (f checkFile) check() (Check, error) {
	c := Check{Name: f.Name, Title: f.Title, Minutes: f.Minutes, Sheet: f.Sheet, reads: f.Reads, sessions: max(f.Sessions, 1)}
	if f.Sheet != "" {
		test, err := decide.TestNamed(f.Sheet)
		if err != nil {
			return c, err
		}
		if c.Minutes == 0 {
			c.Minutes = test.Minutes
		}
	}
	if !(c.Minutes > 0) {
		return c, fmt.Errorf("minutes are missing")
	}
	var err error
	if c.Looks() {
		c.Falsely, err = units.Parse(f.Falsely, units.Fraction)
		return c, err
	}
	o := &c.observation
	o.Kind = scenarios.ObservationKind(f.Reads)
	switch o.Kind {
	case scenarios.VentHose:
		law, err := uncertainty.Parse(f.ShowsFrom, units.Volume)
		if err != nil {
			return c, err
		}
		o.ShowsFrom, o.ShowsSpread = law.A, law.B
		c.Dimension = units.Fraction
		o.Error, err = units.Parse(f.Error, units.Fraction)
		return c, err
	case scenarios.Crankcase, intakeReading:
		o.Load, c.Dimension = 1, units.Pressure
	case scenarios.UTube:
		o.Load, o.Fluid, c.Dimension = 1, "water", units.Length
	case scenarios.Drained, scenarios.ToppedUp, caughtReading:
		c.Dimension = units.Volume
	case blowByReading:
		c.Dimension = units.VolumeFlow
	case scenarios.Poured:
		c.Dimension = units.Time
		if o.Volume, err = units.Parse(f.Volume, units.Volume); err != nil {
			return c, err
		}
		if o.Temperature, err = units.Parse(f.Temperature, units.Temperature); err != nil {
			return c, err
		}
	default:
		return c, fmt.Errorf("nothing is known that reads %q", f.Reads)
	}
	c.Error, err = decide.ParseReadingError(f.Error, c.Dimension)
	return c, err
}

// appliesTo reports whether a reading can be taken on a layout. The drain may be plugged
// where gas has another way out of the crankcase than the drain.
func (c *Check) appliesTo(car *sim.Car) bool {
	switch c.observation.Kind {
	case scenarios.Poured:
		return car.Drain.Kind != sim.NoDrain
	case caughtReading:
		return car.Drain.Kind == sim.Sealed || car.Drain.Kind == sim.BelowOil
	case intakeReading:
		return car.Gas.IntakeDepression > 0
	}
	return true
}

// over returns the observation of a session length in s.
func (c *Check) over(session float64) scenarios.Observation {
	o := c.observation
	if o.Kind == caughtReading {
		o.Kind = scenarios.Drained
	}
	for range c.sessions {
		o.Over = append(o.Over, session)
	}
	return o
}
