package musicxml

import (
	"syscall"
	"time"
)

// peakMemory is the most memory that the process has held, in bytes.
func peakMemory() int64 { return usage().Maxrss * 1024 }

// cpuTime is the processor time that the process has used: what passed by the
// clock depends on what else the machine does.
func cpuTime(time.Duration) time.Duration {
	u := usage()
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func usage() (u syscall.Rusage) {
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return syscall.Rusage{}
	}
	return u
}
