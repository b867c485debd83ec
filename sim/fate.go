package sim

import "fmt"

// Fate runs single realizations of a model whose every draw, of inputs, laps, stints and
// bursts, is given as a standard normal, and tells how near each came to its events. It
// reuses its memory and is not safe for concurrent use.
type Fate struct {
	single   *Single
	luck     Luck
	u        []float64
	sessions []float64
	laps     int
	stints   int
	bursts   int
}

// Fate returns a runner of realizations of a session of so many seconds (above 0).
func (m *Model) Fate(session float64) *Fate {
	f := &Fate{single: m.Single(), u: make([]float64, len(m.uncertain)), sessions: []float64{session}}
	f.single.kernel.Watch(true)
	f.single.kernel.luck = &f.luck
	f.laps, f.stints, f.bursts = m.nominal.luckNeeded(session)
	return f
}

// Dimensions returns how many standard normals a realization takes.
func (f *Fate) Dimensions() int { return len(f.u) + f.laps + f.stints + f.bursts }

// Run runs the realization whose draws are z, [Fate.Dimensions] standard normals:
// uncertain inputs in the order of [Model.Uncertain], before rank correlations, then laps,
// stints and bursts. Beyond settling the car it allocates nothing once its memory has grown.
func (f *Fate) Run(z []float64) error {
	if len(z) != f.Dimensions() {
		return fmt.Errorf("%d draws for a realization of %d", len(z), f.Dimensions())
	}
	for i := range f.u {
		f.u[i] = min(max(openNormalCDF(z[i]), 0x1p-53), 1-0x1p-53)
	}
	car, err := f.single.Settle(f.u)
	if err != nil {
		return err
	}
	z = z[len(f.u):]
	f.luck = Luck{Laps: z[:f.laps], Stints: z[f.laps : f.laps+f.stints], Bursts: z[f.laps+f.stints:]}
	stated := car.Sessions
	car.Sessions = f.sessions
	err = f.single.kernel.realized(car, 0, 0, &f.single.out)
	car.Sessions = stated
	if f.single.kernel.spoilt {
		f.renew()
	}
	if err == nil && f.luck.short {
		err = errShortOfLuck
	}
	return err
}

// renew replaces a kernel that met a fault of the program.
func (f *Fate) renew() {
	f.single.kernel, f.single.out = NewKernel(), Outcome{}
	f.single.kernel.Watch(true)
	f.single.kernel.luck = &f.luck
}

// Closeness returns how near the last realization came to an event. It is one that was run
// without an error.
func (f *Fate) Closeness(e Event) float64 {
	k := f.single.kernel
	return k.closeness(e, f.sessions[0])
}

// Outcome returns what the last realization came to, valid until the next.
func (f *Fate) Outcome() *Outcome { return &f.single.out }
