package physics

// StandardGravity is the conventional acceleration of free fall, m/s2.
// Source: 3rd CGPM 1901; exact by convention.
const StandardGravity = 9.80665

// StandardPressure is the standard atmosphere, Pa absolute.
// Source: 10th CGPM 1954; exact by convention.
const StandardPressure = 101325.0

// AirGasConstant is the specific gas constant of dry air, J/(kg·K).
// Source: US Standard Atmosphere 1976 (8314.32 / 28.9644).
const AirGasConstant = 287.05287

// CelsiusZero is 0 °C in K; exact by definition.
const CelsiusZero = 273.15
