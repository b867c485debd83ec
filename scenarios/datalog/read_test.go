package datalog

import (
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func utf16Text(s string, order binary.AppendByteOrder) string {
	var b []byte
	for _, w := range utf16.Encode([]rune(s)) {
		b = order.AppendUint16(b, w)
	}
	return string(b)
}

// variations of how the same two laps are logged. All must come out the same.
var variations = []struct {
	name string
	make func(m *made, s *Spec)
	text func(string) string // what is done to the text
	note string              // that is expected
	warn string
}{
	{name: "comma"},
	{name: "semicolon", make: func(m *made, s *Spec) { m.delimiter = ";" }},
	{name: "semicolon with decimal comma", make: func(m *made, s *Spec) { m.delimiter, m.decimalComma = ";", true }},
	{name: "comma with quoted decimal comma", make: func(m *made, s *Spec) { m.quote, m.decimalComma = true, true }},
	{name: "tab", make: func(m *made, s *Spec) { m.delimiter = "\t" }},
	{name: "tab with decimal comma", make: func(m *made, s *Spec) { m.delimiter, m.decimalComma = "\t", true }},
	{name: "pipe", make: func(m *made, s *Spec) { m.delimiter = "|" }},
	{name: "blanks, unit apart", make: func(m *made, s *Spec) { m.delimiter = "   " }},
	{name: "blanks and commas", make: func(m *made, s *Spec) { m.delimiter = " , " }},
	{name: "quoted", make: func(m *made, s *Spec) {
		m.quote, m.header = true, `time [s]|the "real" throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]|rpm|lap`
		s.Columns = map[string]string{Throttle: `the "real" throttle`}
	}},
	{name: "delimiter at the end of each line", make: func(m *made, s *Spec) { m.trailing = "," }},
	{name: "preamble", make: func(m *made, s *Spec) {
		m.preamble = "Larkmoor, car 42\ntime,10:32:00\nrate,20,Hz\n\nthrottle and speed as logged\n"
	}},
	{name: "long preamble", make: func(m *made, s *Spec) { m.preamble = strings.Repeat("note,more\n", 150) }},
	{name: "header behind a comment sign", make: func(m *made, s *Spec) { m.preamble = "# " }},
	{name: "comments between rows", make: func(m *made, s *Spec) {
		m.between = func(row int) string { return map[bool]string{true: "# pit board\n\n"}[row == 300] }
	}},
	{name: "byte order mark", text: func(t string) string { return "\ufeff" + t }},
	{name: "CRLF", make: func(m *made, s *Spec) { m.end = "\r\n" }},
	{name: "CR", make: func(m *made, s *Spec) { m.end = "\r" }},
	{name: "end-of-file mark", text: func(t string) string { return t + "\x1a" }},
	{name: "UTF-16 little-endian", text: func(t string) string { return utf16Text("\ufeff"+t, binary.LittleEndian) }, note: "read as UTF-16"},
	{name: "UTF-16 big-endian without mark", text: func(t string) string { return utf16Text(t, binary.BigEndian) }, note: "read as UTF-16"},
	{name: "UTF-16 little-endian without mark", text: func(t string) string { return utf16Text(t, binary.LittleEndian) }, note: "read as UTF-16"},
	{name: "ISO 8859-1", make: func(m *made, s *Spec) {
		m.header = "time [s]|throttle [%]|lateral [m/s\xb2]|longitudinal [m/s\xb2]|speed [km/h]|rpm|lap"
		m.lateral, m.longitudinal = 1, 1
	}, note: "read as ISO 8859-1 (it isn't valid UTF-8)"},
	{name: "row of units", make: func(m *made, s *Spec) {
		m.header, m.units = "time|throttle|lateral|longitudinal|speed|rpm|lap", "ms|%|m/s2|g|m/s|1/min|"
		m.time = func(t float64) string { return fmt.Sprintf("%.0f", 1000*t) }
		m.lateral, m.speed = 1, 1
	}},
	{name: "row of units in brackets after a blank line", make: func(m *made, s *Spec) {
		m.header, m.units = "Time|Throttle|Lateral|Longitudinal|Speed|RPM|Lap", "[s]|[0..1]|[g]|[g]|[mph]|[rpm]|[-]"
		m.throttle, m.speed = 1, 1/0.44704
	}, text: func(t string) string { return strings.Replace(t, "\n", "\n\n", 1) }},
	{name: "row of long names below the header", make: func(m *made, s *Spec) {
		m.units = "clock|pedal|across|along|wheel|crank|count"
	}, note: "line 2, below the header, holds neither numbers nor units and is passed over"},
	{name: "units stated", make: func(m *made, s *Spec) {
		m.header = "time|throttle|lateral|longitudinal|speed|rpm|lap"
		s.Units = map[string]string{Time: "min", Throttle: "%", Lateral: "m/s2", Longitudinal: "g", Speed: "kph", RPM: "rpm"}
		m.time, m.lateral = func(t float64) string { return fmt.Sprintf("%.8f", t/60) }, 1
	}},
	{name: "units behind the names", make: func(m *made, s *Spec) {
		m.header = "time_s|throttle %|Lat G|long_acc_m/s2|speed_kmh|rpm|lap"
		m.longitudinal = 1
	}},
	{name: "stated unit wins over the file", make: func(m *made, s *Spec) {
		m.header, m.lateral = "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]|rpm|lap", 1
		s.Units = map[string]string{Lateral: "m/s2"}
	}, warn: "lateral: the file says g, the unit stated is m/s2, which was taken"},
	{name: "speed without a unit", make: func(m *made, s *Spec) {
		m.header = "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed|rpm|lap"
	}, note: `speed: column "speed" is left unread, its unit isn't known (say units: {speed: km/h})`},
	{name: "throttle in % by its values", make: func(m *made, s *Spec) {
		m.header = "time [s]|throttle|lateral [g]|longitudinal [g]|speed [km/h]|rpm|lap"
	}, note: "throttle: taken as %, from values up to 100"},
	{name: "throttle in 0..1 by its values", make: func(m *made, s *Spec) {
		m.header, m.throttle = "time [s]|throttle|lateral [g]|longitudinal [g]|speed [km/h]|rpm|lap", 1
	}, note: "throttle: taken as 0..1, from values up to 1"},
	{name: "min:s", make: func(m *made, s *Spec) {
		m.header = "time|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]|rpm|lap"
		m.time = func(t float64) string { return fmt.Sprintf("%d:%06.3f", 59+int(t/60), math.Mod(t, 60)) }
	}},
	{name: "h:min:s with decimal comma", make: func(m *made, s *Spec) {
		m.delimiter, m.decimalComma = "\t", true
		s.Units = map[string]string{Time: "h:min:s"}
		m.time = func(t float64) string { return fmt.Sprintf("14:%02d:%06.3f", 7+int(t/60), math.Mod(t, 60)) }
	}},
	{name: "milliseconds since long ago", make: func(m *made, s *Spec) {
		s.Units = map[string]string{Time: "ms"}
		m.header = "timestamp|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]|rpm|lap"
		m.time = func(t float64) string { return fmt.Sprintf("%.0f", 1.7e12+1000*t) }
	}},
	{name: "axes the other way", make: func(m *made, s *Spec) {
		m.lateral, m.longitudinal = -1/g0, -1/g0
		s.Positive = map[string]string{Longitudinal: "backward", Lateral: "right"}
	}},
	{name: "names stated, any case", make: func(m *made, s *Spec) {
		m.header = "Clock [s]|Pedal [%]|Y [g]|X [g]|Wheel  speed [km/h]|crank|turn"
		s.Columns = map[string]string{Time: "clock", Throttle: "Pedal [%]", Lateral: "y", Longitudinal: "x",
			Speed: "wheel speed", RPM: "Crank", Lap: "turn"}
	}},
	{name: "other spellings", make: func(m *made, s *Spec) {
		m.header = "Elapsed Time (s)|TPS (%)|Lateral Acceleration (g)|LongAcc (g)|Vehicle_Speed (km/h)|Engine Speed (rpm)|Lap Number"
	}},
	{name: "columns that aren't read", make: func(m *made, s *Spec) {
		m.header += "|driver|note, if any|pedal [%]"
		m.header = strings.Replace(m.header, ", if", " if", 1)
	}},
	{name: "a plainer name beside it", make: func(m *made, s *Spec) { m.header += "|GPS speed [m/s]|vehicle speed [m/s]|t" }},
	{name: "most cells empty, decimal comma", make: func(m *made, s *Spec) {
		m.delimiter, m.decimalComma, m.header = ";", true, m.header+strings.Repeat("|spare", 20)
		m.cell = func(row int, column, text string) string {
			if row%20 != 0 && (column == Speed || column == RPM || column == Lap) {
				return ""
			}
			return text
		}
	}, text: func(t string) string { return strings.ReplaceAll(t, ";x", ";") },
		warn: "values were missing in 95.0 % of the samples and are interpolated (columns logged at a lower rate, or a logger that loses data)"},
	{name: "minus sign", text: func(t string) string { return strings.ReplaceAll(t, ",-", ",−") }},
	{name: "missing cells", make: func(m *made, s *Spec) {
		m.cell = func(row int, column, text string) string {
			if row%7 < 3 && row%200 > 62 && row%200 < 118 && column != Time {
				return []string{"", "-", "NaN", "n/a"}[row%4]
			}
			return text
		}
	}, warn: "values were missing in 11.8 % of the samples and are interpolated (columns logged at a lower rate, or a logger that loses data)"},
	{name: "cells missing at both ends", make: func(m *made, s *Spec) {
		m.cell = func(row int, column, text string) string {
			if (row < 15 || row > 1590) && column == Throttle {
				return ""
			}
			return text
		}
	}},
	{name: "rows absent", make: func(m *made, s *Spec) {
		m.skip = func(row int) bool { return row > 40 && row < 58 || row == 300 }
	}, note: "rows that are absent, filled in: 18"},
	{name: "a row without time", make: func(m *made, s *Spec) {
		m.cell = func(row int, column, text string) string {
			if row == 77 && column == Time {
				return ""
			}
			return text
		}
	}, note: "rows without a time, passed over: 1|rows that are absent, filled in: 1"},
	{name: "columns at a lower rate", make: func(m *made, s *Spec) {
		m.rate = 100
		m.cell = func(row int, column, text string) string {
			if row%20 != 0 && (column == Speed || column == RPM) {
				return ""
			}
			return text
		}
	}, warn: "values were missing in 95.0 % of the samples and are interpolated (columns logged at a lower rate, or a logger that loses data)"},
	{name: "coarse time stamps", make: func(m *made, s *Spec) {
		m.time = func(t float64) string { return fmt.Sprintf("%.1f", math.Floor(t*2+1e-6)/2) }
	}, note: "rows that repeat the time stamp before them, spread evenly up to the next one: 1440"},
	{name: "time from zero each lap", make: func(m *made, s *Spec) {
		m.time = func(t float64) string { return fmt.Sprintf("%.3f", math.Mod(t+1e-9, madeLapTime)) }
	}, note: "time starts from zero where the lap changes, and the laps are put one behind the other: 1"},
	{name: "header repeated", text: func(t string) string {
		lines := strings.SplitAfter(t, "\n")
		return strings.Join(lines[:100], "") + lines[0] + strings.Join(lines[100:], "")
	}, note: "rows that repeat the header, passed over: 1"},
	{name: "5 Hz", make: func(m *made, s *Spec) { m.rate = 5 }},
	{name: "100 Hz", make: func(m *made, s *Spec) { m.rate = 100 }},
	{name: "4 Hz", make: func(m *made, s *Spec) { m.rate = 4 },
		warn: "only 4 samples a second: short throttle openings are lost (5 to 100 Hz is usual)"},
	{name: "200 Hz", make: func(m *made, s *Spec) { m.rate = 200 },
		warn: "200 samples a second: check the unit of time (5 to 100 Hz is usual)"},
	{name: "sensor that reads 4 to 97 %", make: func(m *made, s *Spec) {
		m.cell = func(row int, column, text string) string {
			if column != Throttle {
				return text
			}
			v, _ := strconv.ParseFloat(text, 64)
			return decimals(4 + 0.93*v)
		}
	}, note: "throttle: 4.0 % .. 97.0 % (0.5 % and 99.5 % quantiles of the log) are taken as closed and open"},
	{name: "lap number in the first row of a lap", make: func(m *made, s *Spec) {
		m.cell = func(row int, column, text string) string {
			if column == Lap && row%800 != 0 {
				return ""
			}
			return text
		}
	}},
	{name: "marker at the line", make: func(m *made, s *Spec) {
		m.header = "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]|rpm|beacon"
		m.lap = func(t float64) string {
			return map[bool]string{true: "1", false: "0"}[math.Mod(t+1e-9, madeLapTime) < 0.15]
		}
	}, note: "lap: read as a marker at the line, each rise of it starts a lap"},
	{name: "no lap column", make: func(m *made, s *Spec) {
		m.header, m.lap = "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]|rpm", nil
	}},
	{name: "lap column left unread", make: func(m *made, s *Spec) { s.Columns = map[string]string{Lap: "none"} }},
}

// Every way to write the same log gives the same phases.
func TestVariationsGiveTheSamePhases(t *testing.T) {
	for _, v := range variations {
		t.Run(v.name, func(t *testing.T) {
			m, s := plain(), forwardLeft()
			if v.make != nil {
				v.make(&m, &s)
			}
			text := m.String()
			if v.text != nil {
				text = v.text(text)
			}
			l, err := Read(strings.NewReader(text), "laps.csv", s)
			require.NoError(t, err)
			assert.InDelta(t, m.rate, l.Rate, 1e-5*m.rate)
			phases, r, err := l.Lap(Tolerance{Smoothing: -1})
			require.NoError(t, err)
			require.Equal(t, 2, r.Laps)
			require.Equal(t, 14, len(phases), "%v", phases)
			for i, p := range phases {
				want := madeLap[i%7]
				assert.InDelta(t, want.Duration, p.Duration, 1e-5)
				assert.InDelta(t, want.Load, p.Load, 1e-6)
				assert.InDelta(t, want.Forward, p.Forward, 2e-5)
				assert.InDelta(t, want.Left, p.Left, 2e-5)
				assert.False(t, p.EngineStopped)
			}
			if v.note == "" {
				assert.Empty(t, l.Notes)
			} else {
				assert.Equal(t, strings.Split(v.note, "|"), l.Notes)
			}
			if v.warn == "" {
				assert.Empty(t, l.Warnings)
			} else {
				assert.Equal(t, []string{v.warn}, l.Warnings)
			}
		})
	}
}

// What is read beside load and acceleration, in SI.
func TestSamplesAreSI(t *testing.T) {
	l, err := Read(strings.NewReader(plain().String()), "laps.csv", forwardLeft())
	require.NoError(t, err)
	assert.Equal(t, 0, l.MissingFilled)
	s := l.Samples[100] // 5 s: 20 m/s and 0.3 g for 5 s
	assert.InDelta(t, 5, s.Time, 1e-9)
	assert.InDelta(t, 20+5*0.3*g0, s.Speed, 1e-6)
	assert.InDelta(t, 120*s.Speed, s.RPM, 1e-4)
	assert.Equal(t, 1, s.Lap)
	assert.Equal(t, 2, l.Samples[800].Lap)
	assert.Equal(t, "speed [km/h]", l.Header[Speed])
}

// A missing value is interpolated in time between its neighbours, and counted.
func TestMissingIsLinear(t *testing.T) {
	m := plain()
	m.cell = func(row int, column, text string) string {
		if column == Lateral && row >= 255 && row <= 264 { // 12.75 .. 13.20 s, across the turn-in at 13 s
			return ""
		}
		return text
	}
	l, err := Read(strings.NewReader(m.String()), "laps.csv", forwardLeft())
	require.NoError(t, err)
	for k := range 10 {
		assert.InDelta(t, g0*float64(k+1)/11, l.Samples[255+k].Left, 1e-5)
		assert.True(t, l.Samples[255+k].Filled)
	}
	assert.Equal(t, 10, l.MissingFilled)
}

// Rows that are absent get evenly spaced times and values between their
// neighbours.
func TestAbsentRowsAreEven(t *testing.T) {
	m := plain()
	m.skip = func(row int) bool { return row >= 15 && row < 20 }
	l, err := Read(strings.NewReader(m.String()), "laps.csv", forwardLeft())
	require.NoError(t, err)
	for i := range 40 {
		assert.InDelta(t, 0.05*float64(i), l.Samples[i].Time, 1e-9)
		assert.InDelta(t, 20+0.3*g0*l.Samples[i].Time, l.Samples[i].Speed, 1e-6)
		assert.Equal(t, i >= 15 && i < 20, l.Samples[i].Filled)
	}
	assert.Equal(t, 5, l.MissingFilled)
}

// The rate is the median's: single uneven steps don't move it.
func TestRateOfUnevenSteps(t *testing.T) {
	m := plain()
	m.cell = onRow(700, Time, "34.990")
	l, err := Read(strings.NewReader(m.String()), "laps.csv", forwardLeft())
	require.NoError(t, err)
	assert.InDelta(t, 20, l.Rate, 1e-6)
}

// Speed only serves checks: a gap in it is neither an error nor a filled
// sample.
func TestSpeedMayBeMissing(t *testing.T) {
	m := plain()
	m.cell = func(row int, column, text string) string {
		if column == Speed && (row >= 50 && row < 60 || row >= 300 && row < 400) {
			return ""
		}
		return text
	}
	l, err := Read(strings.NewReader(m.String()), "laps.csv", forwardLeft())
	require.NoError(t, err)
	assert.Equal(t, 0, l.MissingFilled)
	assert.Equal(t, []string{"speed is missing for more than 1 s at 1 places and stays unknown there"}, l.Notes)
	assert.InDelta(t, 20+0.3*g0*2.75, l.Samples[55].Speed, 1e-6)
	assert.True(t, math.IsNaN(l.Samples[350].Speed))
}

// Engine speed in revolutions a second.
func TestRPMInHertz(t *testing.T) {
	m, s := plain(), forwardLeft()
	s.Units = map[string]string{RPM: "Hz"}
	m.cell = func(row int, column, text string) string {
		if column == RPM {
			return "50"
		}
		return text
	}
	l, err := Read(strings.NewReader(m.String()), "laps.csv", s)
	require.NoError(t, err)
	assert.InDelta(t, 3000, l.Samples[0].RPM, 1e-9)
}

// A lap column without a single value is a log of one lap.
func TestEmptyLapColumn(t *testing.T) {
	m := plain()
	m.lap = func(float64) string { return "" }
	l, err := Read(strings.NewReader(m.String()), "laps.csv", forwardLeft())
	require.NoError(t, err)
	assert.Equal(t, 0, l.Samples[7].Lap)
	_, r, err := l.Lap(Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, []string{"the lap number never changes: the whole log is taken as one lap"}, r.Warnings)
}

// A log without accelerations is read, with a warning.
func TestNoAccelerations(t *testing.T) {
	m := plain()
	m.header = "time [s]|throttle [%]"
	l, err := Read(strings.NewReader(m.String()), "laps.csv", Spec{})
	require.NoError(t, err)
	assert.Equal(t, []string{"no lateral column: that acceleration is taken as none", "no longitudinal column: that acceleration is taken as none"}, l.Warnings)
	assert.True(t, math.IsNaN(l.Samples[0].Speed))
	assert.True(t, math.IsNaN(l.Samples[0].RPM))
}

// A stopped engine has no load and a phase of its own.
func TestStoppedEngine(t *testing.T) {
	m := plain()
	m.cell = func(row int, column, text string) string {
		if column == RPM && (row >= 20 && row < 60 || row >= 250 && row < 260) {
			return "150"
		}
		return text
	}
	l, err := Read(strings.NewReader(m.String()), "laps.csv", forwardLeft())
	require.NoError(t, err)
	phases, _, err := l.Lap(Tolerance{Smoothing: -1})
	require.NoError(t, err)
	require.Len(t, phases, 17, "also where load is the same on both sides")
	assert.True(t, phases[4].EngineStopped)
	assert.InDelta(t, 0.5, phases[4].Duration, 1e-9)
	assert.Equal(t, Phase{Duration: phases[1].Duration, Load: 0, Forward: phases[1].Forward, Left: 0, EngineStopped: true}, phases[1])
	assert.InDelta(t, 2, phases[1].Duration, 1e-9)
}

// A throttle that doesn't reach its stops isn't scaled, and that is said.
func TestThrottleThatIsNotScaled(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		warning   string
	}{
		{0, 80, "throttle: reads up to 80.0 % only and is taken as it stands: if that is full throttle, the column needs scaling"},
		{20, 100, "throttle: never reads below 20.0 % and is taken as it stands: if that is closed throttle, the column needs scaling"},
	} {
		m := plain()
		m.cell = func(row int, column, text string) string {
			if column != Throttle {
				return text
			}
			p, _ := at(float64(row) / m.rate)
			return decimals(c.low + (c.high-c.low)*p.Load)
		}
		l, err := Read(strings.NewReader(m.String()), "laps.csv", forwardLeft())
		require.NoError(t, err)
		assert.Equal(t, []string{c.warning}, l.Warnings)
		assert.InDelta(t, c.high/100, l.Samples[0].Load, 1e-6)
		assert.InDelta(t, c.low/100, l.Samples[220].Load, 1e-6)
	}
}

// Throttle just inside the stops snaps to them.
func TestSnap(t *testing.T) {
	l := &Log{}
	throttle := []float64{0, 0.03, 0.0301, 0.5, 0.9499, 0.95, 1, -0.1, 1.1}
	sorted := make([]float64, 0, 2000)
	for range 200 {
		sorted = append(sorted, throttle[:7]...)
	}
	sorted = append(sorted, throttle...)
	l.loadFromThrottle(sorted)
	assert.Equal(t, []float64{0, 0, 0.0301, 0.5, 0.9499, 1, 1, 0, 1}, sorted[len(sorted)-9:])
	assert.Empty(t, l.Notes)
}
