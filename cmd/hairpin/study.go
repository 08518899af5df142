package main

import (
	"github.com/spf13/pflag"

	"hairpin/report"
)

func studyCommand() command {
	const formats = "table,json,tsv,markdown"
	var f scoreFlags
	c := command{
		name: "study", args: "SCORE",
		does: "read the score for a player: phrases, verdicts, what to try",
		more: "Phrase by phrase: where the harmony builds, holds and releases tension, what the\n" +
			"page prints there, whether that supports the harmony or works against it.\n" +
			"'hairpin help verdicts' and 'hairpin help tension' explain the words.",
		example: "hairpin study testdata/etude-millrace.musicxml --measures 9-24",
		flags:   func(fs *pflag.FlagSet) { f.register(fs, formats); f.registerUnfold(fs) },
	}
	c.run = f.reads(formats, (*report.Reading).Study)
	return c
}
