//go:build unix

package main

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
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
