package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/pflag"

	"hairpin/report"
)

// help writes the list of commands, or what a command or topic is about.
func help(e env, args []string) error {
	if len(args) == 0 || args[0] == "help" {
		return helpAll(e.stdout)
	}
	for _, c := range commands() {
		if c.name == args[0] {
			return helpCommand(e.stdout, c)
		}
	}
	for _, t := range topics() {
		if t.name == args[0] {
			_, err := fmt.Fprintf(e.stdout, "%s\n", reflowed(t.text))
			return err
		}
	}
	return &usageError{fmt.Sprintf("there is no help on %q", args[0]), "'hairpin help' lists commands and topics"}
}

func helpAll(w io.Writer) error {
	var b strings.Builder
	b.WriteString("hairpin reads a MusicXML score and says where its dynamics support the harmony\n" +
		"and where they work against it, and proposes a shaping inside the printed marks.\n\nCommands:\n")
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-11s %s\n", c.name, c.does)
	}
	b.WriteString("\nTopics:\n")
	for _, t := range topics() {
		fmt.Fprintf(&b, "  %-11s %s\n", t.name, t.does)
	}
	b.WriteString("\n'hairpin help NAME' says more. SCORE is a .musicxml, .xml or .mxl file,\n" +
		"or - for standard input.\n\nExample:\n  hairpin study testdata/etude-millrace.musicxml\n")
	_, err := io.WriteString(w, b.String())
	return err
}

func helpCommand(w io.Writer, c command) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n%s.\n", strings.TrimSpace("hairpin "+c.name+" "+c.args), upperFirst(c.does))
	if c.more != "" {
		fmt.Fprintf(&b, "%s\n", reflowed(c.more))
	}
	fs, options := pflag.NewFlagSet(c.name, pflag.ContinueOnError), ""
	fs.SortFlags = false
	if c.flags != nil {
		c.flags(fs)
	}
	limited := false
	fs.VisitAll(func(f *pflag.Flag) {
		switch {
		case !strings.HasPrefix(f.Name, limitPrefix):
			options += helpOption(f)
		case !limited:
			limited = true
			options += fmt.Sprintf("  %-22s %s\n", "--limit-... N", "read larger scores; 'hairpin help limits' lists them")
		}
	})
	if options != "" {
		b.WriteString("\nOptions:\n" + options)
	}
	fmt.Fprintf(&b, "\nExample:\n  %s\n", c.example)
	_, err := io.WriteString(w, b.String())
	return err
}

// helpOption is the line of an option.
func helpOption(f *pflag.Flag) string {
	name, text := pflag.UnquoteUsage(f)
	left := optionName(f.Name) + " " + name
	if f.Shorthand != "" {
		left = "-" + f.Shorthand + ", " + left
	}
	text = strings.TrimPrefix(text, name+" ")
	if f.DefValue != "" && f.DefValue != "0" && f.DefValue != "0s" && f.DefValue != "[]" && f.Value.Type() != "bool" {
		text += " [" + f.DefValue + "]"
	}
	text = report.WrapText(strings.ReplaceAll(text, "\n", " "), helpWidth-optionColumn, "")
	return fmt.Sprintf("  %-22s %s\n", strings.TrimSpace(left), strings.ReplaceAll(text, "\n", "\n"+strings.Repeat(" ", optionColumn)))
}

// Help keeps to the columns of an ordinary terminal; what an option does stands from
// optionColumn on.
const (
	helpWidth    = 80
	optionColumn = 25
)

// reflowed fits the paragraphs of a help text to its width; one with an indented line is a
// table and stays.
func reflowed(text string) string {
	list := strings.Split(text, "\n\n")
	for i, p := range list {
		if !strings.Contains("\n"+p, "\n ") {
			list[i] = report.WrapText(strings.ReplaceAll(p, "\n", " "), helpWidth, "")
		}
	}
	return strings.Join(list, "\n\n")
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func versionCommand() command {
	c := command{name: "version", does: "print the version", example: "hairpin version"}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		if _, err := parse(fs, args); err != nil {
			return err
		}
		return writeVersion(e.stdout)
	}
	return c
}

// writeVersion writes what 'hairpin version' says.
func writeVersion(w io.Writer) error {
	_, err := fmt.Fprintf(w, "hairpin %s (%s, %s/%s)\n", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return err
}

// release is the version that the packages carry; tools/dist sets it.
var release string

// version is that of the package, else the module's as the build recorded it.
func version() string {
	if release != "" {
		return release
	}
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(unknown version)"
	}
	return info.Main.Version
}
