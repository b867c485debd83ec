package report

import (
	"io"
	"math"

	"sumpward/sim"
)

type phaseCheckJSON struct {
	Phase       int    `json:"phase"` // from 1; 0: full throttle on a straight
	For         number `json:"for_s"`
	Load        number `json:"load"`
	Forward     number `json:"forward_m_s2"`
	Left        number `json:"left_m_s2"`
	Stopped     bool   `json:"stopped"`
	BlowBy      number `json:"blow_by_m3_s"`
	Crankcase   number `json:"crankcase_Pa"`
	Can         number `json:"can_Pa"`
	Against     number `json:"to_beat_Pa"`
	Column      number `json:"column_m"`
	Fall        number `json:"fall_m"`
	Margin      number `json:"margin_m"`
	GasUp       number `json:"gas_up_m_s"`
	GasLimit    number `json:"gas_limit_m_s"`
	Usable      number `json:"usable_m3"`
	CarriedOver number `json:"carried_over_kg_s"`
	Held        bool   `json:"held"`
}

func phaseCheckOf(p sim.PhaseCheck) phaseCheckJSON {
	return phaseCheckJSON{
		Phase: p.Index + 1, For: number(p.Phase.Duration), Load: number(p.Phase.Load),
		Forward: number(p.Phase.Forward), Left: number(p.Phase.Left), Stopped: p.Phase.Stopped,
		BlowBy: number(p.BlowBy), Crankcase: number(p.Crankcase), Can: number(p.Can),
		Against: number(p.Against), Column: number(p.Column), Fall: number(p.Fall), Margin: number(p.Margin),
		GasUp: number(p.GasUp), GasLimit: number(p.GasLimit), Usable: number(p.Usable),
		CarriedOver: number(p.CarriedOver), Held: p.Held,
	}
}

type lowPointJSON struct {
	Name       string `json:"name"`
	Climb      number `json:"climb_m"`
	WeightLost number `json:"share_of_fall_lost"`
	Trap       bool   `json:"trap"`
}

type directionJSON struct {
	Direction string `json:"direction"`
	Share     number `json:"share_of_lap"`
	HeldShare number `json:"held_share"` // of its own time
	Phase     int    `json:"worst_phase"`
	Fall      number `json:"fall_m"`
	Margin    number `json:"margin_m"`
	GasUp     number `json:"gas_up_m_s"`
	GasLimit  number `json:"gas_limit_m_s"`
	Usable    number `json:"usable_m3"`
	Change    number `json:"change_of_fall_m"` // where it is pushed most sideways, against a straight
}

// directionsData are the worst phases by direction for programs.
func (r DrainCheck) directionsData() []directionJSON {
	list := []directionJSON{}
	for _, d := range r.directed() {
		w := d.worst
		x := directionJSON{
			Direction: directionNames[d.direction], Share: number(d.share), HeldShare: number(d.held), Phase: w.Index + 1,
			Fall: number(w.Fall), Margin: number(w.Margin), GasUp: number(w.GasUp), GasLimit: number(w.GasLimit),
			Usable: number(w.Usable), Change: number(r.change(d)),
		}
		if r.Check.Kind == sim.NoDrain {
			x.HeldShare = number(math.NaN())
		}
		list = append(list, x)
	}
	return list
}

type drainCheckJSON struct {
	Format          string           `json:"format"`
	Version         int              `json:"version"`
	Scenario        scenarioJSON     `json:"scenario"`
	Drain           string           `json:"drain"`
	SealedByTrap    bool             `json:"sealed_by_trap"`
	FullThrottle    phaseCheckJSON   `json:"full_throttle"`
	Phases          []phaseCheckJSON `json:"phases"`
	LowPoints       []lowPointJSON   `json:"low_points"`
	ByDirection     []directionJSON  `json:"by_direction"`
	HoseDensity     number           `json:"hose_density_kg_m3"`
	Viscosity       number           `json:"hose_viscosity_Pa_s"`
	ColumnPerKPa    number           `json:"column_per_kPa_m"`
	MeanDrainFlow   number           `json:"mean_drain_flow_m3_s"`
	SelfVentingFlow number           `json:"self_venting_flow_m3_s"`
	Froude          number           `json:"froude"`
	Slope           number           `json:"slope"`
	LeastSlope      number           `json:"least_slope"`
	ColumnFrequency number           `json:"column_frequency_Hz"`
	ToStand         number           `json:"until_oil_stands_s"`
	ToOver          number           `json:"until_it_goes_over_s"`
	LapTime         number           `json:"lap_time_s"`
	HeldShare       number           `json:"held_share"`
	LongestHeld     number           `json:"longest_held_s"`
	PeakFill        number           `json:"peak_fill"`
	BacksUpAfter    number           `json:"backs_up_after_s"`
	OverflowsAfter  number           `json:"overflows_after_s"`
	Gains           []gainJSON       `json:"what_to_change_first"`
	Explanation     string           `json:"explanation"`
	Cautions        []string         `json:"cautions"`
}

var drainNames = map[sim.DrainKind]string{
	sim.NoDrain: "none", sim.Sealed: "sealed", sim.Unsealed: "unsealed", sim.BelowOil: "below_oil",
}

// WriteJSON writes the check for programs. What does not apply, and what
// never happens, is null.
func (r DrainCheck) WriteJSON(w io.Writer) error {
	c := r.Check
	out := drainCheckJSON{
		Format: "sumpward/drain-check", Version: 1, Scenario: scenarioOf(r.Scenario), Drain: drainNames[c.Kind],
		SealedByTrap: c.SealedByTrap, FullThrottle: phaseCheckOf(c.FullThrottle), LowPoints: []lowPointJSON{}, ByDirection: r.directionsData(),
		HoseDensity: number(c.HoseDensity), Viscosity: number(c.Viscosity), ColumnPerKPa: number(c.ColumnPerKPa),
		MeanDrainFlow: number(c.MeanDrainFlow), SelfVentingFlow: number(c.SelfVentingFlow), Froude: number(c.Froude),
		Slope: number(c.Slope), LeastSlope: number(c.LeastSlope), ColumnFrequency: number(c.ColumnFrequency),
		ToStand: number(c.ToStand), ToOver: number(c.ToOver), LapTime: number(c.LapTime), HeldShare: number(c.HeldShare),
		LongestHeld: number(c.LongestHeld), PeakFill: number(c.PeakFill), BacksUpAfter: number(c.BacksUpAfter), OverflowsAfter: number(c.OverflowsAfter),
		Gains: gainsOf(r.Gains), Explanation: r.explanation(), Cautions: Cautions,
	}
	for _, p := range c.Phases {
		out.Phases = append(out.Phases, phaseCheckOf(p))
	}
	for _, l := range c.LowPoints {
		out.LowPoints = append(out.LowPoints, lowPointJSON{l.Name, number(l.Climb), number(l.WeightLost), l.Trap})
	}
	return writeJSON(w, out)
}
