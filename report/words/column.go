package words

import (
	"math"
	"strconv"

	"sumpward/scenarios/units"
)

// None stands where a value does not apply.
const None = "-"

// columnDecimals holds how many decimals table columns show in a unit.
var columnDecimals = map[string]int{
	"%": 0, "mm": 0, "in": 2, "L": 2, "US qt": 2, "L/min": 1, "cfm": 2, "kPa": 2, "inH2O": 1,
	"°C": 0, "°F": 0, "s": 1, "m/s": 1, "ft/s": 1, "g": 2, "g/s": 2, "mL": 0, "US fl oz": 1, "oz": 3,
	"mL/min": 0, "US fl oz/min": 1,
}

// Column writes the values of one column of a table in one unit.
type Column struct {
	Unit     units.Unit
	Decimals int
}

// ColumnOf is a column of quantities of a dimension, in the unit of a system.
func ColumnOf(d units.Dimension, s units.System) Column {
	u := units.DisplayUnit(d, s)
	return Column{u, columnDecimals[u.Symbol]}
}

// SmallVolumes is a column of volumes well below a litre.
func SmallVolumes(s units.System) Column {
	symbol := "mL"
	if s == units.US {
		symbol = "US fl oz"
	}
	u, _ := units.ParseUnit(symbol, units.Volume) // a unit of the table
	return Column{u, columnDecimals[symbol]}
}

// Masses is a column of small masses.
func Masses(s units.System) Column {
	c := ColumnOf(units.Mass, s)
	if c.Unit.Symbol == "g" {
		c.Decimals = 1
	}
	return c
}

// OilFlows is a column of flows of oil, far smaller than those of gas.
func OilFlows(s units.System) Column {
	small := SmallVolumes(s).Unit
	u := units.Unit{Symbol: small.Symbol + "/min", Factor: small.Factor / 60, Dimension: units.VolumeFlow}
	return Column{u, columnDecimals[u.Symbol]}
}

// FineLength is a column of lengths with one more decimal below 1 mm.
type FineLength struct{ Column }

// FineLengths is such a column.
func FineLengths(s units.System) FineLength { return FineLength{ColumnOf(units.Length, s)} }

// Text writes a value of the column.
func (c FineLength) Text(si float64) string {
	if math.Abs(si) < 1e-3 && si != 0 {
		c.Decimals++
	}
	return c.Column.Text(si)
}

// WithUnit writes a value with its unit.
func (c FineLength) WithUnit(si float64) string { return c.Unit.Attach(c.Text(si)) }

// Text writes a value, SI, without its unit.
func (c Column) Text(si float64) string {
	switch {
	case math.IsNaN(si):
		return None
	case math.IsInf(si, 0):
		return "never"
	}
	v := c.Unit.FromSI(si)
	if shown := Round(v, c.Decimals); shown == 0 {
		v = 0 // no minus before a rounded zero
	}
	return strconv.FormatFloat(v, 'f', c.Decimals, 64)
}

// WithUnit writes a value with its unit.
func (c Column) WithUnit(si float64) string { return c.Unit.Attach(c.Text(si)) }

// Headed puts the unit below the name of a column.
func (c Column) Headed(name string) string {
	if c.Unit.Symbol == "" {
		return name
	}
	return name + "\n" + c.Unit.Symbol
}
