package main

import (
	"github.com/spf13/pflag"

	"hairpin/report"
)

func licencesCommand() command {
	c := command{
		name: "licences", does: "print the licence, and those of all that is built in",
		example: "hairpin licences",
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		if _, err := parse(fs, args); err != nil {
			return err
		}
		return report.Licences(e.stdout)
	}
	return c
}
