package survey

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"os"
	"runtime"
	"sync"
	"time"

	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/report"
)

// Survey reads many scores. The zero value reads them with all cores and
// default options.
type Survey struct {
	Options report.Options
	Limits  musicxml.Limits
	Workers int // scores read at the same time, 0 for one a core
}

// largeFile is the size in bytes from which scores are read one at a time, so
// that memory does not grow with the number of cores.
const largeFile = 8 << 20

// Run reads the scores as their names come and calls emit for each of them, in
// the order in which they are done and never twice at a time. A score that
// cannot be used is a row with its reason. No more scores are held than there
// are workers. Run ends early with the error of names or emit; where ctx ends
// it first completes the scores in hand, then returns the context's error.
func (s Survey) Run(ctx context.Context, names iter.Seq2[string, error], emit func(Row) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	todo, rows := make(chan string), make(chan Row)
	go func() {
		defer close(todo)
		feed(ctx, cancel, names, todo)
	}()
	go func() {
		defer close(rows)
		s.work(ctx, todo, rows)
	}()
	var failed error
	for row := range rows {
		if failed != nil {
			continue // the workers are on their way out
		}
		if failed = emit(row); failed != nil {
			cancel(failed)
		}
	}
	return context.Cause(ctx)
}

// feed hands the names out until they or the context end.
func feed(ctx context.Context, cancel context.CancelCauseFunc, names iter.Seq2[string, error], todo chan<- string) {
	for name, err := range names {
		if err != nil {
			cancel(err)
		}
		if ctx.Err() != nil {
			return
		}
		select {
		case todo <- name:
		case <-ctx.Done():
			return
		}
	}
}

// work runs the workers until there is nothing left to do or the context ends;
// names that come slowly do not hold it up.
func (s Survey) work(ctx context.Context, todo <-chan string, rows chan<- Row) {
	n := s.Workers
	if n <= 0 {
		n = runtime.GOMAXPROCS(0)
	}
	var group sync.WaitGroup
	var large sync.Mutex
	for range n {
		group.Go(func() {
			for {
				select {
				case name, ok := <-todo:
					if !ok {
						return
					}
					rows <- s.row(name, &large)
				case <-ctx.Done():
					return
				}
			}
		})
	}
	group.Wait()
}

// row reads one score.
func (s Survey) row(name string, large *sync.Mutex) (row Row) {
	if info, err := os.Stat(name); err == nil && info.Size() >= largeFile {
		large.Lock()
		defer large.Unlock()
	}
	start := time.Now()
	defer func() {
		if fault := recover(); fault != nil { // a fault of ours must not cost the other scores
			row = Row{Error: fmt.Sprintf("the program failed on it: %v", fault)}
		}
		row.Schema, row.File, row.Seconds = 1, name, time.Since(start).Round(time.Millisecond).Seconds()
	}()
	r, err := s.read(name)
	if err != nil {
		return Row{Error: reason(err)}
	}
	return NewRow(r)
}

func (s Survey) read(name string) (*report.Reading, error) {
	if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() {
		return nil, errors.New("not a file")
	}
	f, err := musicxml.OpenLimits(name, s.Limits)
	if err != nil {
		return nil, err
	}
	return report.Read(f, s.Options, true)
}

// reason is an error without the name of the score, which the row has already.
func reason(err error) string {
	var (
		path        *fs.PathError
		malformed   *musicxml.MalformedError
		unsupported *musicxml.UnsupportedError
	)
	switch {
	case errors.As(err, &path):
		return path.Err.Error()
	case errors.As(err, &malformed):
		e := *malformed
		e.File = ""
		return e.Error()
	case errors.As(err, &unsupported):
		e := *unsupported
		e.File = ""
		return e.Error()
	case errors.Is(err, harmony.ErrNoPitch):
		return harmony.ErrNoPitch.Error()
	}
	if inner := errors.Unwrap(err); inner != nil {
		return inner.Error()
	}
	return err.Error()
}
