// Package plot draws pictures: one realization against time, and chances over
// the range of an input. A picture is a figure: panels over one common x axis,
// drawn to an SVG or a PNG of fixed size. Nothing is simulated here, and the
// same data give the same bytes.
//
// Lines are told apart by dash and marker and are named beside their ends, so
// that nothing rests on colour alone.
package plot
