// Package demo reads our own scores for the tests of report and its rooms.
//
// Start with [Score]; [Intended] is our own analysis of it, so that what a test
// expects does not hang on what is heard. [Golden] compares with a stored file.
package demo

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hairpin/harmony/stated"
	"hairpin/musicxml"
	"hairpin/score"
)

// Names are the scores in testdata, without their ending.
func Names() []string {
	return []string{"etude-millrace", "song-ferry-lamp", "quartet-below-the-weir", "vibraphone-low-water"}
}

// Score reads a demo; a warning in it is an error.
func Score(t testing.TB, name string) *musicxml.File {
	t.Helper()
	f, err := musicxml.Open(Path(t, name+".musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Score.Warnings) > 0 {
		t.Errorf("%s: %v", name, f.Score.Warnings)
	}
	return f
}

// OnePart is a score of one part whose measures are written in a test.
func OnePart(t testing.TB, name, measures string) *musicxml.File {
	t.Helper()
	doc := `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>` + name + `</part-name></score-part></part-list><part id="P1">` +
		measures + `</part></score-partwise>`
	f, err := musicxml.Read(strings.NewReader(doc), "small", musicxml.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Intended is our own analysis of a demo, written with the music.
func Intended(t testing.TB, name string, s *score.Score) []stated.Correction {
	t.Helper()
	file, err := os.Open(Path(t, name+".chords.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	list, err := stated.ReadCorrections(file, s)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return list
}

// Path is where a file of the module's testdata lies, seen from the test.
func Path(t testing.TB, name string) string {
	t.Helper()
	for root := ".."; len(root) < 20; root = filepath.Join("..", root) {
		if _, err := os.Stat(filepath.Join(root, "go.mod")); err == nil {
			return filepath.Join(root, "testdata", name)
		}
	}
	t.Fatal("the test does not run inside the module")
	return ""
}

// Golden compares with a file in the test's own testdata. With HAIRPIN_UPDATE
// set it writes it: then look at the difference before committing it.
func Golden(t testing.TB, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if os.Getenv("HAIRPIN_UPDATE") != "" {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from what is written now", path)
	}
}
