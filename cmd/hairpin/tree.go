package main

import (
	"fmt"
	"strings"

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
			return noCommand(root, args[0])
		}
		return help(e, nil)
	}
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return optionError(c.Name(), err) })
	root.SetHelpFunc(func(c *cobra.Command, _ []string) {
		if c == root {
			help(e, nil)
			return
		}
		help(e, []string{c.Name()})
	})
	for _, c := range commands() {
		root.AddCommand(c.cobra(e))
	}
	explain := command{name: "help", args: "[NAME]", does: "explain a command or a topic", words: helpWords}
	explain.run = func(e env, _ *pflag.FlagSet, args []string) error { return help(e, args) }
	root.SetHelpCommand(explain.cobra(e))
	return root
}

// noCommand is the error for a command that there is not, with the one that may be meant.
func noCommand(root *cobra.Command, name string) error {
	const near = 2 // letters
	root.SuggestionsMinimumDistance = near
	hint := "'hairpin help' lists the commands"
	if list := root.SuggestionsFor(name); len(list) > 0 {
		hint = fmt.Sprintf("is it 'hairpin %s'? %s", list[0], hint)
	}
	return &usageError{fmt.Sprintf("there is no command %q", name), hint}
}

// unknown is the error for a command line whose first word is no command, nil for any other:
// the library would answer a call for its help with nothing.
func unknown(root *cobra.Command, args []string) error {
	if len(args) == 0 || strings.HasPrefix(args[0], "-") || strings.HasPrefix(args[0], "__") { // __: completion asks
		return nil
	}
	if c, _, err := root.Find(args[:1]); args[0] == "help" || err == nil && c != root {
		return nil
	}
	return noCommand(root, args[0])
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
