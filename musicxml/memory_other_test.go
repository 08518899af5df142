//go:build !linux

package musicxml

import "time"

// peakMemory is known on Linux only.
func peakMemory() int64 { return 0 }

// cpuTime is known on Linux only; elsewhere the clock has to do.
func cpuTime(passed time.Duration) time.Duration { return passed }
