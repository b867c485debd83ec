package words

import (
	"fmt"
	"strings"
)

// inputNames says what the inputs are called in a sentence.
var inputNames = map[string]string{
	"engine.displacement":              "the engine's displacement",
	"engine.boost":                     "boost",
	"engine.wear":                      "wear (blow-by over a healthy engine's)",
	"engine.blow_by_law":               "the blow-by of a healthy engine",
	"engine.shaft_seals":               "what the turbocharger's shaft seals add to blow-by",
	"engine.blow_by.full_throttle":     "blow-by at full throttle",
	"engine.blow_by.closed_throttle":   "blow-by at closed throttle",
	"engine.closed_throttle_per_litre": "blow-by at closed throttle",
	"engine.closed_share":              "blow-by at closed throttle",
	"engine.gas_temperature":           "the temperature of the blow-by gas",
	"engine.intake_depression":         "intake depression at full throttle",
	"engine.pulsation":                 "pulsation of the breather flow",
	"oil.viscosity.at_40C":             "the oil's viscosity at 40 °C",
	"oil.viscosity.at_100C":            "the oil's viscosity at 100 °C",
	"oil.density":                      "the oil's density",
	"oil.aeration":                     "gas in the oil in the can",
	"oil.aeration_in_hose":             "gas that stays in the oil in the hose",
	"oil.temperature.start":            "oil temperature at the start",
	"oil.temperature.settled":          "settled oil temperature",
	"oil.temperature.time_constant":    "how fast the oil warms",
	"oil.ambient":                      "air temperature around hoses and can",
	"oil.hose_warmth":                  "how warm hose and can get",
	"carry_over.oil_used":              "oil used",
	"carry_over.separator_lost":        "what the separator fitted before lost",
	"carry_over.through_breathers":     "the share of the oil used that left through the breathers",
	"carry_over.full_throttle":         "oil carried over at full throttle",
	"carry_over.mist":                  "oil mist in the gas",
	"carry_over.flow_exponent":         "how oil carried over follows the flow",
	"carry_over.corner_share":          "the share of oil driven over in corners",
	"separator.usable_volume":          "usable volume",
	"separator.cross_section":          "the can's cross-section",
	"separator.diameter":               "the can's diameter",
	"separator.efficiency":             "separation efficiency",
	"separator.pressure_loss.loss":     "the separator's pressure loss",
	"separator.gas_path_closes_from":   "the fill from which the gas path closes",
	"drain.bore":                       "the drain's bore",
	"drain.fall":                       "the drain's fall",
	"drain.length":                     "the length of the drain hose",
	"drain.dip":                        "the dip in the drain hose",
	"drain.loss_coefficient":           "the loss of the drain's fittings",
	"drain.valve_opens_at":             "the cracking pressure of the drain's valve",
	"drain.port_pressure":              "pressure at the return port",
	"drain.flooding_constant":          "the flooding constant of the hose",
	"drain.sump.area":                  "the area of the sump's oil",
	"duty.pattern.full_throttle":       "time at full throttle",
	"duty.pattern.burst":               "the length of a full-throttle burst",
	"duty.pattern.load_otherwise":      "load between bursts",
	"duty.lap_variation":               "how laps differ",
	"duty.car.mass":                    "the car's mass",
	"duty.car.power":                   "power at the wheels",
	"duty.car.grip":                    "the tyres' grip",
	"duty.car.driver":                  "the share of the grip that the driver uses",
	"duty.car.drag_area":               "the car's drag area",
	"duty.car.top_speed":               "the car's top speed",
	"duty.car.shift_time":              "the time that a gear change takes",
	"duty.car.shift_step":              "the step from gear to gear",
	"duty.slow_laps.chance":            "the chance of slow laps in a stint",
	"duty.slow_laps.for":               "how long slow laps last",
	"duty.slow_laps.spread":            "how much the time of slow laps varies",
	"duty.slow_laps.load":              "load on slow laps",
	"separator.height":                 "the can's height",
	"separator.inner_can.diameter":     "the inner can's diameter",
	"separator.inner_can.rim":          "the height of the inner can's rim",
	"separator.droplets.fine.median":   "the size of the fine droplets",
	"separator.droplets.fine.spread":   "the spread of the fine droplets",
	"separator.droplets.coarse.median": "the size of the coarse droplets",
	"separator.droplets.coarse.spread": "the spread of the coarse droplets",
	"separator.droplets.coarse_share":  "the share of coarse droplets in the mist",
}

// elementNames says what the inputs of an element of the separator are called.
var elementNames = map[string]string{
	"width": "width of jet, slot or inlet", "length": "length of slots", "height": "height of the inlet",
	"sharpness": "sharpness of the cut", "turns": "turns of the gas", "area": "area", "wire": "thickness of the wire",
	"thickness": "thickness", "packed": "share of wire", "limit": "speed at which it gives oil back",
	"carried_on": "giving back of oil beyond its limit", "loss_heads": "pressure loss", "at": "flow at which it was measured",
	"exponent": "shift of its curve with the flow",
}

// InputName says what an input is called in a sentence: a noun with its article,
// in lower case. A path without a name of its own stands for itself.
func InputName(path string) string {
	if name, known := inputNames[path]; known {
		return name
	}
	parts := strings.Split(path, ".")
	switch {
	case path == "learned":
		return "what was learned from what was seen"
	case len(parts) == 3 && parts[0] == "breathers":
		return fmt.Sprintf("the %s of breather %s", strings.ReplaceAll(parts[2], "_", " "), parts[1])
	case len(parts) == 4 && parts[1] == "elements" && elementNames[parts[3]] != "":
		return fmt.Sprintf("the %s of the separator's element %s", elementNames[parts[3]], parts[2])
	case len(parts) == 6 && parts[3] == "grades":
		return fmt.Sprintf("what the separator's element %s catches at point %s of its curve", parts[2], parts[4])
	case len(parts) == 4 && parts[1] == "schedule":
		return fmt.Sprintf("the length of item %s of the schedule", parts[2])
	case len(parts) == 4 && parts[0] == "drain" && parts[1] == "route":
		return fmt.Sprintf("point %s of the drain's route, %s", parts[2], axisNames[parts[3]])
	case len(parts) == 4 && parts[0] == "separator" && (parts[2] == "mouth" || parts[1] == "inlet_mouth"):
		return "the place of a tube's mouth in the can"
	case len(parts) == 5 && parts[1] == "car":
		return fmt.Sprintf("power at point %s of its curve", parts[3])
	}
	return path
}

var axisNames = map[string]string{"x": "forward", "y": "to the left", "z": "height"}
