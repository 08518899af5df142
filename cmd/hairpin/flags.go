package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
	"golang.org/x/term"

	"hairpin/harmony"
	"hairpin/harmony/stated"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/score"
)

// scoreFlags are the options of every command that reads a score.
type scoreFlags struct {
	format   string
	measures string
	part     int // whose page is judged, 0 for all
	hear     int // whose notes make the harmony, 0 for all
	key      string
	harmony  string
	weights  string
	readings string // file of the user's own readings
	width    int
	unfold   bool
	small    string // how cue notes are read
	all      bool   // study lists every stretch
	limits   musicxml.Limits
}

// register adds every option to a flag set; formats lists what --format takes, its default first.
func (f *scoreFlags) register(fs *pflag.FlagSet, formats string) {
	f.registerHearing(fs, formats)
	fs.IntVar(&f.part, "part", 0, "`N` read the page of this part only, against the harmony of all")
}

// registerHearing adds the options of a command that only hears the harmony.
func (f *scoreFlags) registerHearing(fs *pflag.FlagSet, formats string) {
	first, _, _ := strings.Cut(formats, ",")
	fs.StringVar(&f.format, "format", first, "`FORMAT` "+strings.ReplaceAll(formats, ",", ", "))
	fs.IntVar(&f.width, "width", 0, "`N` columns of a table; else those of the terminal, at most 80")
	f.registerReading(fs)
}

// registerReading adds the options that steer the reading, without those of a table.
func (f *scoreFlags) registerReading(fs *pflag.FlagSet) {
	fs.StringVar(&f.measures, "measures", "", "`RANGE` only these measures, by printed number: 9-24")
	fs.IntVar(&f.hear, "hear", 0, "`N` hear the harmony of this part only, counted from 1")
	fs.StringVar(&f.key, "key", "", "`KEY` the home key: C or Bb for major, a or f# for minor")
	fs.StringVar(&f.harmony, "harmony", "heard", "`SOURCE` heard, or printed: take the chord symbols as the chords")
	fs.StringVar(&f.readings, "corrections", "", "`FILE` your own chords and keys; 'hairpin help corrections'")
	fs.StringVar(&f.weights, "weights", "", "`LIST` how much each part of tension counts:\ndissonance=1,distance=1,pull=1")
	f.registerDoor(fs)
}

// registerDoor adds the options that say how a score is read in.
func (f *scoreFlags) registerDoor(fs *pflag.FlagSet) {
	fs.StringVar(&f.small, "small-print", string(musicxml.SmallWhereNeeded), "`RULE` cue notes sound: auto, where the measure is not complete\nwithout them; sound, all; silent, none")
	registerLimits(fs, &f.limits)
}

// registerUnfold adds --unfold, for commands that do not write the score.
func (f *scoreFlags) registerUnfold(fs *pflag.FlagSet) {
	fs.BoolVar(&f.unfold, "unfold", false, "read the score as played: repeats taken, jumps followed")
}

// registerLimits adds an option for each limit; 'hairpin help limits' lists them.
func registerLimits(fs *pflag.FlagSet, l *musicxml.Limits) {
	d := musicxml.DefaultLimits()
	fs.Int64Var(&l.Bytes, "limit-bytes", d.Bytes, "`N` bytes of the file or of the score in it")
	fs.Int64Var(&l.Ratio, "limit-ratio", d.Ratio, "`N` times what a compressed score takes up")
	fs.IntVar(&l.Entries, "limit-entries", d.Entries, "`N` entries in a compressed file")
	fs.IntVar(&l.Depth, "limit-depth", d.Depth, "`N` elements within each other")
	fs.IntVar(&l.Elements, "limit-elements", d.Elements, "`N` elements and attributes")
	fs.IntVar(&l.Notes, "limit-notes", d.Notes, "`N` notes and rests")
	fs.IntVar(&l.Measures, "limit-measures", d.Measures, "`N` measures")
	fs.IntVar(&l.Parts, "limit-parts", d.Parts, "`N` parts")
	fs.Int64Var(&l.Divisions, "limit-divisions", d.Divisions, "`N` divisions of a quarter note")
	fs.Int64Var(&l.Length, "limit-length", d.Length, "`N` length in quarter notes")
}

// checkLimits refuses limits that let nothing in.
func checkLimits(fs *pflag.FlagSet) (err error) {
	fs.Visit(func(f *pflag.Flag) {
		if n, _ := strconv.ParseInt(f.Value.String(), 10, 64); strings.HasPrefix(f.Name, limitPrefix) && n < 1 {
			err = usage(fs, fmt.Sprintf("--%s is 1 or more, not %d", f.Name, n))
		}
	})
	return err
}

// parse checks the number of arguments; want says what they are.
func parse(fs *pflag.FlagSet, args []string, want ...string) ([]string, error) {
	for i, name := range want {
		if i == len(args) || args[i] == "" {
			return nil, usage(fs, name+" is missing")
		}
	}
	if len(args) > len(want) {
		return nil, usage(fs, fmt.Sprintf("%q is one argument too many", args[len(want)]))
	}
	return args, nil
}

// optionError says in our words what is wrong with an option of a command.
func optionError(command string, err error) error {
	var (
		unknown *pflag.NotExistError
		missing *pflag.ValueRequiredError
		invalid *pflag.InvalidValueError
		text    = err.Error()
	)
	switch {
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		text = "there is no option " + optionName(name)
		if name == "json" || name == "tsv" || name == "markdown" {
			text += "; write --format " + name
		}
		if run := unknown.GetSpecifiedShortnames(); len(run) > 1 {
			text = fmt.Sprintf("there is no option -%s; long options have two dashes, as in --format", run)
		}
	case errors.As(err, &missing):
		text = optionName(missing.GetSpecifiedName()) + " needs a value"
	case errors.As(err, &invalid):
		text = fmt.Sprintf("%s does not take %q", optionName(invalid.GetFlag().Name), invalid.GetValue())
	}
	if command == "hairpin" {
		return &usageError{text, "'hairpin help' lists the commands"}
	}
	return usageOf(command, text)
}

// optionName writes an option as help does: -o, --part.
func optionName(name string) string {
	if len(name) == 1 {
		return "-" + name
	}
	return "--" + strings.TrimLeft(name, "-")
}

func usage(fs *pflag.FlagSet, text string) error { return usageOf(fs.Name(), text) }

func usageOf(command, text string) error {
	return &usageError{command + ": " + text, "'hairpin help " + command + "' says how it is used"}
}

// read opens the score and runs everything once.
func (f *scoreFlags) read(e env, fs *pflag.FlagSet, path string) (*report.Reading, error) {
	if _, err := f.options(e, fs); err != nil {
		return nil, err
	}
	file, err := f.open(e, fs, path)
	if err != nil {
		return nil, err
	}
	return f.analyse(e, fs, file)
}

// readPage is read for what can be done with a score without any pitch: of such a
// one the page alone is read.
func (f *scoreFlags) readPage(e env, fs *pflag.FlagSet, path string) (*report.Reading, error) {
	opt, err := f.options(e, fs)
	if err != nil {
		return nil, err
	}
	file, err := f.open(e, fs, path)
	if err != nil {
		return nil, err
	}
	r, err := f.analyse(e, fs, file)
	if errors.Is(err, harmony.ErrNoPitch) {
		r, err = report.Printed(file, opt)
		err = named(file.Name, err)
	}
	return r, err
}

// open reads the score in, without judging it.
func (f *scoreFlags) open(e env, fs *pflag.FlagSet, path string) (*musicxml.File, error) {
	rule := musicxml.SmallPrint(f.small)
	if rule != musicxml.SmallWhereNeeded && rule != musicxml.SmallSounds && rule != musicxml.SmallIsSilent {
		return nil, usage(fs, fmt.Sprintf("--small-print is auto, sound or silent, not %q", f.small))
	}
	if err := checkLimits(fs); err != nil {
		return nil, err
	}
	file, err := open(e, path, f.limits)
	if err != nil || rule == musicxml.SmallWhereNeeded {
		return file, err
	}
	return file.WithSmallPrint(rule)
}

// analyse runs everything once on a score that was opened.
func (f *scoreFlags) analyse(e env, fs *pflag.FlagSet, file *musicxml.File) (*report.Reading, error) {
	opt, err := f.options(e, fs)
	if err != nil {
		return nil, err
	}
	if f.unfold {
		if len(file.Layers()) > 0 { // an unfolded score cannot be rid of them any more
			if file, err = file.Remove(); err != nil {
				return nil, err
			}
		}
		file.Score = score.Unfold(file.Score)
	}
	if opt.Harmony.Corrections, err = readCorrections(f.readings, file.Score); err != nil {
		return nil, err
	}
	r, err := report.New(file, opt)
	return r, named(file.Name, err)
}

// readCorrections reads the user's own readings of chords and keys.
func readCorrections(path string, s *score.Score) ([]stated.Correction, error) {
	if path == "" {
		return nil, nil
	}
	file, err := userFile("corrections", path, "--corrections names a file; 'hairpin help corrections' shows one")
	if err != nil {
		return nil, err
	}
	defer file.Close()
	list, err := stated.ReadCorrections(file, s)
	if err != nil {
		return nil, &usageError{path + ": " + err.Error(), "'hairpin help corrections' shows how a line is written"}
	}
	return list, nil
}

// userFile opens a file that an option names.
func userFile(option, path, hint string) (*os.File, error) {
	file, err := os.Open(path)
	if err == nil {
		info, err := file.Stat()
		if err != nil || !info.IsDir() {
			return file, err
		}
		file.Close()
		return nil, &usageError{option + ": " + path + " is a folder, not a file", hint}
	}
	if failed := (*os.PathError)(nil); errors.As(err, &failed) {
		err = failed.Err
	}
	return nil, &usageError{fmt.Sprintf("%s: %s: %v", option, path, err), hint}
}

// standardInput is the name of a score that came through it.
const standardInput = "standard input"

// named puts the score's name before an error that does not say it yet. What is
// wrong with the command line or with another file is left as it is.
func named(score string, err error) error {
	var other *os.PathError
	var usage *usageError
	if err == nil || errors.As(err, &other) || errors.As(err, &usage) || strings.HasPrefix(err.Error(), score+": ") {
		return err
	}
	return fmt.Errorf("%s: %w", score, err)
}

// open reads a score from a file, or from standard input for "-".
func open(e env, path string, limits musicxml.Limits) (*musicxml.File, error) {
	if path == "-" {
		return musicxml.Read(e.stdin, standardInput, limits)
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil, &usageError{path + " is a folder, not a score", "name one .musicxml, .xml or .mxl file"}
	}
	file, err := musicxml.OpenLimits(path, limits)
	if failed := (*os.PathError)(nil); errors.As(err, &failed) {
		return nil, fmt.Errorf("%s: %w", path, failed.Err)
	}
	return file, err
}

func (f *scoreFlags) options(e env, fs *pflag.FlagSet) (report.Options, error) {
	opt := report.Options{Measures: f.measures, All: f.all, Width: f.width, Colour: coloured(e.stdout)}
	if opt.Width == 0 {
		opt.Width = columns(e.stdout)
	}
	if fs.Changed("width") && f.width < leastWidth {
		return opt, usage(fs, fmt.Sprintf("--width is %d or more, not %d", leastWidth, f.width))
	}
	opt.Part, opt.Harmony.Part = f.part, f.hear
	if f.key != "" {
		key, ok := tonal.ParseKey(f.key)
		if !ok {
			return opt, usage(fs, fmt.Sprintf("--key %q is no key; write C or Bb for major, a or f# for minor", f.key))
		}
		opt.Harmony.Home = &key
	}
	switch f.harmony {
	case "heard":
	case "printed":
		opt.Harmony.Symbols = true
	default:
		return opt, usage(fs, fmt.Sprintf("--harmony is heard or printed, not %q", f.harmony))
	}
	weights, err := parseWeights(f.weights)
	if err != nil {
		return opt, usage(fs, err.Error())
	}
	opt.Harmony.Weights = weights
	return opt, nil
}

// parseWeights reads "dissonance=1,distance=0.5"; a part that is not named stays 1.
func parseWeights(text string) (*tension.Weights, error) {
	if text == "" {
		return nil, nil
	}
	w := tension.Weights{Dissonance: 1, Distance: 1, Pull: 1}
	parts := map[string]*float64{"dissonance": &w.Dissonance, "distance": &w.Distance, "pull": &w.Pull}
	for item := range strings.SplitSeq(text, ",") {
		name, value, _ := strings.Cut(strings.TrimSpace(item), "=")
		v, err := strconv.ParseFloat(value, 64)
		if parts[name] == nil || err != nil || !(v >= 0 && v <= 10) {
			return nil, fmt.Errorf("--weights takes dissonance, distance and pull with numbers from 0 to 10, not %q", item)
		}
		*parts[name] = v
	}
	return &w, nil
}

// oneOf checks --format.
func (f *scoreFlags) oneOf(fs *pflag.FlagSet, formats string) error {
	for known := range strings.SplitSeq(formats, ",") {
		if f.format == known {
			return nil
		}
	}
	return usage(fs, fmt.Sprintf("--format is one of %s, not %q", strings.ReplaceAll(formats, ",", ", "), f.format))
}

// leastWidth is how many columns a table needs to be read.
const leastWidth = 40

// columns is the width of a table: that of the terminal, at most 80.
func columns(w io.Writer) int {
	if f, ok := w.(*os.File); ok {
		if n, _, err := term.GetSize(int(f.Fd())); err == nil && n > 0 {
			return min(max(n, leastWidth), 80)
		}
	}
	return 80
}

// coloured reports whether the output is a terminal that wants colour.
func coloured(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd())) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// reads is the run of a command that reads one score and writes it in a chosen format.
func (f *scoreFlags) reads(formats string, write func(*report.Reading, io.Writer, string) error) func(env, *pflag.FlagSet, []string) error {
	return func(e env, fs *pflag.FlagSet, args []string) error {
		paths, err := parse(fs, args, "SCORE")
		if err != nil {
			return err
		}
		if err := f.oneOf(fs, formats); err != nil {
			return err
		}
		r, err := f.read(e, fs, paths[0])
		if err != nil {
			return err
		}
		if text := r.Irregular(); text != "" {
			fmt.Fprintf(e.stderr, "hairpin: %s: %s 'hairpin contents' names them.\n", report.Visible(r.File.Name), text)
		}
		return named(r.File.Name, write(r, e.stdout, f.format))
	}
}
