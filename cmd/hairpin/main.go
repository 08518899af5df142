// Hairpin reads a score and says where its dynamics support the harmony and
// where they work against it.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/performance/sound"
	"hairpin/report"
)

func main() {
	cobra.MousetrapHelpText = "" // a double click opens the page, on Windows too
	debug.SetGCPercent(200)      // a little more memory saves a tenth of the time
	debug.SetMemoryLimit(ampleMemory)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// ampleMemory is where rubbish is collected more eagerly, so that every command
// keeps within 2 GiB.
const ampleMemory = 1700 << 20

// env is what a command may touch.
type env struct {
	stdin          io.Reader
	stdout, stderr io.Writer
}

// command is one verb of hairpin.
type command struct {
	name, args, does string
	more             string // what its help says beyond does, "" for nothing
	example          string
	flags            func(*pflag.FlagSet)                                // registers its options, nil for none
	words            func() []string                                     // what it takes besides options, for completion; nil: scores
	run              func(e env, fs *pflag.FlagSet, args []string) error // gets its options as read
}

// commands lists every command in the order that help shows.
func commands() []command {
	return []command{studyCommand(), explainCommand(), chordsCommand(), levelsCommand(), contentsCommand(), annotateCommand(), reduceCommand(), listenCommand(), takeCommand(), reportCommand(), serveCommand(), surveyCommand(), completionCommand(), licencesCommand(), versionCommand()}
}

// The exit statuses.
const (
	done       = 0
	unusable   = 1 // the score could not be used
	wrongUsage = 2 // the command was wrong
)

// run carries out a command line and returns the exit status.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	err := dispatch(env{stdin, stdout, stderr}, args)
	if err == nil {
		return done
	}
	fmt.Fprintf(stderr, "hairpin: error: %s\n", report.Visible(err.Error()))
	if h := hint(err); h != "" {
		fmt.Fprintf(stderr, "hint: %s\n", report.Visible(h))
	}
	var usage *usageError
	var choice *report.ChoiceError
	if errors.As(err, &usage) || errors.As(err, &choice) {
		return wrongUsage
	}
	return unusable
}

func dispatch(e env, args []string) error {
	if len(args) == 0 && fromDesktop(e) {
		return openPage(e)
	}
	root := rootCommand(e)
	if err := unknown(root, args); err != nil {
		return err
	}
	root.SetArgs(append([]string{}, args...)) // nil would stand for the program's own
	return root.Execute()
}

// usageError is a command line that cannot be carried out.
type usageError struct{ text, hint string }

func (e *usageError) Error() string { return e.text }

// hint says what to do about an error, "" if there is nothing to add.
func hint(err error) string {
	var usage *usageError
	var choice *report.ChoiceError
	var stop *stopError
	var unsupported *musicxml.UnsupportedError
	var malformed *musicxml.MalformedError
	var recording *sound.Error
	switch {
	case errors.As(err, &usage):
		return usage.hint
	case errors.As(err, &choice):
		return choice.Hint
	case errors.As(err, &stop):
		return stop.hint
	case errors.As(err, &unsupported):
		if unsupported.Limit != "" {
			return "if you trust the file, raise the limit: --" + limitPrefix + unsupported.Limit + " N; 'hairpin help limits'"
		}
		return unsupported.Hint
	case errors.As(err, &recording):
		return recording.Hint
	case errors.As(err, &malformed):
		return "export the score again as MusicXML from the program it was written in"
	case errors.Is(err, harmony.ErrNoPitch):
		return "'hairpin contents' shows what was read"
	case errors.Is(err, os.ErrPermission):
		return "check the permissions of the file"
	case errors.Is(err, os.ErrNotExist):
		return "check the path; SCORE is a .musicxml, .xml or .mxl file, or - for standard input"
	}
	return ""
}
