package scenarios

import (
	"sync"

	"sumpward/scenarios/units"
)

// shelfFields returns the catalogue of a shelf, put together once.
var shelfFields = sync.OnceValue(func() *catalogue {
	return newCatalogue("cans that could be fitted, and places where one could sit",
		[]Field{
			other(CountKind, "shelf", "1", "version of this file format; always 1").also("version"),
			other(TextKind, "title", "Larkmoor stores, car 42", "what the shelf is").also("description"),
		},
		canFields(), placeFields())
})

// borrowed is a field of a scenario that stands at another path. It has no
// default: what a shelf leaves open stays as the scenario has it.
func borrowed(path, from string) Field {
	f := *fieldAt(from)
	f.Path, f.Default, f.Source, f.children = path, "", "", nil
	return f
}

// side is a length of an outer size or of a room.
func side(path, example, doc string) Field {
	return exact(path, units.Length, "1 mm", "5 m", example, doc)
}

func canFields() []Field {
	const can, separator, drain = "cans.*.", "separator.", "drain."
	return []Field{
		other(ListKind, "cans", "[{name: short round, outer_size: {diameter: 90 mm, height: 160 mm}, usable_volume: 0.45 L, diameter: 80 mm}]",
			"what could be fitted, at most 200").also("can", "separators", "catch_cans", "tanks"),
		other(TextKind, can+"name", "short round", "to tell the cans apart").also("title", "label", "part"),
		block(can+"outer_size", "of the can with its fittings, upright").also("outer", "outside", "size", "dimensions"),
		side(can+"outer_size.length", "120 mm", "either way round"),
		side(can+"outer_size.width", "90 mm", "either way round"),
		side(can+"outer_size.diameter", "90 mm", "of a round can, instead of length and width"),
		side(can+"outer_size.height", "160 mm", "upright"),
		borrowed(can+"usable_volume", separator+"usable_volume"),
		borrowed(can+"cross_section", separator+"cross_section"),
		borrowed(can+"diameter", separator+"diameter"),
		borrowed(can+"efficiency", separator+"efficiency"),
		block(can+"pressure_loss", "of the element, clean").also("pressure_drop", "loss", "restriction"),
		borrowed(can+"pressure_loss.loss", separator+"pressure_loss.loss"),
		borrowed(can+"pressure_loss.at", separator+"pressure_loss.at"),
		borrowed(can+"pressure_loss.gas_density", separator+"pressure_loss.gas_density"),
		borrowed(can+"oil_collects", separator+"oil_collects"),
		borrowed(can+"gas_path_closes_from", separator+"gas_path_closes_from"),
		borrowed(can+"oil_blown_out_from", separator+"oil_blown_out_from"),
		borrowed(can+"efficiency_when_full", separator+"efficiency_when_full"),
		borrowed(can+"off_axis", separator+"outlet.off_axis"),
		borrowed(can+"drain_bore", drain+"bore").also("bore", "drain", "drain_size", "drain_diameter"),
		borrowed(can+"loss_coefficient", drain+"loss_coefficient"),
		borrowed(can+"fittings", drain+"fittings"),
		borrowed(can+"seal", drain+"seal"),
		borrowed(can+"valve_opens_at", drain+"valve_opens_at"),
		exact(can+"mass", units.Mass, "1 g", "100 kg", "650 g", "empty").also("weight"),
		other(TextKind, can+"price", "180 EUR", "a number and the three letters of its currency, one for the whole shelf").also("cost"),
	}
}

func placeFields() []Field {
	const place, way, drain = "places.*.", "places.*.returns.*.", "drain."
	return []Field{
		other(ListKind, "places", "[{name: bulkhead, largest_size: {length: 200 mm, width: 120 mm, height: 250 mm}, emptied_by_hand: true}]",
			"where in the bay a can could sit, at most 20").also("place", "positions", "bay"),
		other(TextKind, place+"name", "bulkhead", "to tell the places apart").also("title", "label"),
		block(place+"largest_size", "outer size of the largest can that fits, upright").also("largest_outer_size", "largest", "size", "room", "space"),
		side(place+"largest_size.length", "200 mm", "either way round"),
		side(place+"largest_size.width", "120 mm", "either way round"),
		side(place+"largest_size.height", "250 mm", "upright"),
		choice(place+"emptied_by_hand", "whether a can can be reached there to be emptied", "true", "false").standard("false", byDesign).also("by_hand", "reachable"),
		other(ListKind, place+"returns", "[{name: block, return: above_oil, fall: 110 .. 130 mm, length: 500 mm}]",
			"where its oil could go back to, at most 20").also("return", "drains"),
		other(TextKind, way+"name", "block", "to tell the returns apart").also("title", "label"),
		choice(way+"return", "where the oil goes", "above_oil", "below_oil").also("returns", "to"),
		borrowed(way+"fall", drain+"fall"),
		borrowed(way+"length", drain+"length"),
		borrowed(way+"dip", drain+"dip"),
		borrowed(way+"route", drain+"route"),
		borrowed(way+"oil_surface", drain+"sump.oil_surface"),
		borrowed(way+"seal", drain+"seal"),
	}
}
