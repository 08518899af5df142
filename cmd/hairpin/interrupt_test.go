//go:build unix

package main

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"hairpin/musicxml"
	"hairpin/tools/scoregen"
)

// TestSurveyInterrupted checks that an interrupt lets the rows in hand end,
// leaves only whole rows, and says how to go on; names still to come do not
// hold it up.
func TestSurveyInterrupted(t *testing.T) {
	c := exec.Command("hairpin", "survey", "-", "--format", "ndjson", "--workers", "1")
	names, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	c.Stderr = &said
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(names, "nowhere.mxl\n"); err != nil {
		t.Fatal(err)
	}
	rows := bufio.NewReader(out)
	if _, err := rows.ReadString('\n'); err != nil { // it runs, and waits for a name
		t.Fatal(err)
	}
	late := time.AfterFunc(20*time.Second, func() { c.Process.Kill() })
	defer late.Stop()
	if err := c.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	rest, err := io.ReadAll(rows)
	if err != nil || len(rest) > 0 {
		t.Errorf("after the interrupt: %q, %v", rest, err)
	}
	c.Wait()
	if code := c.ProcessState.ExitCode(); code != unusable || !strings.Contains(said.String(), "interrupted after 1 score") || !strings.Contains(said.String(), "--resume") {
		t.Errorf("status %d, %s", code, said.String())
	}
}

// TestInterruptedWhileWriting checks that an interrupt in the middle of a write ends the
// command at once, in words, and leaves nothing beside what was there.
func TestInterruptedWhileWriting(t *testing.T) {
	dir := t.TempDir()
	score := filepath.Join(dir, "long.musicxml")
	var b bytes.Buffer
	if err := musicxml.Write(&b, scoregen.Piano(400, 1)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(score, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		c := exec.Command("hairpin", "listen", "-o", filepath.Join(dir, "out.wav"), score)
		var said strings.Builder
		c.Stderr = &said
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		ended := time.AfterFunc(time.Minute, func() { c.Process.Kill() })
		for {
			if list, _ := filepath.Glob(filepath.Join(dir, ".hairpin-*")); len(list) > 0 {
				break
			}
			time.Sleep(time.Millisecond)
		}
		c.Process.Signal(signal)
		c.Wait()
		ended.Stop()
		if c.ProcessState.ExitCode() != unusable || !strings.Contains(said.String(), "interrupted: ") {
			t.Errorf("%v: status %d, %s", signal, c.ProcessState.ExitCode(), said.String())
		}
		if list, err := os.ReadDir(dir); err != nil || len(list) != 1 {
			t.Errorf("%v: left behind: %v (%v)", signal, list, err)
		}
	}
}
