package sim

// Measure is closeness by its parts alone, without the event's own word for it.
func (k *Kernel) Measure(e Event) float64 { return k.near.measure(e, k.out) }

// HighestLull is the highest mass over the choke level's that stood through a choke time.
func (k *Kernel) HighestLull() float64 { return k.near.level.best }
