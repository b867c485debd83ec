// Package exact holds closed forms and transforms for the few cases of filling and
// draining that have them: what the simulation is tested against. Nothing outside
// tests uses it.
package exact
