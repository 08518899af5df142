//go:build linux

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestDiskFull lets no file grow beyond 512 bytes, which a process meets as it meets a
// full disk. Each command says so in one line with the name of its output, keeps what
// was there, and leaves nothing beside it.
func TestDiskFull(t *testing.T) {
	score, err := filepath.Abs("../../testdata/etude-millrace.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	for _, command := range []string{"annotate -o out.musicxml", "reduce -o out.musicxml", "listen -o out.mid", "listen -o out.wav"} {
		t.Run(command, func(t *testing.T) {
			name := command[strings.LastIndex(command, " ")+1:]
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, name), []byte("old"), 0o644); err != nil {
				t.Fatal(err)
			}
			c := exec.Command("sh", "-c", fmt.Sprintf("ulimit -f 1; exec hairpin %s '%s'", command, score))
			c.Dir = dir
			said, _ := c.CombinedOutput()
			if code := c.ProcessState.ExitCode(); code != unusable || !bytes.HasPrefix(said, []byte("hairpin: error: "+name+" cannot be written: file too large\nhint: ")) {
				t.Errorf("status %d, %s", code, said)
			}
			list, err := os.ReadDir(dir)
			if err != nil || len(list) != 1 {
				t.Errorf("left behind: %v (%v)", list, err)
			}
			if kept, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(kept) != "old" {
				t.Errorf("what was there is gone: %q (%v)", kept, err)
			}
		})
	}
}
