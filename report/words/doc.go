// Package words writes numbers, chances and inputs for people: one value as a
// table, a sentence or a page shows it. It never writes a bare 0 %.
package words
