package cost

import (
	"syscall"
	"time"
)

// processorTime is how long this process has been on processors so far.
func processorTime() (time.Duration, error) {
	self, err := syscall.GetCurrentProcess()
	if err != nil {
		return 0, err
	}
	var created, ended, kernel, user syscall.Filetime
	err = syscall.GetProcessTimes(self, &created, &ended, &kernel, &user)
	return hundreds(kernel) + hundreds(user), err
}

// hundreds is a count of 100 ns: as a duration it is not a date, which Filetime takes it for.
func hundreds(t syscall.Filetime) time.Duration {
	return time.Duration(int64(t.HighDateTime)<<32|int64(t.LowDateTime)) * 100
}
