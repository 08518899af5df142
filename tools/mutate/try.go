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
	"strings"
	"sync"
)

// fate is what became of a fault.
type fate int

const (
	broken   fate = iota // it does not compile and does not count
	byOwn                // the tests of its package fail
	byThen               // the second tests fail
	survived             // nobody noticed
)

type result struct {
	fault fault
	fate  fate
}

// sound reports as an error if the tests fail without any fault.
func (p plan) sound(packages []source) error {
	args := []string{"test", "-short"}
	for _, pkg := range packages {
		args = append(args, pkg.ImportPath)
	}
	for _, a := range [][]string{args, append([]string{"test"}, p.then...)} {
		if len(a) == 1 {
			continue
		}
		if out, err := exec.Command("go", a...).CombinedOutput(); err != nil {
			return fmt.Errorf("the tests fail without a fault: go %s\n%s", strings.Join(a, " "), out)
		}
	}
	return nil
}

// try runs the tests on faults, in order, until enough of them compiled.
func try(p plan, all []fault) (out []result) {
	var lock sync.Mutex
	next := 0
	take := func() (fault, bool) {
		lock.Lock()
		defer lock.Unlock()
		if next >= len(all) || len(out) >= p.n {
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
	if err != nil || !p.passes(overlay, "build", f.pkg.ImportPath) {
		return broken
	}
	if !p.passes(overlay, "test", "-failfast", "-short", f.pkg.ImportPath) {
		return byOwn
	}
	if len(p.then) > 0 && !p.passes(overlay, "test", append([]string{"-failfast"}, p.then...)...) {
		return byThen
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

// passes runs the go command with the file laid over the tree; a run past the
// limit has not passed.
func (p plan) passes(overlay, verb string, args ...string) bool {
	ctx, stop := context.WithTimeout(context.Background(), p.limit)
	defer stop()
	run := exec.CommandContext(ctx, "go", append([]string{verb, "-overlay", overlay}, args...)...)
	run.WaitDelay = p.limit / 10
	return run.Run() == nil
}
