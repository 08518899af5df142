package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"
)

// fate is what became of a fault.
type fate int

const (
	broken   fate = iota // it does not compile and does not count
	byOwn                // the tests of its package fail
	byThen               // the second tests fail
	hung                 // the tests run past the limit
	survived             // nobody noticed
)

func (f fate) String() string {
	return [...]string{"does not compile", "caught", "caught by the second tests", "past the limit", "not noticed"}[f]
}

type result struct {
	fault fault
	fate  fate
}

// sound reports as an error if the tests fail without any fault.
func (p plan) sound(packages []source) error {
	args := []string{"test", "-short", "-vet=off"}
	calls := p.seconds("")
	for _, pkg := range packages {
		args = append(args, pkg.ImportPath)
		calls = slices.DeleteFunc(calls, func(call []string) bool { return own(call[3], pkg.ImportPath) })
	}
	for _, a := range append(calls, args) {
		if out, err := exec.Command("go", a...).CombinedOutput(); err != nil {
			return fmt.Errorf("the tests fail without a fault: go %s\n%s", strings.Join(a, " "), out)
		}
	}
	return nil
}

// seconds are the calls of the second tests, one a package, those nearest to the
// fault's package first: it is enough if one of them fails. That package itself is
// left out, its tests have run.
func (p plan) seconds(near string) (out [][]string) {
	var options []string
	for i, word := range p.then {
		if strings.HasPrefix(word, "-") {
			options = p.then[i:]
			break
		}
		out = append(out, []string{"test", "-failfast", "-vet=off", word})
	}
	slices.SortStableFunc(out, func(a, b []string) int { return shared(b[3], near) - shared(a[3], near) })
	out = slices.DeleteFunc(out, func(call []string) bool { return own(call[3], near) })
	for i := range out {
		out[i] = append(out[i], options...)
	}
	return out
}

// own reports whether a pattern is that package.
func own(pattern, pkg string) bool {
	_, path, _ := strings.Cut(pkg, "/")
	return strings.TrimPrefix(pattern, "./") == path
}

// shared is how many folders two packages have in common.
func shared(pattern, pkg string) (n int) {
	_, pkg, _ = strings.Cut(pkg, "/")
	a, b := strings.Split(strings.TrimPrefix(pattern, "./"), "/"), strings.Split(pkg, "/")
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n
}

// try runs the tests on faults, in order, until enough of them compiled.
func try(p plan, all []fault) (out []result) {
	var lock sync.Mutex
	next, start := 0, time.Now()
	take := func() (fault, bool) {
		lock.Lock()
		defer lock.Unlock()
		if next >= len(all) || len(out) >= p.n || time.Since(start) > p.within {
			return fault{}, false
		}
		next++
		return all[next-1], true
	}
	var wait sync.WaitGroup
	for range runtime.NumCPU() {
		wait.Go(func() {
			for f, ok := take(); ok; f, ok = take() {
				got := result{f, p.test(f)}
				lock.Lock()
				if got.fate != broken && len(out) < p.n {
					out = append(out, got)
					fmt.Fprintf(os.Stderr, "%d: %s: %s\n", len(out), got.fate, f)
				}
				lock.Unlock()
			}
		})
	}
	wait.Wait()
	return out
}

// test sets the fault into a copy of its file and runs the tests with it.
func (p plan) test(f fault) fate {
	folder, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return broken
	}
	defer os.RemoveAll(folder)
	overlay, err := f.write(folder)
	if err != nil {
		return broken
	}
	if got := p.passes(overlay, []string{"test", "-failfast", "-short", "-vet=off", f.pkg.ImportPath}); got != survived {
		return got
	}
	for _, call := range p.seconds(f.pkg.ImportPath) {
		switch p.passes(overlay, call) {
		case hung:
			return hung
		case byOwn, broken:
			return byThen
		}
	}
	return survived
}

// write makes the changed file and the list that lays it over the tree.
func (f fault) write(folder string) (overlay string, err error) {
	text, err := os.ReadFile(f.file)
	if err != nil {
		return "", err
	}
	changed := bytes.Join([][]byte{text[:f.from], []byte(f.new), text[f.to:]}, nil)
	file := filepath.Join(folder, "changed.go")
	if err := os.WriteFile(file, changed, 0o644); err != nil {
		return "", err
	}
	list, err := json.Marshal(map[string]map[string]string{"Replace": {f.file: file}})
	if err != nil {
		return "", err
	}
	overlay = filepath.Join(folder, "overlay.json")
	return overlay, os.WriteFile(overlay, list, 0o644)
}

// passes runs the go command with the file laid over the tree: broken if it does
// not compile, survived if the tests pass, hung if they run past the limit.
func (p plan) passes(overlay string, args []string) fate {
	ctx, stop := context.WithTimeout(context.Background(), p.limit)
	defer stop()
	run := exec.CommandContext(ctx, "go", slices.Insert(slices.Clone(args), 1, "-overlay", overlay)...)
	run.WaitDelay = p.limit / 10
	out, err := run.CombinedOutput()
	switch {
	case err == nil:
		return survived
	case bytes.Contains(out, []byte("[build failed]")):
		return broken
	case ctx.Err() != nil:
		return hung
	}
	return byOwn
}
