package physics

// AeratedDensity returns the density of oil that holds gas, kg/m3.
//
//	ρ (1 - α)
//
// density is that of the oil, kg/m3; gasShare is α, the volume share of gas,
// 0 to below 1. The mass of the gas is left out. Derived.
func AeratedDensity(density, gasShare float64) float64 { return density * (1 - gasShare) }

// AeratedViscosity returns the dynamic viscosity of oil that holds gas, Pa·s.
//
//	μ / (1 - α)
//
// viscosity is that of the oil, Pa·s; gasShare is the volume share of gas in
// the hose (the can's share times what of it is left there), 0 to below 1.
// Prior, no published source; near Einstein's 1 + α for bubbles (Taylor 1932)
// at a small share.
func AeratedViscosity(viscosity, gasShare float64) float64 { return viscosity / (1 - gasShare) }
