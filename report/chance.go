package report

import (
	"math"
	"strconv"
	"strings"

	"sumpward/sim/stats"
)

// chance is an estimated chance with the count behind it.
type chance struct {
	stats.Estimate
	events, of int64
	impossible bool // the layout knows no such event
}

// text writes the chance as a share of realizations, never a bare 0 % or 100 %.
func (c chance) text() string {
	switch {
	case c.impossible:
		return "cannot occur"
	case c.events == 0:
		return "none of " + grouped(c.of)
	case c.events == c.of:
		return "all of " + grouped(c.of)
	}
	return percent(c.Probability, c.HalfWidth()) + " %"
}

// interval writes the interval with as many digits as its width is worth.
func (c chance) interval() string {
	h := c.HalfWidth()
	switch {
	case c.impossible:
		return ""
	case c.events == 0:
		return "up to " + percent(c.High, h) + " %"
	case c.events == c.of:
		return "at least " + percent(c.Low, h) + " %"
	}
	return percent(c.Low, h) + " .. " + percent(c.High, h) + " %"
}

// mostDecimals is the finest that a percentage is written.
const mostDecimals = 6

// percent writes a share in per cent with as many decimals as show one or two
// digits of the half-width, and more where it would otherwise read 0 or 100
// without being so.
func percent(share, halfWidth float64) string {
	decimals := 0
	if halfWidth > 0 {
		decimals = int(math.Ceil(-math.Log10(100*halfWidth) + 0.3))
	}
	decimals = min(max(decimals, 0), mostDecimals)
	for ; decimals < mostDecimals; decimals++ {
		shown := round(100*share, decimals)
		if (shown != 0 || share == 0) && (shown != 100 || share == 1) {
			break
		}
	}
	return strconv.FormatFloat(100*share, 'f', decimals, 64)
}

func round(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}

// grouped writes a count with its thousands set apart: 20,000.
func grouped(n int64) string {
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
