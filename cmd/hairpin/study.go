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
		more: "The whole first: form, keys, climax, who has the tune. Then a line a phrase: where it\n" +
			"goes, how loud it may be taken inside the printed marks, how it ends, and what matters\n" +
			"in it. --all adds every stretch: what harmony and printed dynamics do, and whether they\n" +
			"support it. What is wrong with the file is told beside the reading, not in it.\n" +
			"'hairpin help verdicts' and 'hairpin help tension' explain the words.",
		example: "hairpin study testdata/etude-millrace.musicxml --measures 9-24",
		flags: func(fs *pflag.FlagSet) {
			f.register(fs, formats)
			fs.BoolVar(&f.all, "all", false, "list every stretch, cadence and remark")
			f.registerUnfold(fs)
		},
	}
	c.run = f.reads(formats, (*report.Reading).Study)
	return c
}
