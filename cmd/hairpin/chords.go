package main

import (
	"github.com/spf13/pflag"

	"hairpin/report"
)

func chordsCommand() command {
	const formats = "table,json,tsv,markdown"
	var f scoreFlags
	c := command{
		name: "chords", args: "SCORE",
		does:    "list every chord with key, Roman numeral and tension",
		more:    "Tension, 0 to 100, is that of the chord's tensest moment; dissonance, distance and pull\nare what each adds to it, and 'hairpin explain' says why. In json and tsv they are 0 to 100\neach, before they are weighed. Onsets in json and tsv are quarter notes from the start as written.",
		example: "hairpin chords testdata/quartet-below-the-weir.musicxml --measures 15-22",
		flags:   func(fs *pflag.FlagSet) { f.registerHearing(fs, formats); f.registerUnfold(fs) },
	}
	c.run = f.reads(formats, (*report.Reading).Chords)
	return c
}
