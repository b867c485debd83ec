//go:build !unix && !windows

package cost

import "time"

var began = time.Now()

// processorTime stands in with the time of day where processor time can't be asked for.
func processorTime() (time.Duration, error) { return time.Since(began), nil }
