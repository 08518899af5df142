package main

import (
	"github.com/spf13/pflag"

	"hairpin/report"
)

func levelsCommand() command {
	const formats = "table,json,tsv,markdown"
	var f scoreFlags
	c := command{
		name: "levels", args: "SCORE",
		does: "lay printed and proposed loudness over the tension, beat by beat",
		more: "Levels in json and tsv are steps: ppp 1, pp 2, p 3, mp 4, mf 5, f 6, ff 7, fff 8;\n" +
			"in tables p–mp lies a quarter of a step or more from both.\n" +
			"Proposed is the line of the phrase, as page and report draw, tell and play it;\n" +
			"shaped (in tables: each beat) bends it beat by beat: listen --level beats.\n" +
			"A bend farther than a step and a half from the printed level says why: the\n" +
			"next or the last mark, a hairpin, a mark far back, or none.",
		example: "hairpin levels testdata/song-ferry-lamp.musicxml --measures 28-33",
		flags:   func(fs *pflag.FlagSet) { f.register(fs, formats); f.registerUnfold(fs) },
	}
	c.run = f.reads(formats, (*report.Reading).Levels)
	return c
}
