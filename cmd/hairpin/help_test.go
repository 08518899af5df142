package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"
)

// Every help keeps to the columns of an ordinary terminal, but for the examples, which are
// to be copied whole.
func TestHelpFitsATerminal(t *testing.T) {
	names := []string{""}
	for _, c := range commands() {
		names = append(names, c.name)
	}
	for _, x := range topics() {
		names = append(names, x.name)
	}
	for _, name := range names {
		var out bytes.Buffer
		if err := help(env{stdout: &out}, strings.Fields(name)); err != nil {
			t.Fatal(err)
		}
		text, _, _ := strings.Cut(out.String(), "\nExample:")
		for _, line := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(line); n > helpWidth {
				t.Errorf("help %s: %d columns: %s", name, n, line)
			}
		}
	}
}

// Paragraphs are filled anew, tables stay as they are.
func TestReflowed(t *testing.T) {
	long := strings.Repeat("word ", 20)
	got := reflowed(long + "\nand more.\n\n  a table   of " + long)
	if want := strings.TrimSpace(strings.Repeat("word ", 16)) + "\nword word word word and more.\n\n  a table   of " + long; got != want {
		t.Errorf("%q", got)
	}
}
