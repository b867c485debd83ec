package physics

import (
	"fmt"
	"math"
	"sort"
)

// GradeMeasurement is a measured grade-efficiency curve, and the pressure loss
// measured with it.
type GradeMeasurement struct {
	Diameters    []float64 // m, ascending, above 0
	Efficiencies []float64 // one for each diameter, 0 to 1
	Flow         float64   // of the gas at which they were measured, m3/s; above 0
	FlowExponent float64   // e: the curve moves along d as (Q/Flow)^-e; 0: not at all, 0.5: inertial
	Loss         float64   // pressure loss at Flow, Pa; 0 for none
	Density      float64   // of the gas at which Loss was measured, kg/m3; needed with Loss
}

// GradeTable is a stage known by its measured grade efficiency.
//
//	η(d) = η_table(d (Q/Flow)^e),  Δp = Loss (Q/Flow)² ρ_g/Density
//
// Between diameters it is linear in ln d; below the first and above the last it
// is held at their values. Droplets caught by inertia move with e = 0.5, as d50
// goes as Q^-1/2 in RoundImpactor and Cyclone. Gas viscosity and oil density are
// taken as those of the measurement. Derived.
type GradeTable struct {
	measured GradeMeasurement
	logs     []float64 // ln d
}

// NewGradeTable returns the stage of a measurement. It copies what it is given.
// It returns an error for diameters that don't rise from above 0, efficiencies
// outside 0 to 1, lists of different length or none, and a flow, exponent or
// loss that is not a finite number or below its least value.
func NewGradeTable(m GradeMeasurement) (*GradeTable, error) {
	if len(m.Diameters) == 0 || len(m.Diameters) != len(m.Efficiencies) {
		return nil, fmt.Errorf("grade efficiency: %d diameters and %d efficiencies: give one efficiency for each of one diameter or more",
			len(m.Diameters), len(m.Efficiencies))
	}
	if !(m.Flow > 0) || math.IsInf(m.Flow, 1) {
		return nil, fmt.Errorf("grade efficiency: measured at a flow of %g m3/s: must be above 0", m.Flow)
	}
	if !(m.FlowExponent >= 0) || math.IsInf(m.FlowExponent, 1) {
		return nil, fmt.Errorf("grade efficiency: flow exponent is %g: must be 0 or more", m.FlowExponent)
	}
	if !(m.Loss >= 0) || math.IsInf(m.Loss, 1) {
		return nil, fmt.Errorf("grade efficiency: pressure loss is %g Pa: must be 0 or more", m.Loss)
	}
	if m.Loss > 0 && !(m.Density > 0 && !math.IsInf(m.Density, 1)) {
		return nil, fmt.Errorf("grade efficiency: gas density at the measured loss is %g kg/m3: must be above 0", m.Density)
	}
	t := &GradeTable{measured: m, logs: make([]float64, len(m.Diameters))}
	t.measured.Diameters = append([]float64(nil), m.Diameters...)
	t.measured.Efficiencies = append([]float64(nil), m.Efficiencies...)
	least := 0.0
	for i, d := range m.Diameters {
		if !(d > least) || math.IsInf(d, 1) {
			return nil, fmt.Errorf("grade efficiency: diameter %d is %g m: must be above %g", i+1, d, least)
		}
		if e := m.Efficiencies[i]; !(e >= 0 && e <= 1) {
			return nil, fmt.Errorf("grade efficiency: efficiency %d is %g: must be 0 to 1", i+1, e)
		}
		least, t.logs[i] = d, math.Log(d)
	}
	return t, nil
}

// At returns how the stage catches under the conditions. Without flow, a curve
// that moves with flow catches as it does the smallest droplets.
func (t *GradeTable) At(c StageConditions) Cut {
	cut := Cut{law: tableCut, table: t}
	if t.measured.FlowExponent > 0 {
		cut.centre = -t.measured.FlowExponent * math.Log(c.Flow/t.measured.Flow)
	}
	return cut
}

// gradeAt returns the measured grade efficiency at l = ln d.
func (t *GradeTable) gradeAt(l float64) float64 {
	eta, last := t.measured.Efficiencies, len(t.logs)-1
	if l <= t.logs[0] {
		return eta[0]
	}
	if l >= t.logs[last] {
		return eta[last]
	}
	i := sort.SearchFloat64s(t.logs, l) // logs[i-1] < l <= logs[i]
	share := (l - t.logs[i-1]) / (t.logs[i] - t.logs[i-1])
	return eta[i-1] + share*(eta[i]-eta[i-1])
}

// nextBend returns the first of the table's diameters above l, in ln d, when the
// table is moved by shift, or +∞.
func (t *GradeTable) nextBend(l, shift float64) float64 {
	for i := sort.SearchFloat64s(t.logs, l-shift); i < len(t.logs); i++ {
		if b := t.logs[i] + shift; b > l {
			return b
		}
	}
	return math.Inf(1)
}

// Loss returns the pressure lost, Pa.
func (t *GradeTable) Loss(c StageConditions) float64 {
	if t.measured.Loss == 0 {
		return 0
	}
	ratio := c.Flow / t.measured.Flow
	return t.measured.Loss * ratio * math.Abs(ratio) * c.Gas.Density / t.measured.Density
}

// CheckRange returns nil: what lies outside the table is held.
func (t *GradeTable) CheckRange(StageConditions) error { return nil }
