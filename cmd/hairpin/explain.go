package main

import (
	"fmt"

	"github.com/spf13/pflag"
)

func explainCommand() command {
	const formats = "table,json,markdown"
	var f scoreFlags
	var at string
	c := command{
		name: "explain", args: "SCORE --at MEASURE:BEAT",
		does: "say why a moment is tense: clashes, distance, what is awaited",
		more: "The moment is a printed measure number and a beat: 12:3, 12:2.5, or 12 for its first\n" +
			"beat. +48 is what a cause adds to the tension. Distances count steps in Lerdahl's tonal space; 0 is the tonic itself.",
		example: "hairpin explain testdata/quartet-below-the-weir.musicxml --at 21:1",
		flags: func(fs *pflag.FlagSet) {
			fs.StringVar(&at, "at", "", "`PLACE` measure and beat, 12:3")
			f.register(fs, formats)
			f.registerUnfold(fs)
		},
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		if len(args) == 2 && at == "" { // the moment without its option
			return &usageError{fmt.Sprintf("explain: --at is missing before %q", args[1]), fmt.Sprintf("write: hairpin explain %s --at %s", args[0], args[1])}
		}
		paths, err := parse(fs, args, "SCORE")
		if err != nil {
			return err
		}
		if err := f.oneOf(fs, formats); err != nil {
			return err
		}
		if at == "" {
			return usage(fs, "--at MEASURE:BEAT is missing")
		}
		r, err := f.read(e, fs, paths[0])
		if err != nil {
			return err
		}
		return named(r.File.Name, r.Explain(e.stdout, f.format, at))
	}
	return c
}
