package demo

import (
	"bytes"
	"testing"

	"hairpin/musicxml"
	"hairpin/tools/scoregen"
)

// Medley is a generated score as a file: see [scoregen.Medley].
func Medley(t testing.TB, seed uint64) *musicxml.File {
	t.Helper()
	var b bytes.Buffer
	if err := musicxml.Write(&b, scoregen.Medley(3, seed)); err != nil {
		t.Fatal(err)
	}
	f, err := musicxml.Read(&b, "medley.musicxml", musicxml.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}
