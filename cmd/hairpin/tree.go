package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// rootCommand is the whole command line: options, help and completion are
// cobra's, their words are ours.
func rootCommand(e env) *cobra.Command {
	root := &cobra.Command{
		Use: "hairpin", SilenceErrors: true, SilenceUsage: true, Args: cobra.ArbitraryArgs,
		CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true},
	}
	root.SetIn(e.stdin)
	root.SetOut(e.stdout)
	root.SetErr(e.stderr)
	version := root.Flags().Bool("version", false, "print the version")
	root.RunE = func(_ *cobra.Command, args []string) error {
		switch {
		case *version:
			return writeVersion(e.stdout)
		case len(args) > 0:
			return &usageError{fmt.Sprintf("there is no command %q", args[0]), "'hairpin help' lists the commands"}
		}
		return help(e, nil)
	}
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return optionError(c.Name(), err) })
	root.SetHelpFunc(func(c *cobra.Command, _ []string) { help(e, []string{c.Name()}) })
	for _, c := range commands() {
		root.AddCommand(c.cobra(e))
	}
	explain := command{name: "help", args: "[NAME]", does: "explain a command or a topic", words: helpWords}
	explain.run = func(e env, _ *pflag.FlagSet, args []string) error { return help(e, args) }
	root.SetHelpCommand(explain.cobra(e))
	return root
}

// cobra is the command as the library wants it.
func (c command) cobra(e env) *cobra.Command {
	out := &cobra.Command{Use: c.name + " " + c.args, Short: c.does, Args: cobra.ArbitraryArgs, ValidArgsFunction: c.complete}
	out.RunE = func(cmd *cobra.Command, args []string) error { return c.run(e, cmd.Flags(), args) }
	if c.flags != nil {
		c.flags(out.Flags())
	}
	completeOptions(out)
	return out
}
