package main

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// Every kind of fault, and what is passed over: imports and types, the number beside
// false or err, the capacity of a make.
func TestFaults(t *testing.T) {
	const text = `package p

import "errors"

var table = [3]int{4, 0x5}

func f(a int, b float64) (int, bool) {
	if a < 2 && !(b == 2.5) {
		return 7, false
	}
	list := make([]int, 0, 8*a)
	return len(list) + 1, true
}

func g(s string) (int, error) {
	err := errors.New(s)
	return 9, err
}
`
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "p.go"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	list, err := faults(source{Dir: folder, ImportPath: "p", GoFiles: []string{"p.go"}})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range list {
		if text[f.from:f.to] != f.old {
			t.Errorf("%s stands at %q", f, text[f.from:f.to])
		}
		got = append(got, f.old+" "+f.new)
	}
	want := []string{"4 5", "< <=", "2 3", "&& ||", "! ", "== !=", "2.5 3.5", "false true", "0 1", "+ -", "1 2", "true false"}
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
