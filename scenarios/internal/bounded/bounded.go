// Package bounded holds, in fuzz tests, what reading a file may take.
package bounded

import (
	"runtime/metrics"
	"testing"
	"time"
)

// What reading a short text may take, whatever stands in it: far more than it does.
const (
	longest    = 5 * time.Second
	mostMemory = 256 << 20 // bytes in all, most of them for a moment only
)

// Do runs what reads a text, and fails where that takes too much time or memory.
func Do(t testing.TB, read func()) {
	t.Helper()
	before, start := allocated(), time.Now()
	read()
	if d := time.Since(start); d > longest {
		t.Fatalf("took %v", d)
	}
	if n := allocated() - before; n > mostMemory {
		t.Fatalf("took %d MB of memory", n>>20)
	}
}

// allocated is how many bytes have been allocated since the program began.
func allocated() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}
