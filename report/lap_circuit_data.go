package report

type circuitJSON struct {
	Name       string          `json:"name,omitempty"`
	Length     number          `json:"length_m"`
	Turning    number          `json:"turning_rad"` // positive to the left
	Gap        number          `json:"gap_m"`
	Time       number          `json:"lap_time_s"`
	TopSpeed   number          `json:"top_speed_m_s"`
	Least      number          `json:"least_speed_m_s"`
	CentreLine *centreLineJSON `json:"centre_line,omitempty"`
	Spread     *lapSpreadJSON  `json:"over_realizations,omitempty"`
	Samples    []sampleJSON    `json:"samples,omitempty"`
}

type centreLineJSON struct {
	File           string `json:"file"`
	Points         int    `json:"points"`
	LargestOffset  number `json:"largest_offset_m"`
	CurvatureError number `json:"curvature_error_1_m"`
}

type lapSpreadJSON struct {
	Realizations int        `json:"realizations"`
	LapTime      spreadJSON `json:"lap_time_s"`
	FullThrottle spreadJSON `json:"full_throttle_share"`
}

type sampleJSON struct {
	Distance number `json:"distance_m"`
	Time     number `json:"time_s"`
	For      number `json:"for_s"`
	Speed    number `json:"speed_m_s"`
	Load     number `json:"load"`
	Forward  number `json:"forward_m_s2"`
	Left     number `json:"left_m_s2"`
}

// circuitData is the circuit for programs; nil for another duty.
func (r Lap) circuitData() *circuitJSON {
	c := r.Circuit
	if c == nil {
		return nil
	}
	out := &circuitJSON{
		Length: number(c.Length), Turning: number(c.Turning), Gap: number(c.Gap),
		Time: number(c.Time), TopSpeed: number(c.TopSpeed), Least: number(c.Least),
	}
	file := ""
	if d := r.Scenario.Duty.Circuit; d != nil {
		out.Name = d.Layout
		if d.CentreLine != nil {
			file = d.CentreLine.File
		}
	}
	if fit := c.Fit; fit != nil {
		out.CentreLine = &centreLineJSON{file, fit.Points, number(fit.LargestOffset), number(fit.CurvatureError)}
	}
	if f := r.Follows; f != nil {
		out.Spread = &lapSpreadJSON{f.Realizations, spreadOf(f.LapTime), spreadOf(f.FullThrottleShare)}
	}
	if r.Samples {
		for _, s := range c.Samples {
			out.Samples = append(out.Samples, sampleJSON{
				number(s.Distance), number(s.Time), number(s.Duration), number(s.Speed), number(s.Load), number(s.Forward), number(s.Left),
			})
		}
	}
	return out
}
