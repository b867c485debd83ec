package sim

import "fmt"

// warnings lists what the user of a result should know.
func (m *Model) warnings(t *tally) []string {
	var w []string
	for _, x := range m.scenario.Warnings {
		text := x.Text
		if x.Path != "" {
			text = x.Path + ": " + text
		}
		w = append(w, text)
	}
	car := m.nominal
	if m.SealedByTrap() {
		w = append(w, "drain: a climb of a bore or more in the hose traps oil: it counts as sealed, though no seal is stated")
	}
	if m.scenario.CarryOver.CornerShare != nil && car.CornerMean() == 0 {
		w = append(w, "carry_over.corner_share: no corner above 0.8 g lasts 1.5 s in this duty: all liquid follows the gas flow")
	}
	if m.scenario.CarryOver.Road != nil {
		w = append(w, "carry_over.during: a reading over a road interval says little of a session on track; the laps' own share of cornering was kept")
	}
	if t.StageExits > 0 {
		w = append(w, fmt.Sprintf("separator.elements: in %s of the realizations a stage is outside the range of its equation at full throttle: %v",
			shareOf(t.StageExits, t.N), m.stageOutside()))
	}
	if t.RangeExits > 0 {
		w = append(w, fmt.Sprintf("oil.viscosity: below 2 cSt, outside the range of ASTM D341, in %s of the realizations", shareOf(t.RangeExits, t.N)))
	}
	if text := t.Failed.warning(t.N+t.Failed.Count, "were left out"); text != "" {
		w = append(w, text)
	}
	return w
}

// stageOutside says which stage is outside its range at nominal values, or that
// none is there.
func (m *Model) stageOutside() string {
	var t mistTable
	t.start(m.nominal)
	if err := t.outside(m.nominal.Gas.BlowByFull); err != nil {
		return "at nominal values " + err.Error()
	}
	return "at nominal values none is"
}

// shareOf writes a share of realizations.
func shareOf(k int64, n int) string {
	switch share := 100 * float64(k) / float64(n); {
	case k == int64(n):
		return "all"
	case share < 10:
		return fmt.Sprintf("%.2g %%", share)
	default:
		return fmt.Sprintf("%.0f %%", share)
	}
}
