package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"golang.org/x/term"

	"hairpin/report/survey"
)

// progress counts the rows of a survey and shows on a terminal how far it is.
type progress struct {
	w         io.Writer // nil: not shown
	start     time.Time
	shown     time.Time
	done, bad int
	total     atomic.Int64 // scores to read, 0 until it is known
}

// newProgress shows the progress if standard error is a terminal. The scores
// are counted while the first are read; names from standard input are not.
func newProgress(e env, paths []string, has func(string) bool) *progress {
	p := &progress{start: time.Now()}
	if !watched(e) {
		return p
	}
	p.w = e.stderr
	if !slices.Contains(paths, "-") {
		go func() {
			n := int64(0)
			for range without(scoreNames(nil, paths), has) {
				n++
			}
			p.total.Store(n)
		}()
	}
	return p
}

// watched reports whether somebody sees standard error as it comes.
func watched(e env) bool {
	f, ok := e.stderr.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// stage says on a terminal what takes long, until the function that it returns is called.
func stage(e env, text string) (over func()) {
	if !watched(e) {
		return func() {}
	}
	fmt.Fprint(e.stderr, text+" …")
	return func() { fmt.Fprint(e.stderr, "\r\x1b[K") }
}

// row counts a row and writes it above the progress line.
func (p *progress) row(row survey.Row, out *survey.Writer) error {
	p.done++
	if row.Error != "" {
		p.bad++
	}
	p.clear()
	if err := out.Row(row); err != nil {
		return err
	}
	p.show()
	return nil
}

// show writes the progress line: the bar, the count, the rate and the time left.
func (p *progress) show() {
	if p.w == nil {
		return
	}
	p.shown = time.Now()
	fmt.Fprint(p.w, progressLine(p.done, int(p.total.Load()), time.Since(p.start)))
}

// clear wipes the progress line.
func (p *progress) clear() {
	if p.w != nil && !p.shown.IsZero() {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}

// close wipes the line and sums up, once.
func (p *progress) close() {
	if p.w == nil {
		return
	}
	p.clear()
	took := time.Since(p.start)
	fmt.Fprintf(p.w, "%d scores, %d of them not usable, in %s: %.1f a second\n", p.done, p.bad, clock(took), rate(p.done, took))
	p.w = nil
}

// progressLine is "[█████     ] 50 of 100, 12.0 a second, 0:04 left".
func progressLine(done, total int, took time.Duration) string {
	r := rate(done, took)
	if total < done || total == 0 {
		return fmt.Sprintf("%d scores, %.1f a second", done, r)
	}
	const width = 20
	full := width * done / total
	line := fmt.Sprintf("[%s%s] %d of %d, %.1f a second", strings.Repeat("#", full), strings.Repeat(".", width-full), done, total, r)
	if r > 0 {
		line += ", " + clock(time.Duration(float64(total-done)/r*float64(time.Second))) + " left"
	}
	return line
}

func rate(done int, took time.Duration) float64 {
	if took <= 0 {
		return 0
	}
	return float64(done) / took.Seconds()
}

// clock writes a time as minutes and seconds, with hours where there are any.
func clock(d time.Duration) string {
	s := int(d.Round(time.Second).Seconds())
	if s < 3600 {
		return fmt.Sprintf("%d:%02d", s/60, s%60)
	}
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
}
