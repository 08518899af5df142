//go:build unix

package hairpin_test

import (
	"syscall"
	"time"
)

// processorTime is what the process has used so far: on a busy machine the
// clock on the wall says little.
func processorTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
