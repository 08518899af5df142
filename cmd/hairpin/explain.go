package main

import "github.com/spf13/pflag"

func explainCommand() command {
	const formats = "table,json,markdown"
	var f scoreFlags
	var at string
	c := command{
		name: "explain", args: "SCORE --at MEASURE:BEAT",
		does: "say why a moment is tense: notes, clashes, distance, what is awaited",
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
		return r.Explain(e.stdout, f.format, at)
	}
	return c
}
