package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"hairpin/dynamics/verdict"
	"hairpin/tools/fit/analyses"
)

// underChords compares the verdicts on the stretches of every score with those
// that the same stretches have under an analyst's chords.
func underChords(dir string, w io.Writer) error {
	files, err := filepath.Glob(filepath.Join(dir, "*.tsv"))
	if err != nil || len(files) == 0 {
		return fmt.Errorf("%s: no .tsv files (%v)", dir, err)
	}
	same := map[string]*share{}
	for _, file := range files {
		rows, err := analyses.Chords(file)
		if err != nil {
			return err
		}
		r, err := read(strings.TrimSuffix(file, ".tsv") + ".mxl")
		if err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
		given := analyses.Heard(r.s, rows)
		for i := range given.Chords { // an analyst's chord is no guess
			given.Chords[i].Given = true
		}
		for _, v := range verdict.Judge(r.s, r.a, r.p) {
			if v.Aspect == verdict.OverSpan {
				g := verdict.Over(r.s, given, r.p, v.Start, v.End)
				count(same, g.Kind == v.Kind, "all", v.Certainty.String(), string(v.Kind), string(v.Kind)+" "+v.Certainty.String())
			}
		}
	}
	for _, k := range [...]string{"", "supports", "works against", "unshaped", "independent", "calm"} {
		for _, c := range [...]string{"", "sure", "likely", "unsure"} {
			if s := same[strings.TrimSpace(k+" "+c)]; s != nil {
				fmt.Fprintf(w, "%-22s %v\n", strings.TrimSpace(k+" "+c), *s)
			}
		}
	}
	fmt.Fprintf(w, "%-22s %v\n", "all", *same["all"])
	return nil
}
