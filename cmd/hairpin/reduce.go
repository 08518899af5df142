package main

import (
	"fmt"
	"io"

	"github.com/spf13/pflag"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/practice"
)

// reduceFlags are the options of reduce.
type reduceFlags struct {
	score    scoreFlags
	out      outFlags
	tempo    string
	language string
	names    report.Names
	ladder   practiceFlags
}

func reduceCommand() command {
	var f reduceFlags
	c := command{
		name: "reduce", args: "SCORE -o FILE",
		does: "write the piece as block chords, or a passage as a ladder",
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
		read := f.score.read
		if f.ladder.steps {
			read = f.score.readPage
		}
		r, err := read(e, fs, input)
		if err != nil {
			return err
		}
		name := r.File.Name
		file, err := f.make(r) // the last use of r: a large score needs its memory
		if err != nil {
			return named(name, err)
		}
		return f.out.write(e, func(w io.Writer) error { return writeScore(w, file, f.out.path) })
	}
	return c
}

func (f *reduceFlags) register(fs *pflag.FlagSet) {
	f.out.register(fs, ".musicxml or .mxl")
	f.ladder.register(fs)
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
	if !f.ladder.steps && f.ladder.plan.Hardest == 0 && (f.tempo != "" || fs.Changed("rest") || f.ladder.plan.Hands != "") {
		return usage(fs, "--tempo, --rest and --hands need --steps or --hardest")
	}
	return f.ladder.choose(fs, f.tempo)
}

func (f *reduceFlags) make(r *report.Reading) (*musicxml.File, error) {
	if f.ladder.steps {
		return practice.Ladder(r, f.ladder.plan)
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
