package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/pflag"

	"hairpin/report"
	"hairpin/report/survey"
)

// surveyFlags are the options of survey.
type surveyFlags struct {
	score   scoreFlags
	workers int
	resume  string
}

func surveyCommand() command {
	const formats = "table,tsv,ndjson"
	var f surveyFlags
	c := command{
		name: "survey", args: "PATH… [-]",
		does: "read many scores, one row for each",
		more: "PATH is a score, a pattern such as 'scores/*.mxl', or a folder, which is searched\n" +
			"for .musicxml, .xml and .mxl files; - reads names from standard input, one a line.\n" +
			"Rows come as they are ready. A score that cannot be used is a row with its reason.\n" +
			"The exit status is 0 if any score could be used, and always for a list.",
		example: "hairpin survey testdata --format tsv",
		flags:   func(fs *pflag.FlagSet) { f.register(fs, formats) },
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		if len(args) == 0 {
			return usage(fs, "PATH is missing")
		}
		if err := f.score.oneOf(fs, formats); err != nil {
			return err
		}
		if err := checkLimits(fs); err != nil {
			return err
		}
		if f.workers < 0 {
			return usage(fs, fmt.Sprintf("--workers is 1 or more, not %d", f.workers))
		}
		return f.run(e, fs, args)
	}
	return c
}

func (f *surveyFlags) register(fs *pflag.FlagSet, formats string) {
	fs.StringVar(&f.score.format, "format", "table", "`FORMAT` "+strings.ReplaceAll(formats, ",", ", "))
	fs.IntVar(&f.score.width, "width", 0, "`N` columns of a table; else those of the terminal, at most 80")
	fs.IntVar(&f.workers, "workers", 0, "`N` scores read at the same time; else one a core")
	fs.StringVar(&f.resume, "resume", "", "`FILE` leave out the scores that this earlier tsv or ndjson holds;\nadd the new rows to it with >>")
	fs.StringVar(&f.score.harmony, "harmony", "heard", "`SOURCE` heard, or printed: take the chord symbols as the chords")
	fs.StringVar(&f.score.weights, "weights", "", "`LIST` how much each part of tension counts:\ndissonance=1,distance=1,pull=1")
	registerLimits(fs, &f.score.limits)
}

func (f *surveyFlags) run(e env, fs *pflag.FlagSet, paths []string) error {
	opt, err := f.score.options(e, fs)
	if err != nil {
		return err
	}
	before, err := readEarlier(f.resume)
	if err != nil {
		return err
	}
	if err := before.mend(e.stdout, f.resume); err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	p := newProgress(e, paths, before.has)
	defer p.close()
	out := survey.NewWriter(e.stdout, f.score.format, opt.Width, before.whole > 0)
	all := survey.Survey{Options: opt, Limits: f.score.limits, Workers: f.workers}
	err = all.Run(ctx, without(scoreNames(e.stdin, paths), before.has), func(row survey.Row) error {
		return p.row(row, out)
	})
	return p.outcome(err, slices.Contains(paths, "-") || len(before.names) > 0)
}

// outcome says how the survey ended. A list may be empty or hold nothing but
// bad scores: to the engine that hands out its parts that is no failure.
func (p *progress) outcome(err error, listed bool) error {
	p.close()
	switch {
	case errors.Is(err, context.Canceled):
		return &stopError{"interrupted after " + counted(p.done, "score"), "the same command with --resume FILE goes on from FILE's rows"}
	case err != nil:
		return err
	case listed:
		return nil
	case p.done == 0:
		return &stopError{"there is no score to read", "a folder is searched for .musicxml, .xml and .mxl files"}
	case p.bad == p.done:
		return &stopError{"none of " + counted(p.done, "score") + " could be used", "each row says why"}
	}
	return nil
}

// stopError is an end without a result that the command line is not to blame for.
type stopError struct{ text, hint string }

func (e *stopError) Error() string { return e.text }

// earlier is what an earlier output holds.
type earlier struct {
	names map[string]bool // as rows hold them
	whole int64           // bytes of its whole lines
	torn  bool            // its last line was cut off
}

func (e earlier) has(name string) bool { return e.names[report.InRow(name)] }

// mend takes the row that was cut off out of the file to which the new rows are
// added: a reader of the whole would choke on it.
func (e earlier) mend(stdout io.Writer, path string) error {
	if !e.torn || !sameFile(stdout, path) {
		return nil
	}
	if err := os.Truncate(path, e.whole); err != nil {
		return fmt.Errorf("the row cut off at its end cannot be taken out: %w", err)
	}
	return nil
}

// readEarlier reads the names of the scores in an earlier output; a line that
// was cut off does not count. Without a file there are none.
func readEarlier(path string) (earlier, error) {
	out := earlier{names: map[string]bool{}}
	if path == "" {
		return out, nil
	}
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) { // the first run: nothing was done before
		return out, nil
	}
	file, err := userFile("--resume", path, "--resume names an earlier output of survey")
	if err != nil {
		return out, err
	}
	defer file.Close()
	lines := bufio.NewReader(file)
	for {
		line, err := lines.ReadBytes('\n')
		if err == io.EOF {
			out.torn = len(line) > 0
			return out, nil
		}
		if err != nil {
			return out, fmt.Errorf("%s: %w", path, err)
		}
		out.whole += int64(len(line))
		if name := rowName(line); name != "" {
			out.names[name] = true
		}
	}
}

// rowName is the score of a row in tsv or ndjson, "" if the line is no row.
func rowName(line []byte) string {
	line = bytes.TrimRight(line, "\r\n")
	if bytes.HasPrefix(line, []byte("{")) {
		var row struct {
			File string `json:"file"`
		}
		if json.Unmarshal(line, &row) != nil {
			return ""
		}
		return row.File
	}
	cells := strings.Split(string(line), "\t")
	if len(cells) != len(survey.Head()) || cells[0] == "file" {
		return ""
	}
	return cells[0]
}

// sameFile reports whether the output goes to the file of that path.
func sameFile(w io.Writer, path string) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	out, err := f.Stat()
	if err != nil {
		return false
	}
	in, err := os.Stat(path)
	return err == nil && os.SameFile(in, out)
}

// counted is a number with its noun: "1 score", "3 scores".
func counted(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return fmt.Sprintf("%d %s", n, thing)
}
