package sim

import "math"

// Watch makes the kernel watch, or no longer watch, how near realizations come to events.
func (k *Kernel) Watch(on bool) {
	k.near = nil
	if on {
		k.near = &nearness{}
	}
}

// Closeness returns how near the last realization came to an event within its longest
// session: 1 or more where it happened, and the more the earlier; below 1 where it did not.
// It needs [Kernel.Watch]. The measure has no plateaus where that could be helped: it
// moves with the inputs long before anything happens. What it is made of has no meaning
// beyond that, and no source.
func (k *Kernel) Closeness(e Event) float64 { return k.closeness(e, k.car.longestSession()) }

func (k *Kernel) closeness(e Event, session float64) float64 {
	if at := k.out.Firsts().Of(e); at <= session {
		return 1 + (session-at)/session
	}
	return min(k.near.measure(e, k.out), math.Nextafter(1, 0))
}

// nearness watches a realization.
type nearness struct {
	car      *Car
	fill     float64 // highest oil mass in hose and can over what fills them
	stood    float64 // highest over what stands at the choke level
	standing float64 // s, longest without a break
	lost     float64 // most oil out of the sump over its limit
	level    lull    // lowest mass over the choke level's, through a choke time
	pressure lull    // lowest crankcase pressure over its limit, through the time that counts
}

func (n *nearness) start(car *Car) {
	n.car = car
	n.fill, n.stood, n.standing, n.lost = 0, 0, 0, math.Inf(-1)
	n.level.start(car.Limits.ChokeTime)
	n.pressure.start(pressureTime)
}

// take takes in a finished stretch that began at a mass in kg, in which full kg fill hose
// and can, and the crankcase had at least a pressure in Pa.
func (n *nearness) take(k *Kernel, mass, full, lowest float64) {
	top, choke := max(mass, k.mass), k.piece.choke
	n.fill = max(n.fill, top/full)
	if out := k.out.Balance.OutOfSump() + k.mass - k.topped; k.lostLimit > 0 {
		n.lost = max(n.lost, out/k.lostLimit)
	}
	n.pressure.take(k.now, lowest/n.car.Limits.Pressure)
	if n.car.Drain.Kind == NoDrain {
		return
	}
	n.stood = max(n.stood, top/choke)
	n.level.take(k.now, min(mass, k.mass)/choke)
	if since := k.timers.standing; !math.IsNaN(since) {
		n.standing = max(n.standing, k.now-since)
	}
}

// Shares of the parts of a measure of closeness. Each part reaches 1 where the event
// happens, and takes over where the ones before it lie still.
const (
	lullShare     = 0.6 // how near the lowest level through a choke time is
	standingShare = 0.2 // how long oil stood
	floodingShare = 0.1 // how near gas up an open drain is to holding all oil up
)

// measure is the measure of closeness by itself. What happened reaches 1 in it but for
// rounding, and for a pressure that crosses its limit within a stretch.
func (n *nearness) measure(e Event, o *Outcome) float64 {
	switch e {
	case Overflow:
		return withFlooding(n.fill, o.FloodShare)
	case DrainChoked:
		return n.choked(o)
	case OverPressure:
		return n.pressure.best
	case OilLost:
		return n.lost
	default:
		return max(n.measure(Overflow, o), n.measure(DrainChoked, o))
	}
}

func (n *nearness) choked(o *Outcome) float64 {
	limit := n.car.Limits.ChokeTime
	c := lullShare*min(max(n.level.best, 0), 1) + standingShare*min(n.standing/limit, 1) +
		(1-lullShare-standingShare)*min(n.stood, 1)
	return withFlooding(c, o.FloodShare)
}

// withFlooding mixes in how near an unsealed drain is to be flooded: until it is, next to
// no oil stands.
func withFlooding(c, flood float64) float64 {
	if math.IsNaN(flood) {
		return c
	}
	return (1-floodingShare)*c + floodingShare*min(flood, 1)
}

// lull finds the highest value below which a quantity did not fall through a span of time,
// of all spans within a realization. The quantity is known by stretches.
type lull struct {
	span  float64 // s
	best  float64
	kept  []lowOf // ascending in both; a stretch that a later, lower one outlasts is dropped
	first int     // of kept that is within the span
}

type lowOf struct{ end, value float64 }

func (l *lull) start(span float64) {
	l.span, l.best, l.kept, l.first = span, math.Inf(-1), l.kept[:0], 0
}

// take takes in a stretch that ended at a time, by the lowest value in it.
func (l *lull) take(end, value float64) {
	for n := len(l.kept); n > l.first && l.kept[n-1].value >= value; n-- {
		l.kept = l.kept[:n-1]
	}
	if l.first > 1000 && 2*l.first > len(l.kept) {
		l.kept, l.first = l.kept[:copy(l.kept, l.kept[l.first:])], 0
	}
	l.kept = append(l.kept, lowOf{end, value})
	if end < l.span {
		return
	}
	for l.kept[l.first].end <= end-l.span {
		l.first++
	}
	l.best = max(l.best, l.kept[l.first].value)
}
