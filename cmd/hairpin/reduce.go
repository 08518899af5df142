package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/practice"
)

// reduceFlags are the options of reduce.
type reduceFlags struct {
	score    scoreFlags
	out      outFlags
	steps    bool
	tempo    string
	language string
	names    report.Names
	practice practice.Plan
}

func reduceCommand() command {
	var f reduceFlags
	c := command{
		name: "reduce", args: "SCORE -o FILE",
		does: "write the piece as block chords, or a hard passage as a ladder of practice",
		more: "The chords keep the harmonic rhythm, the printed dynamics and the phrases; numerals\n" +
			"and tension stand below. Play them slowly and listen before you learn the notes.\n" +
			"--steps writes the measures as a ladder, one system a rung: their written pitches as\n" +
			"block chords in half notes, in quarters, in eighths with the hands in turn, a drill for\n" +
			"evenness, then the page. Runs go in groups with rests, in rhythms and hands apart.\n" +
			"Every rung has its metronome mark and is played at pp, mp, f and as printed. Mallets\n" +
			"and hands are the page's, else proposed in brackets. --hardest picks the measures and\n" +
			"says why on the page. Rest between the rungs, and practise loud passages softly first.",
		example: "hairpin reduce testdata/etude-millrace.musicxml -o practice.musicxml --measures 12 --steps",
		flags:   f.register,
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		input, err := f.out.parse(fs, args, ".musicxml", ".xml", ".mxl")
		if err != nil {
			return err
		}
		if err := f.choose(fs); err != nil {
			return err
		}
		r, err := f.score.read(e, fs, input)
		if err != nil {
			return err
		}
		file, err := f.make(r)
		if err != nil {
			return named(r.File.Name, err)
		}
		return f.out.write(func(w io.Writer) error { return writeScore(w, file, f.out.path) })
	}
	return c
}

func (f *reduceFlags) register(fs *pflag.FlagSet) {
	f.out.register(fs, ".musicxml or .mxl")
	fs.BoolVar(&f.steps, "steps", false, "write the measures as a ladder of practice")
	fs.IntVar(&f.practice.Hardest, "hardest", 0, "`N` ladders of single measures, the hardest of those shown, with reasons")
	fs.StringVar((*string)(&f.practice.Hands), "hands", "", "`HANDS` one, two, two-mallets, four-mallets; else by the part's name")
	fs.IntVar(&f.practice.Rest, "rest", 2, "`N` beats of rest inside each repeat")
	fs.StringVar(&f.tempo, "tempo", "", "`RANGE` of the metronome, in the page's unit: 50-80;\nelse half the score's tempo to all of it")
	fs.StringVar(&f.language, "language", "en", "`NAMES` of notes, in keys: en, de (H and B), fixed-do")
	fs.IntVar(&f.score.part, "part", 0, "`N` the part that is practised, counted from 1")
	f.score.registerReading(fs)
}

// choose checks the options.
func (f *reduceFlags) choose(fs *pflag.FlagSet) error {
	var ok bool
	if f.names, ok = report.ParseNames(f.language); !ok {
		return usage(fs, fmt.Sprintf("--language is en, de or fixed-do, not %q", f.language))
	}
	if f.tempo != "" {
		low, high, ranged := strings.Cut(f.tempo, "-")
		if !ranged {
			high = low
		}
		var err1, err2 error
		f.practice.From, err1 = strconv.ParseFloat(low, 64)
		f.practice.To, err2 = strconv.ParseFloat(high, 64)
		if err1 != nil || err2 != nil || f.practice.From == 0 {
			return usage(fs, fmt.Sprintf("--tempo is a range such as 50-80, not %q", f.tempo))
		}
	}
	f.steps = f.steps || f.practice.Hardest > 0
	if !f.steps && (f.tempo != "" || fs.Changed("rest") || f.practice.Hands != "") {
		return usage(fs, "--tempo, --rest and --hands need --steps or --hardest")
	}
	return f.practice.Check()
}

func (f *reduceFlags) make(r *report.Reading) (*musicxml.File, error) {
	if f.steps {
		return practice.Ladder(r, f.practice)
	}
	return practice.Reduction(r, f.names)
}

// writeScore writes a score as its path's ending wants it.
func writeScore(w io.Writer, file *musicxml.File, path string) error {
	data, err := file.Encode(path)
	if err == nil {
		_, err = w.Write(data)
	}
	return err
}
