package main

import (
	"sync/atomic"

	"github.com/schollz/progressbar/v3"
)

// progress shows how many realizations are done, on a terminal only. The
// total is -1 where it isn't known. The function to report with may be nil;
// finish takes the bar away.
func (a *app) progress(total int) (report func(realizations int), finish func()) {
	return a.progressOf("realizations", total)
}

// progressOf is progress of something else.
func (a *app) progressOf(what string, total int) (report func(done int), finish func()) {
	if !a.onTerminal() {
		return nil, func() {}
	}
	bar := progressbar.NewOptions(total,
		progressbar.OptionSetWriter(a.stderr), progressbar.OptionSetDescription(what),
		progressbar.OptionShowCount(), progressbar.OptionSetWidth(30),
		progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100_000_000))
	var most atomic.Int64
	report = func(n int) {
		for {
			before := most.Load()
			if int64(n) <= before {
				return
			}
			if most.CompareAndSwap(before, int64(n)) {
				_ = bar.Set(n)
				return
			}
		}
	}
	return report, func() { _ = bar.Clear() }
}
