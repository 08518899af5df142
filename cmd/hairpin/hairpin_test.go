package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"hairpin": func() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
		"killed":  killed,
	})
}

// TestScripts runs the command on the demo scores and on scores that the
// scripts carry. $DEMO is the folder of the demo scores.
func TestScripts(t *testing.T) {
	demo, err := filepath.Abs(filepath.Join("..", "..", "testdata"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: filepath.Join("testdata", "script"),
		Setup: func(e *testscript.Env) error {
			e.Setenv("DEMO", demo)
			return nil
		},
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}
