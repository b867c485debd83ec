package pool

import (
	"context"
	"errors"
	"math"
)

// Priors say what is held before any reading. Rates are in m3/s.
type Priors struct {
	Median         float64 // m3/s: median of the shops' levels
	Factor         float64 // geometric standard deviation of that; +Inf: flat
	BetweenScale   float64 // scale of the half-normal of τ, between cars
	WithinScale    float64 // scale of the half-normal of s, between sessions
	KnownBetween   float64 // τ itself, where above 0: then it isn't integrated
	KnownWithin    float64 // s itself, likewise
	VolumeError    float64 // m3, standard deviation of a volume read
	CompletePooled bool    // τ = 0: every car is alike
}

// Defaults are the priors of the program. The oil that an engine moves on track in
// 20 min, 5 to 500 mL in nine of ten cars, is 50 mL x/ 4.05: a prior, no published
// source, as the default for carry-over; so are the scales: cars of one shop differ
// by a factor of e, give or take, sessions of one car by 1.6. Volumes are read to
// 5 mL.
var Defaults = Priors{
	Median: 50e-6 / 1200, Factor: math.Pow(10, 1/1.6448536), BetweenScale: 1, WithinScale: 0.5, VolumeError: 5e-6,
}

// Level is what is known of the typical rate of a car: its median, m3/s, and how
// far it may lie from it.
type Level struct {
	Car      string // empty: a new car of the shop
	Sessions int
	Median   float64 // m3/s
	Low      float64 // m3/s, 5 % quantile
	High     float64 // m3/s, 95 % quantile
	Factor   float64 // geometric standard deviation whose 90 % interval is as wide
	Alone    float64 // m3/s, the car's own mean on the log, nothing pooled; NaN without an exact reading
}

// Pooled is what a shop's cars say together.
type Pooled struct {
	Priors   Priors
	Cars     []Level
	New      Level // typical rate of a new car
	Session  Level // rate of one session of a new car
	Between  Spread
	Within   Spread
	Sessions int
	Below    int // readings that only say less
	Above    int // readings that only say more
}

// Spread is a geometric standard deviation with its 90 % interval.
type Spread struct{ Median, Low, High float64 }

// Pool pools the cars of a shop. Without a session the result is the prior.
func Pool(ctx context.Context, cars []Car, p Priors) (*Pooled, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	out := &Pooled{Priors: p}
	var groups []group
	for _, c := range cars {
		g := newGroup(c, p.VolumeError)
		out.Sessions, out.Below, out.Above = out.Sessions+len(c.Sessions), out.Below+g.count(below), out.Above+g.count(above)
		for _, s := range c.Sessions {
			if !(s.Length > 0) || !(s.Volume >= 0) || math.IsInf(s.Length, 0) || math.IsInf(s.Volume, 0) {
				return nil, errors.New("car " + c.Name + ": a session needs a length above 0 and a volume of 0 or more")
			}
		}
		groups = append(groups, g)
	}
	post, err := integrate(ctx, groups, p, placesFor(groups))
	if err != nil {
		return nil, err
	}
	out.New = post.newCar(0).level()
	out.Session = post.newCar(1).level()
	out.Between, out.Within = post.spread(func(c *component) float64 { return c.tau }), post.spread(func(c *component) float64 { return c.s })
	for i, c := range cars {
		l := post.car(i).level()
		l.Car, l.Sessions, l.Alone = c.Name, len(c.Sessions), groups[i].alone()
		out.Cars = append(out.Cars, l)
	}
	return out, nil
}

func (p Priors) check() error {
	switch {
	case !(p.Median > 0) || math.IsInf(p.Median, 0) || !(p.Factor > 1):
		return errors.New("the prior of the shop's level needs a median above 0 and a factor above 1")
	case !(p.BetweenScale > 0) && p.KnownBetween == 0 && !p.CompletePooled, !(p.WithinScale > 0) && p.KnownWithin == 0:
		return errors.New("the priors of the spreads need scales above 0")
	case !(p.VolumeError >= 0) || math.IsInf(p.VolumeError, 0):
		return errors.New("the error of a volume is 0 or more")
	}
	return nil
}

// group is a car's readings: the exact ones, and bounds.
type group struct {
	exact  []reading
	bounds []reading
}

func newGroup(c Car, volumeError float64) group {
	var g group
	for _, s := range c.Sessions {
		if r := s.read(volumeError); r.kind == exact {
			g.exact = append(g.exact, r)
		} else {
			g.bounds = append(g.bounds, r)
		}
	}
	return g
}

func (g *group) count(k kind) (n int) {
	for _, r := range g.bounds {
		if r.kind == k {
			n++
		}
	}
	return n
}

// alone is the rate of a car's own mean, nothing pooled.
func (g *group) alone() float64 {
	sum := 0.0
	for _, r := range g.exact {
		sum += r.y
	}
	return math.Exp(sum / float64(len(g.exact))) // NaN for none
}
