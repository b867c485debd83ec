// Package logbook keeps what was seen of a shop's cars, session by session: what
// was drained and topped up, whether the vent hose was wet, what gauges read, what
// had been forecast.
//
// A logbook is a CSV file, one row an entry, that a spreadsheet opens. A shop
// writes some hundreds of rows in a year; so few need no database. The file can be
// read, corrected, compared between two days, printed and carried on without this
// program. A server or a binary format would give nothing for that. What a
// database guards against, a half-written entry and two writers at once, Append
// guards against too.
//
// The header names the columns, in any order, each with its unit in brackets:
// "drained [mL]". Fields are parted by commas, semicolons or tabs; with
// semicolons and tabs numbers may have a decimal comma. Cells may be empty, and a
// cell may bring its own unit ("4 US fl oz"). Columns that are not known are kept and
// passed over.
package logbook
