package main

import "hairpin/report"

func licencesCommand() command {
	c := command{
		name: "licences", does: "print the licence, and those of all that is built in",
		example: "hairpin licences",
	}
	c.run = func(e env, args []string) error {
		if _, err := parse(c.flagSet(), args); err != nil {
			return err
		}
		return report.Licences(e.stdout)
	}
	return c
}
