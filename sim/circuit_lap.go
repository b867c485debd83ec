package sim

import "math"

// CircuitLap is a circuit as the car drives it at nominal values: a flying lap
// of a point mass, quasi-steady.
type CircuitLap struct {
	Length   float64 // m
	Turning  float64 // rad, positive to the left: 2π once round
	Gap      float64 // m between its end and its start as laid out
	Time     float64 // s
	TopSpeed float64 // m/s reached
	Least    float64 // m/s, slowest
	Fit      *CentreLineFit
	Samples  []LapSample
}

// CentreLineFit says how a centre line was smoothed.
type CentreLineFit struct {
	Points         int
	LargestOffset  float64 // m between a point and the line
	CurvatureError float64 // 1/m, standard error
}

// LapSample is a short stretch of the lap.
type LapSample struct {
	Distance, Time float64 // m, s at its start
	Duration       float64 // s
	Speed          float64 // m/s, mean
	Load           float64 // 0..1
	Forward, Left  float64 // m/s2, as the oil feels them
}

// CircuitLap drives the circuit of the scenario at nominal values; nil where its
// duty is no circuit.
func (m *Model) CircuitLap() (*CircuitLap, error) {
	if m.scenario.Duty.Circuit == nil {
		return nil, nil
	}
	b := m.binding.copy()
	if err := b.drive(); err != nil {
		return nil, err
	}
	t := &b.circuit
	out := &CircuitLap{Length: t.path.Length, Turning: t.path.Turning, Gap: t.path.Gap, Time: t.lap.Time, Least: math.Inf(1)}
	if line := m.scenario.Duty.Circuit.CentreLine; line != nil {
		out.Fit = &CentreLineFit{Points: t.fit.Points, LargestOffset: t.fit.LargestOffset, CurvatureError: t.fit.CurvatureError}
	}
	for _, s := range t.lap.Samples {
		out.Samples = append(out.Samples, LapSample(s))
		out.TopSpeed, out.Least = max(out.TopSpeed, s.Speed), min(out.Least, s.Speed)
	}
	return out, nil
}
