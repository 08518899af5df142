package main

import (
	"github.com/spf13/pflag"

	"hairpin/musicxml"
	"hairpin/report"
)

func contentsCommand() command {
	var f scoreFlags
	c := command{
		name: "contents", args: "SCORE",
		does:    "say what was read from the score, without judging it",
		example: "hairpin contents testdata/song-ferry-lamp.musicxml",
		flags: func(fs *pflag.FlagSet) {
			fs.StringVar(&f.format, "format", "table", "`FORMAT` table, json")
			registerLimits(fs, &f.limits)
		},
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		paths, err := parse(fs, args, "SCORE")
		if err != nil {
			return err
		}
		if err := f.oneOf(fs, "table,json"); err != nil {
			return err
		}
		var file *musicxml.File
		if file, err = open(e, paths[0], f.limits); err != nil {
			return err
		}
		return report.Contents(e.stdout, file, f.format)
	}
	return c
}
