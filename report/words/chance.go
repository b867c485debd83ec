package words

import (
	"math"
	"strconv"
	"strings"

	"sumpward/sim"
	"sumpward/sim/stats"
)

// Chance is an estimated chance with the count behind it.
type Chance struct {
	stats.Estimate
	Events, Of int64
	Impossible bool // the layout knows no such event
}

// The places of the chances in SessionChances.
const (
	Overflow = iota
	DrainChoked
	OverPressure
	OilLost
	Fails // overflow or a choked drain
)

// SessionChances returns the chances of one session length: overflow, drain
// choked, over-pressure, oil lost, overflow or choked.
func SessionChances(res *sim.Result, s *sim.SessionResult) [5]Chance {
	n, dry := int64(res.Realizations), res.Kind == sim.NoDrain
	return [5]Chance{
		{s.Overflow, s.Events.Overflow, n, false},
		{s.DrainChoked, s.Events.DrainChoked, n, dry},
		{s.OverPressure, s.Events.OverPressure, n, false},
		{s.OilLost, s.Events.OilLost, n, false},
		{s.Fails, s.Events.Fails, n, false},
	}
}

// Text writes the chance as a share of realizations, never a bare 0 % or 100 %.
func (c Chance) Text() string {
	switch {
	case c.Impossible:
		return "cannot occur"
	case c.Events == 0:
		return "none of " + Grouped(c.Of)
	case c.Events == c.Of:
		return "all of " + Grouped(c.Of)
	}
	return Percent(c.Probability, c.HalfWidth()) + " %"
}

// Interval writes the interval with as many digits as its width is worth.
func (c Chance) Interval() string {
	h := c.HalfWidth()
	switch {
	case c.Impossible:
		return ""
	case c.Events == 0:
		return "up to " + Percent(c.High, h) + " %"
	case c.Events == c.Of:
		return "at least " + Percent(c.Low, h) + " %"
	}
	return Percent(c.Low, h) + " .. " + Percent(c.High, h) + " %"
}

// Cell writes the chance over its interval, for a cell of a table.
func (c Chance) Cell() string { return strings.TrimSuffix(c.Text()+"\n"+c.Interval(), "\n") }

// WithInterval writes the chance and its interval in brackets, on one line.
func (c Chance) WithInterval() string {
	if c.Impossible {
		return c.Text()
	}
	return c.Text() + " (" + c.Interval() + ")"
}

// Estimated writes a chance of which the count is not told, never a bare 0 % or
// 100 %: "up to 0.4 %".
func Estimated(e stats.Estimate) string {
	switch e.Probability {
	case 0:
		return "up to " + Percent(e.High, e.High/2) + " %"
	case 1:
		return "at least " + Percent(e.Low, e.HalfWidth()) + " %"
	}
	return Percent(e.Probability, e.HalfWidth()) + " %"
}

// mostDecimals is the finest that a percentage is written.
const mostDecimals = 6

// Percent writes a share in per cent with as many decimals as show one or two
// digits of the half-width, and more where it would otherwise read 0 or 100
// without being so.
func Percent(share, halfWidth float64) string {
	decimals := 0
	if halfWidth > 0 {
		decimals = int(math.Ceil(-math.Log10(100*halfWidth) + 0.3))
	}
	decimals = min(max(decimals, 0), mostDecimals)
	for ; decimals < mostDecimals; decimals++ {
		shown := Round(100*share, decimals)
		if (shown != 0 || share == 0) && (shown != 100 || share == 1) {
			break
		}
	}
	return strconv.FormatFloat(100*share, 'f', decimals, 64)
}

// Round rounds to so many decimals.
func Round(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}

// Grouped writes a count with its thousands set apart: 20,000.
func Grouped(n int64) string {
	digits := strconv.FormatInt(n, 10)
	sign := ""
	if strings.HasPrefix(digits, "-") {
		sign, digits = "-", digits[1:]
	}
	var parts []string
	for ; len(digits) > 3; digits = digits[:len(digits)-3] {
		parts = append([]string{digits[len(digits)-3:]}, parts...)
	}
	return sign + strings.Join(append([]string{digits}, parts...), ",")
}
