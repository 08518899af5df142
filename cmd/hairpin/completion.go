package main

import (
	"flag"
	"fmt"
	"io"
	"strings"
)

func completionCommand() command {
	c := command{
		name: "completion", args: "bash|zsh|fish",
		does: "print a script that lets the shell complete commands and options",
		more: "bash: put  source <(hairpin completion bash)  into ~/.bashrc\n" +
			"zsh:  hairpin completion zsh > a folder of $fpath, as _hairpin\n" +
			"fish: hairpin completion fish > ~/.config/fish/completions/hairpin.fish",
		example: "hairpin completion bash",
	}
	c.run = func(e env, args []string) error {
		fs := c.flagSet()
		shell, err := parse(fs, args, "bash, zsh or fish")
		if err != nil {
			return err
		}
		write := map[string]func([]command) string{"bash": bashCompletion, "zsh": zshCompletion, "fish": fishCompletion}[shell[0]]
		if write == nil {
			return usage(fs, fmt.Sprintf("the shell is bash, zsh or fish, not %q", shell[0]))
		}
		_, err = io.WriteString(e.stdout, write(commands()))
		return err
	}
	return c
}

// option is a flag of a command as a shell completes it.
type option struct {
	name   string
	value  string   // what the value is called, "" for a switch
	values []string // those it can take, nil if they are not listed
	does   string   // its help, in one line
}

func (c command) options() []option {
	var out []option
	c.flagSet().VisitAll(func(f *flag.Flag) {
		value, text := flag.UnquoteUsage(f)
		o := option{name: f.Name, value: value}
		if b, ok := f.Value.(interface{ IsBoolFlag() bool }); ok && b.IsBoolFlag() {
			o.value = ""
		}
		o.does = strings.Join(strings.Fields(strings.TrimPrefix(text, value+" ")), " ")
		if value == "FORMAT" {
			o.values = strings.Split(o.does, ", ")
		}
		out = append(out, o)
	})
	return out
}

// dashed is the option as it is typed: -o, --format.
func (o option) dashed() string { return optionName(o.name) }

// words are what a command takes besides options and files, nil for files.
func (c command) words(all []command) []string {
	switch c.name {
	case "completion":
		return []string{"bash", "zsh", "fish"}
	case "help":
		var out []string
		for _, c := range all {
			out = append(out, c.name)
		}
		for _, t := range topics() {
			out = append(out, t.name)
		}
		return out
	}
	return nil
}

// withHelp is the command table with help, which is no command of its own.
func withHelp(all []command) []command {
	return append(all[:len(all):len(all)], command{name: "help", does: "explain a command or a topic"})
}

func bashCompletion(all []command) string {
	var names, values, options, words strings.Builder
	for _, c := range withHelp(all) {
		names.WriteString(" " + c.name)
		var dashed []string
		for _, o := range c.options() {
			dashed = append(dashed, o.dashed())
			if o.values != nil {
				fmt.Fprintf(&values, "    %s:%s) list=%q ;;\n", c.name, o.dashed(), strings.Join(o.values, " "))
			}
		}
		fmt.Fprintf(&options, "    %s:-*) list=%q ;;\n", c.name, strings.Join(dashed, " "))
		if w := c.words(all); w != nil {
			fmt.Fprintf(&words, "    %s:*) list=%q ;;\n", c.name, strings.Join(w, " "))
		}
	}
	return fmt.Sprintf(`# bash completion for hairpin
_hairpin() {
  local IFS=$' \n' cur=${COMP_WORDS[COMP_CWORD]} command=${COMP_WORDS[1]} list=
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W "%s" -- "$cur"))
    return
  fi
  case "$command:${COMP_WORDS[COMP_CWORD-1]}" in
%s  esac
  [ -n "$list" ] || case "$command:$cur" in
%s%s  esac
  if [ -n "$list" ]; then
    COMPREPLY=($(compgen -W "$list" -- "$cur"))
    return
  fi
  IFS=$'\n'
  compopt -o filenames 2>/dev/null
  COMPREPLY=($(compgen -d -- "$cur") $(compgen -f -- "$cur" | grep -iE '\.(musicxml|xml|mxl|tsv|ndjson|txt)$'))
}
complete -F _hairpin hairpin
`, strings.TrimSpace(names.String()), values.String(), options.String(), words.String())
}

func zshCompletion(all []command) string {
	var names, cases strings.Builder
	escape := strings.NewReplacer("'", `'\''`, "[", `\[`, "]", `\]`, ":", `\:`)
	for _, c := range withHelp(all) {
		fmt.Fprintf(&names, "    '%s:%s'\n", c.name, escape.Replace(c.does))
		fmt.Fprintf(&cases, "    %s) _arguments", c.name)
		for _, o := range c.options() {
			spec := o.dashed() + "[" + escape.Replace(o.does) + "]"
			if o.value != "" {
				spec += ":" + o.value + ":" + zshValues(o)
			}
			fmt.Fprintf(&cases, " \\\n      '%s'", spec)
		}
		rest := `_files -g "*.(musicxml|xml|mxl)(-.)"`
		if w := c.words(all); w != nil {
			rest = "(" + strings.Join(w, " ") + ")"
		}
		fmt.Fprintf(&cases, " \\\n      '*:what:%s' ;;\n", rest)
	}
	return fmt.Sprintf(`#compdef hairpin
_hairpin() {
  local -a names=(
%s  )
  if (( CURRENT == 2 )); then
    _describe command names
    return
  fi
  local command=$words[2]
  shift words
  (( CURRENT-- ))
  case $command in
%s  esac
}
if [ "$funcstack[1]" = _hairpin ]; then _hairpin "$@"; else compdef _hairpin hairpin; fi
`, names.String(), cases.String())
}

func zshValues(o option) string {
	switch {
	case o.values != nil:
		return "(" + strings.Join(o.values, " ") + ")"
	case o.value == "FILE":
		return "_files"
	}
	return " "
}

func fishCompletion(all []command) string {
	var b strings.Builder
	quote := strings.NewReplacer(`\`, `\\`, "'", `\'`)
	b.WriteString("# fish completion for hairpin\n")
	for _, c := range withHelp(all) {
		fmt.Fprintf(&b, "complete -c hairpin -n __fish_use_subcommand -f -a %s -d '%s'\n", c.name, quote.Replace(c.does))
		here := "-n '__fish_seen_subcommand_from " + c.name + "'"
		if w := c.words(all); w != nil {
			fmt.Fprintf(&b, "complete -c hairpin %s -f -a '%s'\n", here, strings.Join(w, " "))
		}
		for _, o := range c.options() {
			kind := "-l " + o.name
			if len(o.name) == 1 {
				kind = "-s " + o.name
			}
			switch {
			case o.values != nil:
				kind += " -x -a '" + strings.Join(o.values, " ") + "'"
			case o.value == "FILE":
				kind += " -r"
			case o.value != "":
				kind += " -x"
			}
			fmt.Fprintf(&b, "complete -c hairpin %s %s -d '%s'\n", here, kind, quote.Replace(o.does))
		}
	}
	return b.String()
}
