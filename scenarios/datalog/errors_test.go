package datalog

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onRow replaces one cell of one row.
func onRow(row int, column, text string) func(int, string, string) string {
	return func(r int, c, old string) string {
		if r == row && c == column {
			return text
		}
		return old
	}
}

const (
	plainHeader = "time [s],throttle [%],lateral [g],longitudinal [g],speed [km/h],rpm,lap\n"
	rows        = "0.00,10,0,0,50,3000,1\n0.05,10,0,0,50,3000,1\n"
)

// wrong logs, each with the whole of its message.
var wrongLogs = []struct {
	name string
	make func(m *made, s *Spec)
	text string // instead of a made log
	want string
}{
	{name: "empty", text: " \n\r\n", want: "laps.csv: the file is empty; export the log again"},
	{name: "binary", text: plainHeader + "0.00,10\x00,0\n",
		want: "laps.csv:2: not a text file (got the byte 0x00); export the log as text with one row a sample (CSV)"},
	{name: "compressed", text: "\x1f\x8b\x08\x00abc\n",
		want: "laps.csv:1: not a text file (got the byte 0x1f); export the log as text with one row a sample (CSV)"},
	{name: "prose", text: "car\nLarkmoor\n",
		want: "laps.csv: no columns found (allowed delimiters: comma, semicolon, tab, pipe, blank); export the log as text with one row a sample and a header row"},
	{name: "no header", text: "0,10,0\n0.05,10,0\n",
		want: "laps.csv: no header found in the first 2 lines (delimiter taken: comma); put a line above the rows that names the columns, such as time,throttle,lateral,longitudinal, or say columns: {time: …, throttle: …} with the names in the file"},
	{name: "no rows", text: plainHeader,
		want: "laps.csv:1: too few rows below the header (got 0, allowed 2 and more); export the log again, with its samples"},
	{name: "one row", text: plainHeader + "0.00,10,0,0,50,3000,1\n",
		want: "laps.csv:1: too few rows below the header (got 1, allowed 2 and more); export the log again, with its samples"},
	{name: "no time and throttle", text: "a,b,lap\n0,1,2\n1,2,3\n",
		want: "laps.csv:1: time: no such column in the header; name it with columns: {time: …}, as it stands in the header\n" +
			"laps.csv:1: throttle: no such column in the header; name it with columns: {throttle: …}, as it stands in the header"},
	{name: "name not in the header", make: func(m *made, s *Spec) {
		s.Columns = map[string]string{Throttle: "gas pedal"}
		m.header = "time [s]|throttle [%]"
	}, want: `laps.csv:1: throttle: no column of that name (got "gas pedal", allowed "time [s]", "throttle [%]"); copy the name from the header`},
	{name: "two columns of a name", make: func(m *made, s *Spec) { m.header = "time [s]|throttle [%]|lateral [g]|lateral [g]" },
		want: `laps.csv:1: lateral: 2 columns could be it (got "lateral [g]", "lateral [g]"); rename all but one, or leave it out with columns: {lateral: none}`},
	{name: "no signs", make: func(m *made, s *Spec) { s.Positive = nil },
		want: "laps.csv:1: lateral: which way it counts positive isn't stated (got nothing, allowed left, right); look at a left turn: if it reads positive there, say positive: {lateral: left}, if it reads negative, right\n" +
			"laps.csv:1: longitudinal: which way it counts positive isn't stated (got nothing, allowed forward, backward); look at a stretch of hard braking: if it reads negative there, say positive: {longitudinal: forward}, if it reads positive, backward"},
	{name: "sign not known", make: func(m *made, s *Spec) { s.Positive[Longitudinal] = "braking" },
		want: `laps.csv: longitudinal: positive: no such direction (got "braking", allowed forward, backward); look at a stretch of hard braking: if it reads negative there, say positive: {longitudinal: forward}, if it reads positive, backward`},
	{name: "sign not known and a name not in the header", make: func(m *made, s *Spec) {
		m.header = "time [s]|throttle [%]|longitudinal [g]"
		s.Columns, s.Positive[Lateral] = map[string]string{Lateral: "Qer"}, "lft"
	}, want: `laps.csv: lateral: positive: no such direction (got "lft", allowed left, right); ` + signHint(Lateral) + "\n" +
		`laps.csv:1: lateral: no column of that name (got "Qer", allowed "time [s]", "throttle [%]", "longitudinal [g]"); copy the name from the header`},
	{name: "tolerance, sign and unit", make: func(m *made, s *Spec) {
		m.header = "time [s]|throttle [%]|lateral [g]|longitudinal"
		s.Tolerance.Load, s.Positive[Lateral] = 5, "lft"
	}, want: `laps.csv: lateral: positive: no such direction (got "lft", allowed left, right); ` + signHint(Lateral) + "\n" +
		"laps.csv: tolerance of load out of range (got 5, allowed 0 to 1); write 5 %\n" +
		"laps.csv:1: longitudinal: unit not known (got none, allowed g, m/s2); say units: {longitudinal: g}"},
	{name: "quantity and name not known", make: func(m *made, s *Spec) {
		s.Columns = map[string]string{"pedal": "x", Lateral: "Qer"}
	}, want: `laps.csv: columns: no such quantity (got "pedal", allowed time, throttle, lateral, longitudinal, speed, rpm, lap)`},
	{name: "quantities not known", make: func(m *made, s *Spec) {
		s.Columns, s.Units = map[string]string{"pedal": "x", "yaw": "r"}, map[string]string{"lap": "1"}
	}, want: `laps.csv: columns: no such quantity (got "pedal", allowed time, throttle, lateral, longitudinal, speed, rpm, lap)` + "\n" +
		`laps.csv: columns: no such quantity (got "yaw", allowed time, throttle, lateral, longitudinal, speed, rpm, lap)` + "\n" +
		`laps.csv: units: no such quantity (got "lap", allowed time, throttle, lateral, longitudinal, speed, rpm)`},
	{name: "tolerance out of range", make: func(m *made, s *Spec) { s.Tolerance = Tolerance{Load: 5, Acceleration: -1, Smoothing: 60} },
		want: "laps.csv: tolerance of load out of range (got 5, allowed 0 to 1); write 5 %\n" +
			"laps.csv: tolerance of acceleration out of range (got -1 m/s2, allowed 0 to 5 g); write 0.1 g\n" +
			"laps.csv: smoothing out of range (got 60 s, allowed up to 10 s); write 0.5 s"},
	{name: "no units", make: func(m *made, s *Spec) { m.header = "time [s]|throttle [%]|lateral|longitudinal" },
		want: "laps.csv:1: lateral: unit not known (got none, allowed g, m/s2); say units: {lateral: g}\n" +
			"laps.csv:1: longitudinal: unit not known (got none, allowed g, m/s2); say units: {longitudinal: g}"},
	{name: "no unit of time", make: func(m *made, s *Spec) { m.header = "time|throttle [%]" },
		want: "laps.csv:2: time: unit not known (got none, allowed s, ms, min, min:s, h:min:s); say units: {time: s}"},
	{name: "wrong unit in the header", make: func(m *made, s *Spec) { m.header = "time [s]|throttle [mV]|lateral [g]|longitudinal [km/h]" },
		want: `laps.csv:1: throttle: unit not known (got "mV", allowed %, 0..1); say units: {throttle: %}` + "\n" +
			"laps.csv:1: longitudinal: km/h is a speed, an acceleration is wanted (allowed g, m/s2); say units: {longitudinal: g}"},
	{name: "wrong units stated", make: func(m *made, s *Spec) {
		s.Units = map[string]string{RPM: "km/h", Speed: "knots per hour", Time: "fortnight"}
	}, want: `laps.csv:1: time: unknown unit fortnight (allowed s, ms, min, min:s, h:min:s); say units: {time: s}` + "\n" +
		`laps.csv:1: speed: unknown unit knots per hour (allowed km/h, mph, m/s); say units: {speed: km/h}` + "\n" +
		`laps.csv:1: rpm: unit not known (got "km/h", allowed rpm, 1/min, Hz); say units: {rpm: rpm}`},
	{name: "throttle can't be told", make: func(m *made, s *Spec) { m.header, m.throttle = "time [s]|throttle", 5 },
		want: "laps.csv: throttle: unit not known (got none and values up to 5, allowed %, 0..1); say units: {throttle: %} or units: {throttle: 0..1}"},
	{name: "text in a cell", make: func(m *made, s *Spec) { m.cell = onRow(3, Speed, "fast") },
		want: `laps.csv:5: speed: not a number (got "fast", allowed a number, or an empty cell where it is missing)`},
	{name: "infinite", make: func(m *made, s *Spec) { m.cell = onRow(3, Throttle, "-Inf") },
		want: `laps.csv:5: throttle: not a number (got "-Inf", allowed a number, or an empty cell where it is missing); leave the cell empty where the value is missing`},
	{name: "too large for a float", make: func(m *made, s *Spec) { m.cell = onRow(3, RPM, "1e999") },
		want: `laps.csv:5: rpm: not a finite number (got "1e999"); leave the cell empty where the value is missing`},
	{name: "grouped digits", make: func(m *made, s *Spec) { m.delimiter = ";"; m.cell = onRow(3, RPM, "4,200.5") },
		want: `laps.csv:5: rpm: not a number (got "4,200.5", allowed a number, or an empty cell where it is missing); write numbers without grouping of digits`},
	{name: "two decimal signs", make: func(m *made, s *Spec) { m.delimiter = ";"; m.cell = onRow(3, RPM, "4,2") },
		want: `laps.csv:5: rpm: the decimal sign changes within the file (got "4,2", the numbers before have "."); write every number with the same decimal sign and no grouping of digits`},
	{name: "decimal comma with comma", text: "time [s],throttle [%],lap\n0,00,10,5,1\n0,05,10,5,1\n",
		want: "laps.csv:2: more fields than the header has columns (got 5, allowed 3); decimal commas don't go with a comma as delimiter: export with a semicolon between the columns, or with decimal points\n" +
			"laps.csv:3: more fields than the header has columns (got 5, allowed 3); decimal commas don't go with a comma as delimiter: export with a semicolon between the columns, or with decimal points"},
	{name: "open quote", make: func(m *made, s *Spec) { m.cell = onRow(3, RPM, `"4200`) },
		want: "laps.csv:5: a quote is opened and not closed"},
	{name: "line too long", text: plainHeader + rows + strings.Repeat("9", 70000) + "\n" + rows,
		want: "laps.csv:4: line too long (got 70000 bytes, allowed 65536)"},
	{name: "file too large", make: func(m *made, s *Spec) { s.MaxBytes = 1000 },
		want: "laps.csv: file too large (got more than 1000 bytes, allowed 1000); keep the columns and laps that matter, or a lower sample rate: 20 Hz is plenty"},
	{name: "too many rows", make: func(m *made, s *Spec) { s.MaxRows = 100 },
		want: "laps.csv:102: too many rows (got more than 100); keep the laps that matter, or a lower sample rate: 20 Hz is plenty"},
	{name: "time goes backwards", make: func(m *made, s *Spec) { m.cell = onRow(100, Time, "4.9") },
		want: "laps.csv:102: time: time goes backwards (got 4.9 s after 4.95 s); if it starts from zero at each lap, name the lap column with columns: {lap: …}; else cut the file there"},
	{name: "time starts again late", make: func(m *made, s *Spec) {
		m.time = func(t float64) string { return fmt.Sprintf("%.2f", t-38*float64(int(t/40+1e-9))) }
	}, want: "laps.csv:802: time: time goes backwards (got 2 s after 39.95 s); if it starts from zero at each lap, name the lap column with columns: {lap: …}; else cut the file there"},
	{name: "time starts again without a lap column", make: func(m *made, s *Spec) {
		m.header, m.lap = "time [s]|throttle [%]", nil
		m.time = func(t float64) string { return fmt.Sprintf("%.2f", t-40*float64(int(t/40+1e-9))) }
	}, want: "laps.csv:802: time: time goes backwards (got 0 s after 39.95 s); if it starts from zero at each lap, name the lap column with columns: {lap: …}; else cut the file there"},
	{name: "time stands still", make: func(m *made, s *Spec) { m.time = func(float64) string { return "7" } },
		want: "laps.csv: time: time stands still (every row has the same time stamp); name the right column with columns: {time: …}"},
	{name: "clock that is none", make: func(m *made, s *Spec) { s.Units = map[string]string{Time: "min:s"}; m.cell = onRow(0, Time, "1:75.0") },
		want: `laps.csv:2: time: not a time (got "1:75.0", allowed min:s or h:min:s); such as 1:02.5` + "\n" +
			`laps.csv:3: time: not a time (got "0.050", allowed min:s or h:min:s); such as 1:02.5` + "\n" +
			`laps.csv:4: time: not a time (got "0.100", allowed min:s or h:min:s); such as 1:02.5` + "\n" +
			`laps.csv: time: and in 1597 more rows`},
	{name: "clock where seconds are stated", make: func(m *made, s *Spec) { m.cell = onRow(5, Time, "0:00.25") },
		want: `laps.csv:7: time: not a number (got "0:00.25", the unit is not min:s); say units: {time: min:s}`},
	{name: "1 Hz", make: func(m *made, s *Spec) { m.rate = 1 },
		want: "laps.csv: time: too few samples a second (got 1 Hz, allowed 2 Hz and more); check the unit of time, such as units: {time: ms}; else log at 10 Hz or more"},
	{name: "milliseconds as seconds", make: func(m *made, s *Spec) { m.time = func(t float64) string { return fmt.Sprintf("%.0f", 1000*t) } },
		want: "laps.csv: time: too few samples a second (got 0.02 Hz, allowed 2 Hz and more); check the unit of time, such as units: {time: ms}; else log at 10 Hz or more"},
	{name: "seconds as milliseconds", make: func(m *made, s *Spec) { s.Units = map[string]string{Time: "ms"} },
		want: "laps.csv: time: too many samples a second (got 2e+04 Hz, allowed up to 1000 Hz); check the unit of time, such as units: {time: s}"},
	{name: "rows absent for too long", make: func(m *made, s *Spec) { m.skip = func(row int) bool { return row >= 100 && row < 121 } },
		want: "laps.csv:102: time: gap without samples (got 1.1 s from 4.95 s on, allowed up to 1 s); cut the file so that it holds one run without a break"},
	{name: "values missing for too long", make: func(m *made, s *Spec) {
		m.cell = func(row int, column, text string) string {
			if column == Lateral && row >= 100 && row < 120 {
				return ""
			}
			return text
		}
	}, want: "laps.csv:102: lateral: values are missing for too long (got 1.05 s from 4.95 s on, allowed up to 1 s); cut the file there, or leave the column out with columns: {lateral: none}"},
	{name: "no value at all", make: func(m *made, s *Spec) {
		m.cell = func(row int, column, text string) string {
			if column == Lateral {
				return "-"
			}
			return text
		}
	}, want: "laps.csv:2: lateral: values are missing for too long (got 79.95 s from 0 s on, allowed up to 1 s); cut the file there, or leave the column out with columns: {lateral: none}"},
	{name: "throttle out of range", make: func(m *made, s *Spec) { m.cell = onRow(9, Throttle, "850") },
		want: "laps.csv:11: throttle: out of range (got 850 %, allowed -20 to 120 %); check its unit, or leave the cell empty if the reading is a fault"},
	{name: "% as 0..1", make: func(m *made, s *Spec) { s.Units = map[string]string{Throttle: "0..1"} },
		want: "laps.csv:2: throttle: out of range, and in 1399 more rows (got 1e+04 %, allowed -20 to 120 %); check its unit, or leave the cell empty if the reading is a fault"},
	{name: "m/s2 as g", make: func(m *made, s *Spec) { m.lateral = 1 },
		want: "laps.csv: lateral: too large for a car (got 9.81 g or more in 5 % of the rows, allowed up to 4 g); check its unit, such as units: {lateral: m/s2}"},
	{name: "lap that is no number", make: func(m *made, s *Spec) { m.cell = onRow(9, Lap, "out") },
		want: `laps.csv:11: lap: not a number (got "out", allowed a number, or an empty cell where it is missing)`},
	{name: "lap that isn't whole", make: func(m *made, s *Spec) { m.cell = onRow(9, Lap, "1.5") },
		want: "laps.csv:11: lap: not a whole number (got 1.5); leave the lap column out with columns: {lap: none}"},
}

func TestWrongLogs(t *testing.T) {
	for _, c := range wrongLogs {
		t.Run(c.name, func(t *testing.T) {
			m, s := plain(), forwardLeft()
			if c.make != nil {
				c.make(&m, &s)
			}
			text := c.text
			if text == "" {
				text = m.String()
			}
			l, err := Read(strings.NewReader(text), "laps.csv", s)
			require.Error(t, err)
			assert.Nil(t, l)
			assert.Equal(t, c.want, err.Error())
			var list Errors
			require.ErrorAs(t, err, &list)
			var one *Error
			require.ErrorAs(t, err, &one)
			assert.Equal(t, "laps.csv", one.Name)
		})
	}
}

// Of a column, the first three problems are listed and the rest is counted.
func TestManyProblems(t *testing.T) {
	m := plain()
	m.cell = func(row int, column, text string) string {
		if column == Throttle || column == RPM {
			return "?!"
		}
		return text
	}
	_, err := Read(strings.NewReader(m.String()), "laps.csv", forwardLeft())
	var list Errors
	require.True(t, errors.As(err, &list))
	assert.Len(t, list, 8)
	assert.Equal(t, &Error{Name: "laps.csv", Line: 2, Column: Throttle, What: `not a number (got "?!", allowed a number, or an empty cell where it is missing)`}, list[0])
	assert.Equal(t, &Error{Name: "laps.csv", Column: Throttle, What: "and in 1597 more rows"}, list[6])
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("device gone") }

func TestReaderFails(t *testing.T) {
	_, err := Read(failing{}, "laps.csv", Spec{})
	assert.EqualError(t, err, "laps.csv: can't be read: device gone")
}

func TestLapOfNothing(t *testing.T) {
	_, _, err := (&Log{Name: "laps.csv"}).Lap(Tolerance{})
	assert.EqualError(t, err, "laps.csv: the log holds no samples; read it with Read")
	l, err := Read(strings.NewReader(plain().String()), "laps.csv", forwardLeft())
	require.NoError(t, err)
	_, _, err = l.Lap(Tolerance{Load: 2})
	assert.EqualError(t, err, "laps.csv: tolerance of load out of range (got 2, allowed 0 to 1); write 5 %")
}
