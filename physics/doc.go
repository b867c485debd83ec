// Package physics holds the equations of an oil separator in a crankcase
// breather and of its drain, as pure functions: gas, hoses, the breather
// network, oil, the drain route, drain flow, flooding and the can.
//
// Everything is in SI units: Pa, m, m3/s, kg/m3, Pa·s, m2/s, K. Pressures are
// gauge pressures unless the name of the argument says otherwise. Vehicle axes
// follow ISO 8855: x forward, y left, z up.
//
// Functions that a time loop calls are unchecked and say what they do outside
// their range; a sibling that begins with Checked returns a *RangeError where
// the range of an equation matters.
package physics
