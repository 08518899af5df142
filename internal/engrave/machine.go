package engrave

import "context"

// machine runs the engraver's module: a runtime inside the program, or the
// browser the program runs in.
type machine interface {
	// start makes a run.
	start(ctx context.Context) (run, error)
	close(ctx context.Context) error
}

// run is one run of the module: a fresh memory of its own, used for one score
// and thrown away. A throw inside the module leaves it unusable, so nothing of
// it is ever used again. When a context ends, the call under way ends soon.
type run interface {
	// call calls an exported function by its full name; 0 if it has no result.
	call(ctx context.Context, name string, args ...uint32) (uint32, error)
	// write puts bytes in the module's memory.
	write(ctx context.Context, at uint32, b []byte) error
	// text reads the zero-terminated text at a place of it.
	text(ctx context.Context, at uint32) (string, error)
	close(ctx context.Context)
}
