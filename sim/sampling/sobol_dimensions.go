package sampling

import (
	"slices"
	"sync"
)

// firstDimensions are the dimensions of the Sobol' sequence that inputs take first; the
// others follow in their order. A block is too small a net for all that its dimensions do
// together: over 512 points the fourth, eighth and ninth are four times as uneven as random
// points, which cost a sealed can all that the sequence gains. So after the first eight each
// is chosen to go best with those before it, by the squares of the unevenness (see the
// tests) of all pairs, triples and fours, in weights of 10, 1 and 0.1 that fall with the
// places in the list (derived). Of four such orders this one did best on three scenarios.
var firstDimensions = [...]int{
	0, 1, 2, 3, 4, 5, 6, 7, 34, 13, 115, 79,
	86, 35, 76, 68, 107, 10, 58, 74, 112, 52, 61, 63,
}

// dimensionPaths lists the inputs that have a dimension, in the order in which they take
// one: the first ones go together best, so what often drives results comes first. A path
// that is added goes at the end, so that no other input's draws move.
//
// Inputs with a name of the user's own (hoses by their names) and long lists (phases of a
// lap) have none.
var dimensionPaths = [...]string{
	"drain.fall", "drain.valve_opens_at", "drain.port_pressure", "carry_over.oil_used",
	"drain.flooding_constant", "engine.blow_by.closed_throttle", "engine.blow_by.full_throttle", "carry_over.through_breathers",
	"oil.aeration", "oil.aeration_in_hose", "separator.efficiency", "carry_over.mist",
	"carry_over.corner_share", "carry_over.flow_exponent", "separator.pressure_loss.loss", "engine.wear",
	"oil.temperature.settled", "oil.hose_warmth", "engine.pulsation", "engine.blow_by_law",
	"learned", "carry_over.full_throttle", "separator.usable_volume", "drain.bore",
	"engine.intake_depression", "duty.pattern.full_throttle", "duty.car.power", "duty.car.grip",
	"duty.car.driver", "drain.route.1.z", "engine.shaft_seals", "oil.density",

	"engine.closed_throttle_per_litre", "engine.closed_share", "engine.gas_temperature", "engine.displacement",
	"engine.boost", "oil.viscosity.at_40C", "oil.viscosity.at_100C", "oil.temperature.start",
	"oil.temperature.time_constant", "oil.temperature.cooling_time_constant", "oil.ambient", "carry_over.during.distance",
	"carry_over.during.mean_speed", "carry_over.during.full_throttle", "carry_over.separator_lost", "separator.cross_section",
	"separator.diameter", "separator.height", "separator.pressure_loss.at", "separator.pressure_loss.gas_density",
	"separator.gas_path_closes_from", "separator.oil_blown_out_from", "separator.efficiency_when_full", "separator.inner_can.diameter",
	"separator.inner_can.rim", "separator.outlet.bore", "separator.outlet.length", "separator.outlet.loss_coefficient",
	"separator.outlet.off_axis", "separator.droplets.fine.median", "separator.droplets.fine.spread", "separator.droplets.coarse.median",

	"separator.droplets.coarse.spread", "separator.droplets.coarse_share", "separator.elements.1.sharpness", "separator.elements.1.loss_heads",
	"separator.elements.2.sharpness", "separator.elements.2.loss_heads", "drain.length", "drain.dip",
	"drain.loss_coefficient", "drain.sump.area", "drain.route.2.z", "drain.route.3.z",
	"drain.route.4.z", "drain.route.5.z", "duty.pattern.burst", "duty.pattern.burst_spread",
	"duty.pattern.load_otherwise", "duty.car.mass", "duty.car.drag_area", "duty.car.top_speed",
	"duty.car.shift_time", "duty.car.shift_step", "duty.slow_laps.chance", "duty.slow_laps.for",
	"duty.slow_laps.spread", "duty.slow_laps.load", "duty.lap_variation", "duty.schedule.2.stop",
	"duty.schedule.4.stop", "duty.schedule.6.stop",
}

// dimensionOf returns the dimension of a key, and whether it has one.
func dimensionOf(k Key) (dimension int, ok bool) {
	dimension, ok = dimensions()[k]
	return dimension, ok
}

var dimensions = sync.OnceValue(func() map[Key]int {
	order := slices.Clone(firstDimensions[:])
	for d := range sobolDimensions {
		if !slices.Contains(firstDimensions[:], d) {
			order = append(order, d)
		}
	}
	all := make(map[Key]int, len(dimensionPaths))
	for i, path := range dimensionPaths {
		all[InputKey(path)] = order[i]
	}
	return all
})
