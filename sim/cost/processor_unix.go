//go:build unix

package cost

import (
	"syscall"
	"time"
)

// processorTime is how long this process has been on processors so far.
func processorTime() (time.Duration, error) {
	var u syscall.Rusage
	err := syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano()), err
}
