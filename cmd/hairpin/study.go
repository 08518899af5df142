package main

import "flag"

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
		flags:   func(fs *flag.FlagSet) { f.register(fs, formats); f.registerUnfold(fs) },
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
		return r.Study(e.stdout, f.format)
	}
	return c
}
