package datalog

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"sumpward/scenarios/internal/problem"
	"sumpward/scenarios/units"
)

// clockUnits are the ways to say that times are written with colons.
var clockUnits = []string{"min:s", "h:min:s", "mm:ss", "m:ss", "hh:mm:ss", "h:mm:ss", "m:s"}

// unitAliases are spellings of loggers beside those of package units.
var unitAliases = map[string]string{"G": "g", "kmh": "km/h", "km/hr": "km/h", "kmph": "km/h", "m/s/s": "m/s2",
	"sec": "s", "secs": "s", "seconds": "s"}

// throttleFactors take a throttle unit to a fraction.
var throttleFactors = map[string]float64{"%": 0.01, "percent": 0.01, "pct": 0.01, "0..100": 0.01,
	"0..1": 1, "0-1": 1, "1": 1, "fraction": 1, "ratio": 1}

// unitFactor gives what a value in the unit is multiplied by: to s, m/s², m/s,
// rev/min, or a fraction for throttle. clock is true for times with colons.
func unitFactor(unit, key string) (factor float64, clock bool, err error) {
	unit = strings.TrimSpace(unit)
	switch key {
	case Throttle:
		if f, ok := throttleFactors[strings.ToLower(strings.ReplaceAll(unit, " ", ""))]; ok {
			return f, false, nil
		}
		return 0, false, fmt.Errorf("unit not known (got %s, allowed %%, 0..1)", problem.Quoted(unit))
	case RPM:
		switch strings.ToLower(strings.ReplaceAll(unit, " ", "")) {
		case "rpm", "1/min", "min-1", "min^-1", "r/min", "rev/min", "u/min":
			return 1, false, nil
		case "hz", "1/s", "rev/s":
			return 60, false, nil
		}
		return 0, false, fmt.Errorf("unit not known (got %s, allowed rpm, 1/min, Hz)", problem.Quoted(unit))
	case Lap:
		return 1, false, nil
	}
	if key == Time {
		for _, c := range clockUnits {
			if strings.EqualFold(strings.ReplaceAll(unit, " ", ""), c) {
				return 1, true, nil
			}
		}
	}
	if alias, ok := unitAliases[unit]; ok {
		unit = alias
	}
	u, err := units.ParseUnit(unit, dimensions[key])
	if err != nil {
		var e *units.Error
		if errors.As(err, &e) && e.What != "" {
			return 0, false, fmt.Errorf("%s (allowed %s)", e.What, allowedUnits(key))
		}
		return 0, false, fmt.Errorf("unit not known (got %s, allowed %s)", problem.Quoted(unit), allowedUnits(key))
	}
	return u.Factor, false, nil
}

var dimensions = map[string]units.Dimension{Time: units.Time, Lateral: units.Acceleration, Longitudinal: units.Acceleration, Speed: units.RoadSpeed}

func allowedUnits(key string) string {
	switch key {
	case Time:
		return "s, ms, min, min:s, h:min:s"
	case Throttle:
		return "%, 0..1"
	case RPM:
		return "rpm, 1/min, Hz"
	case Speed:
		return "km/h, mph, m/s"
	}
	return "g, m/s2"
}

// unitRow takes the cells of a row below the header for units where that is
// what they are, and tells whether any is.
func unitRow(cells []string, columns []column) bool {
	found := false
	units := make([]string, len(columns))
	for i, c := range columns {
		if c.index >= len(cells) || c.key == Lap {
			continue
		}
		cell := strings.Trim(cells[c.index], "[](){}# ")
		if cell == "" || isNumeric(cell) && c.key != Throttle {
			continue
		}
		if _, _, err := unitFactor(cell, c.key); err == nil {
			units[i], found = cell, true
		}
	}
	for i := range columns {
		if units[i] != "" && columns[i].unit == "" {
			columns[i].unit = units[i]
		}
	}
	return found
}

// settleUnits fixes the factor of each column from the stated unit, or else
// that of the header. Throttle may still be open after it (factor 0).
func settleUnits(columns []column, s Spec, line int, p *problems) (kept []column, notes, warnings []string) {
	for _, c := range columns {
		stated := strings.TrimSpace(s.Units[c.key])
		unit := stated
		if unit == "" {
			unit = c.unit
		}
		var err error
		switch {
		case c.key == Lap:
		case unit != "":
			c.factor, c.clock, err = unitFactor(unit, c.key)
		case c.key == RPM:
			c.factor = 1
		case c.key == Throttle || c.key == Time:
			c.factor = 0 // the values may tell
		case c.key == Speed && !c.stated:
			notes = append(notes, fmt.Sprintf("speed: column %s is left unread, its unit isn't known (say units: {speed: km/h})", problem.Quoted(c.header)))
			continue
		default:
			err = fmt.Errorf("unit not known (got none, allowed %s)", allowedUnits(c.key))
		}
		if err != nil {
			p.Add(line, c.key, err.Error(), fmt.Sprintf("say units: {%s: %s}", c.key, strings.Split(allowedUnits(c.key), ",")[0]))
			continue
		}
		if stated != "" && c.unit != "" {
			if other, _, err := unitFactor(c.unit, c.key); err == nil && c.key != Lap && other != c.factor {
				warnings = append(warnings, fmt.Sprintf("%s: the file says %s, the unit stated is %s, which was taken", c.key, c.unit, stated))
			}
		}
		kept = append(kept, c)
	}
	return kept, notes, warnings
}

// throttleFactor tells % from 0..1 by the values: only a log that reaches
// 20 or more, or that stays within 1.1 and reaches 0.5, is beyond doubt.
func throttleFactor(values []float64) (factor float64, highest float64) {
	highest = math.Inf(-1)
	for _, v := range values {
		if v > highest {
			highest = v
		}
	}
	switch {
	case highest >= 20 && highest <= 120:
		return 0.01, highest
	case highest >= 0.5 && highest <= 1.1:
		return 1, highest
	}
	return 0, highest
}
