// Package report renders what the simulator found: text tables that fit 80
// columns, Markdown, CSV and JSON. Everything here is a function of data to a
// writer; nothing is simulated.
//
// Text and Markdown are for people and follow the chosen system of units. CSV
// and JSON are for programs: SI, with the unit in each name, chances and fills
// as shares of 1.
package report
