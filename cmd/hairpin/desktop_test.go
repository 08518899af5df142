package main

import (
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// TestDoubleClick starts the program as a desktop does: no arguments, no
// terminal, no pipe, a display. A stand-in for the desktop's opener writes down
// the address it is given; the page must be there.
func TestDoubleClick(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the stand-in is for a Linux desktop")
	}
	program, err := exec.LookPath("hairpin") // this test program under that name
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	opened := filepath.Join(folder, "opened")
	script := "#!/bin/sh\necho \"$1\" >'" + opened + ".part' && mv '" + opened + ".part' '" + opened + "'\n"
	if err := os.WriteFile(filepath.Join(folder, "xdg-open"), []byte(script), 0o755); err != nil {
		t.Fatal(err)
	}
	c := exec.Command(program) // its streams are the null device
	c.Env = append(os.Environ(), "DISPLAY=:9", "PATH="+folder+":"+os.Getenv("PATH"))
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	defer c.Process.Kill()
	address := ""
	for until := time.Now().Add(30 * time.Second); address == "" && time.Now().Before(until); time.Sleep(20 * time.Millisecond) {
		text, _ := os.ReadFile(opened)
		address = strings.TrimSpace(string(text))
	}
	answer, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		t.Errorf("%s answers with %s", address, answer.Status)
	}
	c.Process.Signal(os.Interrupt)
	if err := c.Wait(); err != nil {
		t.Errorf("interrupted, it ends with %v", err)
	}
}

// Without a display, or as part of a command line, the same prints help.
func TestNoDoubleClickWithoutADesktop(t *testing.T) {
	for _, display := range []string{"", ":9"} {
		c := exec.Command("hairpin")
		c.Env = append(os.Environ(), "DISPLAY="+display, "WAYLAND_DISPLAY=")
		out, err := c.Output() // a pipe
		if err != nil || !strings.HasPrefix(string(out), "hairpin reads a") {
			t.Errorf("display %q: %v, %.40s", display, err, out)
		}
	}
}
