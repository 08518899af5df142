// Package golden compares with stored files what tests made. It is not in the
// program.
//
// Start at [File] for text that a reader may want to see, at [Sums] for much
// data of which only a check sum is kept, and at [Dump] for a value as text.
//
// # Conventions
//
// A stored file says what the program says today, not what is right. With
// HAIRPIN_UPDATE set it is written anew; with HAIRPIN_SHOW=folder the text behind
// every check sum is laid there, so that two of them can be compared.
package golden

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// File compares with a file in the test's own testdata/golden.
func File(t testing.TB, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", "golden", name)
	if os.Getenv("HAIRPIN_UPDATE") != "" {
		write(t, path, got)
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(got, want) {
		return
	}
	was, is := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	for i := range is {
		if i >= len(was) || was[i] != is[i] {
			t.Errorf("%s differs from line %d: %q", path, i+1, is[i])
			return
		}
	}
	t.Errorf("%s is longer than what is made now", path)
}

// Sums are check sums of values, one a line, in the order in which they are added.
type Sums struct{ text bytes.Buffer }

// Add adds a value under a name that says what it is.
func (s *Sums) Add(t testing.TB, name string, value any) {
	text := Dump(value)
	if folder := os.Getenv("HAIRPIN_SHOW"); folder != "" {
		write(t, filepath.Join(folder, strings.NewReplacer("/", "_", " ", "_").Replace(name)+".txt"), text)
	}
	fmt.Fprintf(&s.text, "%s\t%08x\n", name, crc32.ChecksumIEEE(text))
}

// File compares the sums with a file in the test's own testdata/golden.
func (s *Sums) File(t testing.TB, name string) {
	t.Helper()
	File(t, name, s.text.Bytes())
}

func write(t testing.TB, path string, text []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, text, 0o644); err != nil {
		t.Fatal(err)
	}
}
