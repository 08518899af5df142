package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// killed writes a long text to the file named and ends itself by force after
// so many of its thousand pieces; after the last of them it lives on.
func killed() {
	o := outFlags{path: os.Args[1]}
	pieces, err := strconv.Atoi(os.Args[2])
	if err != nil {
		os.Exit(3)
	}
	err = o.write(env{}, func(w io.Writer) error {
		for i := range 1000 {
			if i == pieces {
				die()
			}
			if _, err := w.Write(bytes.Repeat([]byte{'a' + byte(i%26)}, 1<<10)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// die ends the process as kill -9 does.
func die() {
	self, err := os.FindProcess(os.Getpid())
	if err == nil {
		err = self.Kill()
	}
	if err != nil {
		os.Exit(3)
	}
	select {}
}

// TestKilledWhileWriting checks that a process ended by force in the middle of
// a write leaves the file that was there, and one that is not, the new file.
func TestKilledWhileWriting(t *testing.T) {
	old := []byte("what was there before\n")
	for _, pieces := range []int{0, 1, 500, 999, 1000} {
		path := filepath.Join(t.TempDir(), "out.musicxml")
		if err := os.WriteFile(path, old, 0o600); err != nil {
			t.Fatal(err)
		}
		c := exec.Command("killed", path, strconv.Itoa(pieces))
		err := c.Run()
		got, readErr := os.ReadFile(path)
		if readErr != nil {
			t.Fatal(readErr)
		}
		switch {
		case pieces < 1000 && (err == nil || !bytes.Equal(got, old)):
			t.Errorf("killed after %d pieces: %v; the old file is gone", pieces, err)
		case pieces == 1000 && (err != nil || len(got) != 1000<<10):
			t.Errorf("not killed: %v; the new file has %d bytes", err, len(got))
		}
	}
}

// TestKilledAtAnyMoment ends annotate by force at many moments of its run;
// its output is then the old file or the whole new one, byte for byte.
func TestKilledAtAnyMoment(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the program many times")
	}
	folder := t.TempDir()
	score := filepath.Join("..", "..", "testdata", "song-ferry-lamp.musicxml")
	whole := filepath.Join(folder, "whole.musicxml")
	took := timed(t, exec.Command("hairpin", "annotate", score, "-o", whole))
	want, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	old, states := []byte("what was there before\n"), map[bool]int{}
	for i := range 24 {
		path := filepath.Join(folder, "out.musicxml")
		if err := os.WriteFile(path, old, 0o600); err != nil {
			t.Fatal(err)
		}
		killAfter(t, exec.Command("hairpin", "annotate", score, "-o", path), took*time.Duration(i)/20)
		got, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		isNew := bytes.Equal(got, want)
		if !isNew && !bytes.Equal(got, old) {
			t.Fatalf("killed after %d/20 of the time: the file has %d bytes and is neither the old nor the new one", i, len(got))
		}
		states[isNew]++
	}
	t.Logf("%d times the old file, %d times the new one", states[false], states[true])
}

// timed runs a command and says how long it took.
func timed(t *testing.T, c *exec.Cmd) time.Duration {
	t.Helper()
	start := time.Now()
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return time.Since(start)
}

// killAfter starts a command and ends it by force, if it still runs by then.
func killAfter(t *testing.T, c *exec.Cmd, after time.Duration) {
	t.Helper()
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	timer := time.AfterFunc(after, func() { c.Process.Kill() })
	defer timer.Stop()
	c.Wait() // its end by force is what is wanted
}
