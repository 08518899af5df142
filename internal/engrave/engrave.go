// Package engrave draws a score as SVG, one picture per system, and says where
// its measures and notes stand, so that curves can be drawn exactly under them.
//
// Start at [New] and [Engraver.Engrave]. The drawing itself is done by the
// engraver library described in vendored/NOTICE, which is WebAssembly: no other
// program, no network. Two machines run it (machine.go): in the binary a runtime
// inside this process (inside.go), which keeps the compiled form in a file and
// may run another build of it, see [Options.Module]; in the browser the
// browser's own (browser.go).
//
// # Conventions
//
// Coordinates are in the units of the system's own viewBox, x to the right, y
// down, the origin at its upper left corner. A stave space is 18 units at scale
// 100. Measures are counted from 0 as [score.Measures]; notes by their place
// among the source's note elements, rests included, in document order over the
// whole file, as [score.Note.Source]. Onsets are quarter notes from the start of
// the measure as written.
package engrave

import (
	"context"
	"fmt"
	"sync"
	"time"
)

// Options says how an engraver works. The zero value is right for most.
type Options struct {
	// Module is the path of another build of the engraver library to use
	// instead of the one inside, .wasm or .wasm.gz. If its exports and imports
	// are shortened, the table of its names stands beside it with the ending
	// .names.json; vendor.mjs makes both. Empty: the one inside.
	Module string
	// CacheDir keeps the compiled engraver between runs. Empty: "hairpin" in
	// the user's cache directory. "none", or a directory that cannot be
	// written: memory only.
	CacheDir string
	// Timeout ends the engraving of one layout; 0 is 60 s, in the browser 180 s, and
	// 4 ms more for each note: four times what a machine takes that has nothing else to do.
	Timeout time.Duration
	// MemoryMB bounds the memory of one run; 0 is 1024, in the browser 512. It
	// needs at least 128.
	MemoryMB int
	// MaxNotes bounds the size of a score; 0 is 100,000 note elements.
	MaxNotes int
	// Parallel is how many scores are engraved at once, others wait; 0 is 2, in
	// the browser 1.
	Parallel int

	perNote time.Duration // what each note adds to Timeout

	calls callListener // in tests: told of every call, instead of pauses
}

func (o Options) withDefaults() Options {
	if o.Timeout == 0 {
		o.Timeout, o.perNote = usualTimeout, 4*time.Millisecond
	}
	if o.MemoryMB == 0 {
		o.MemoryMB = usualMemoryMB
	}
	if o.MaxNotes == 0 {
		o.MaxNotes = 100_000
	}
	if o.Parallel == 0 {
		o.Parallel = usualParallel
	}
	return o
}

// Engraver engraves scores. It may be used by several goroutines at once.
type Engraver struct {
	options Options
	machine machine
	slots   chan struct{} // taken by what is being drawn, and for good by Close

	closing sync.Mutex
	closed  bool
}

// New readies an engraver: in the binary it compiles for one to three seconds
// the first time, later it reads the compiled form from the cache. Close it
// after use.
func New(ctx context.Context, options Options) (*Engraver, error) {
	options = options.withDefaults()
	m, err := newMachine(ctx, options)
	if err != nil {
		return nil, fmt.Errorf("prepare the engraver: %w", err)
	}
	return &Engraver{options: options, machine: m, slots: make(chan struct{}, options.Parallel)}, nil
}

// Close waits for what is being drawn, as nothing may run in memory that is given
// back, and frees what the engraver holds; the cache on disk stays. Nothing is
// drawn afterwards. If ctx ends first nothing is freed, and its error is returned.
func (e *Engraver) Close(ctx context.Context) error {
	e.closing.Lock()
	defer e.closing.Unlock()
	if e.closed {
		return nil
	}
	for range cap(e.slots) {
		select {
		case e.slots <- struct{}{}:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	e.closed = true
	return e.machine.close(ctx)
}
