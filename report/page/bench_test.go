package page

import (
	"io"
	"testing"
)

// BenchmarkPage writes the page of what was worked out before: drawings, tables and words.
func BenchmarkPage(b *testing.B) {
	p := sealedDrain(b)
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(io.Discard, p); err != nil {
			b.Fatal(err)
		}
	}
}
