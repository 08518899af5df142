package main

import "flag"

func chordsCommand() command {
	const formats = "table,json,tsv,markdown"
	var f scoreFlags
	c := command{
		name: "chords", args: "SCORE",
		does:    "list every chord with key, Roman numeral and tension",
		more:    "Tension runs from 0 to 100; dissonance, distance and pull are its parts.\nOnsets in json and tsv are quarter notes from the start as written.",
		example: "hairpin chords testdata/quartet-below-the-weir.musicxml --measures 15-22",
		flags:   func(fs *flag.FlagSet) { f.registerHearing(fs, formats); f.registerUnfold(fs) },
	}
	c.run = func(e env, args []string) error {
		fs := c.flagSet()
		paths, err := parse(fs, args, "SCORE")
		if err != nil {
			return err
		}
		if err := f.oneOf(fs, formats); err != nil {
			return err
		}
		r, err := f.read(e, fs, paths[0])
		if err != nil {
			return err
		}
		return r.Chords(e.stdout, f.format)
	}
	return c
}
