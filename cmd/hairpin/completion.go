package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// shells are those that completion can be printed for.
const shells = "bash, zsh, fish or powershell"

func completionCommand() command {
	c := command{
		name: "completion", args: "bash|zsh|fish|powershell",
		does: "print a script that lets the shell complete commands and options",
		more: "bash: put  source <(hairpin completion bash)  into ~/.bashrc; it needs the\n" +
			"      package bash-completion\n" +
			"zsh:  hairpin completion zsh > a folder of $fpath, as _hairpin\n" +
			"fish: hairpin completion fish > ~/.config/fish/completions/hairpin.fish\n" +
			"powershell: put  hairpin completion powershell | Out-String | Invoke-Expression\n" +
			"      into the profile",
		example: "hairpin completion bash",
		words:   func() []string { return []string{"bash", "zsh", "fish", "powershell"} },
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		shell, err := parse(fs, args, shells)
		if err != nil {
			return err
		}
		root := rootCommand(e)
		switch shell[0] {
		case "bash":
			return root.GenBashCompletionV2(e.stdout, true)
		case "zsh":
			return root.GenZshCompletion(e.stdout)
		case "fish":
			return root.GenFishCompletion(e.stdout, true)
		case "powershell":
			return root.GenPowerShellCompletionWithDesc(e.stdout)
		}
		return usage(fs, fmt.Sprintf("the shell is %s, not %q", shells, shell[0]))
	}
	return c
}

// complete is what the arguments of a command may be: its words, or scores.
func (c command) complete(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	if c.words != nil {
		return c.words(), cobra.ShellCompDirectiveNoFileComp
	}
	return []string{"musicxml", "xml", "mxl"}, cobra.ShellCompDirectiveFilterFileExt
}

// completeOptions lists the formats of --format; a value that is no file is
// not completed.
func completeOptions(c *cobra.Command) {
	c.Flags().VisitAll(func(f *pflag.Flag) {
		value, text := pflag.UnquoteUsage(f)
		var list []string
		switch value {
		case "FILE", "":
			return
		case "FORMAT":
			list = strings.Split(strings.TrimPrefix(text, value+" "), ", ")
		}
		c.RegisterFlagCompletionFunc(f.Name, cobra.FixedCompletions(list, cobra.ShellCompDirectiveNoFileComp))
	})
}

// helpWords are the names that help explains.
func helpWords() (out []string) {
	for _, c := range commands() {
		out = append(out, c.name)
	}
	for _, t := range topics() {
		out = append(out, t.name)
	}
	return out
}
