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
	practice practice.Plan
}

func reduceCommand() command {
	var f reduceFlags
	c := command{
		name: "reduce", args: "SCORE -o FILE",
		does: "write the piece as block chords, or a hard passage in steps",
		more: "The chords keep the harmonic rhythm, the printed dynamics and the phrases; numerals\n" +
			"and tension stand below. Play them slowly and listen before you learn the notes.\n" +
			"--steps writes the measures for practice: chords in long values, then shorter, then\n" +
			"as written. Rest between the steps, and practise loud passages softly first.",
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
			return err
		}
		return f.out.write(func(w io.Writer) error { return writeScore(w, file, f.out.path) })
	}
	return c
}

func (f *reduceFlags) register(fs *pflag.FlagSet) {
	f.out.register(fs, ".musicxml or .mxl")
	fs.BoolVar(&f.steps, "steps", false, "write the measures as practice in four steps")
	fs.IntVar(&f.practice.Rests, "rests", 0, "`N` measures of rest between the steps")
	fs.StringVar(&f.tempo, "tempo", "", "`RANGE` of beats a minute for the steps: 50-80;\nelse half the score's tempo to all of it")
	fs.StringVar(&f.language, "language", "en", "`NAMES` of notes, in keys: en, de (H and B), fixed-do")
	fs.IntVar(&f.score.part, "part", 0, "`N` the part whose figuration is practised, counted from 1")
	f.score.registerReading(fs)
}

// choose checks the options.
func (f *reduceFlags) choose(fs *pflag.FlagSet) error {
	var ok bool
	if f.practice.Names, ok = report.ParseNames(f.language); !ok {
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
	if !f.steps && (f.tempo != "" || f.practice.Rests != 0) {
		return usage(fs, "--tempo and --rests need --steps")
	}
	return f.practice.Check()
}

func (f *reduceFlags) make(r *report.Reading) (*musicxml.File, error) {
	if f.steps {
		return practice.Steps(r, f.practice)
	}
	return practice.Reduction(r, f.practice.Names)
}

// writeScore writes a score as its path's ending wants it.
func writeScore(w io.Writer, file *musicxml.File, path string) error {
	data, err := file.Encode(path)
	if err == nil {
		_, err = w.Write(data)
	}
	return err
}
