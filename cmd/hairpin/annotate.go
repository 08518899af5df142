package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/annotate"
	"hairpin/score"
)

// annotateFlags are the options of annotate.
type annotateFlags struct {
	score    scoreFlags
	out      outFlags
	layers   string
	page     string
	reader   string
	language string
	remarks  string
	remove   bool
}

func annotateCommand() command {
	var f annotateFlags
	c := command{
		name: "annotate", args: "SCORE -o FILE",
		does: "add numerals, verdicts and proposals to a copy of the score",
		more: "Nothing else in the score is changed. Running it again replaces the layers named;\n" +
			"--remove takes them out, and gives the original back byte for byte. Proposed hairpins\n" +
			"are dashed and say (ed.), proposed marks stand in brackets: they are not the\n" +
			"composer's. --page teacher and --page student choose layers for a reader. Keys,\n" +
			"numerals and tension (0-100, the highest of each phrase bold) stand on lines below\n" +
			"the lowest staff; where the harmony is fast, numerals take up to three lines.",
		example: "hairpin annotate testdata/etude-millrace.musicxml -o etude.musicxml --measures 9-24",
		flags:   f.register,
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		input, err := f.out.parse(fs, args, ".musicxml", ".xml", ".mxl")
		if err != nil {
			return err
		}
		file, err := f.run(e, fs, input)
		if err != nil {
			return err
		}
		return f.out.write(e, func(w io.Writer) error { return writeScore(w, file, f.out.path) })
	}
	return c
}

func (f *annotateFlags) register(fs *pflag.FlagSet) {
	f.out.register(fs, ".musicxml or .mxl")
	fs.StringVar(&f.layers, "layers", "", "`LIST` of numerals, chords, tension, verdicts, shaping,\nquestions, remarks;\nelse numerals, verdicts, shaping and the remarks given")
	fs.StringVar(&f.page, "page", "", "`PAGE` teacher: numerals, tension, verdicts; student: levels, hairpins,\none question a phrase; instead of --layers")
	fs.StringVar(&f.reader, "for", "student", "`READER` student: plain words; player: short signs")
	fs.StringVar(&f.language, "language", "en", "`NAMES` of notes, in keys and chord names: en, de (H and B),\nfixed-do; other words stay English")
	fs.StringVar(&f.remarks, "remarks", "", "`FILE` your own remarks, one a line: measure, beat, text")
	fs.BoolVar(&f.remove, "remove", false, "take the layers out again; all, or those of --layers")
	fs.IntVar(&f.score.part, "part", 0, "`N` read and mark this part only, counted from 1")
	f.score.registerReading(fs)
}

// run makes the annotated score, or the one without annotations.
func (f *annotateFlags) run(e env, fs *pflag.FlagSet, path string) (*musicxml.File, error) {
	opt, err := f.annotation(fs)
	if err != nil {
		return nil, err
	}
	file, err := f.score.open(e, fs, path)
	if err != nil {
		return nil, err
	}
	if f.remove {
		names := make([]string, len(opt.Layers))
		for i, l := range opt.Layers {
			names[i] = string(l)
		}
		return file.Remove(names...)
	}
	r, err := f.score.analyse(e, fs, file)
	if err != nil {
		return nil, err
	}
	if opt.Remarks, err = readRemarks(f.remarks, r.Score); err != nil {
		return nil, err
	}
	name := r.File.Name
	file, err = annotate.Add(r, file, opt) // the last use of r: a large score needs its memory
	return file, named(name, err)
}

// annotation checks the options.
func (f *annotateFlags) annotation(fs *pflag.FlagSet) (opt annotate.Annotation, err error) {
	for item := range strings.SplitSeq(f.layers, ",") {
		if item = strings.TrimSpace(item); item != "" {
			opt.Layers = append(opt.Layers, annotate.Layer(item))
		}
	}
	if f.page != "" {
		if len(opt.Layers) > 0 {
			return opt, usage(fs, "--page and --layers exclude each other")
		}
		if opt.Layers = annotate.Page(f.page).Layers(); opt.Layers == nil {
			return opt, usage(fs, fmt.Sprintf("--page is teacher or student, not %q", f.page))
		}
		if f.remarks != "" {
			opt.Layers = append(opt.Layers, annotate.RemarkLayer)
		}
	}
	if !f.remove && f.remarks == "" && slices.Contains(opt.Layers, annotate.RemarkLayer) {
		return opt, usage(fs, "the layer remarks needs --remarks FILE")
	}
	switch f.reader {
	case "student":
	case "player":
		opt.Shorthand = true
	default:
		return opt, usage(fs, fmt.Sprintf("--for is student or player, not %q", f.reader))
	}
	var ok bool
	if opt.Names, ok = report.ParseNames(f.language); !ok {
		return opt, usage(fs, fmt.Sprintf("--language is en, de or fixed-do, not %q", f.language))
	}
	return opt, opt.Check()
}

// readRemarks reads the teacher's remarks, none if there is no file.
func readRemarks(path string, s *score.Score) ([]annotate.Remark, error) {
	if path == "" {
		return nil, nil
	}
	file, err := userFile("remarks", path, "--remarks names a text file with a line for each: 12 3 breathe here")
	if err != nil {
		return nil, err
	}
	defer file.Close()
	list, err := annotate.ReadRemarks(file, s)
	if err != nil {
		return nil, &usageError{path + ": " + err.Error(), "a line is measure, beat and text: 12 3 breathe here"}
	}
	return list, nil
}
