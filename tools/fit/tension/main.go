// Command tension checks the tension number on analysed scores.
//
//	go run ./tools/fit/tension [-v] [-every N] DIR
//
// DIR holds ID.mxl and ID.tsv, an analyst's chords: columns onset and end
// (quarter notes from the start as written), key, roman, root_pc, quality,
// inversion, and phrase_end (1 where a phrase ends, may be missing). For the
// analyst's chords and for those hairpin hears it prints how often a piece ends
// at rest and a phrase ends below its highest point, and how the tension is
// spread. -v lists the exceptions.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/fit/analyses"
)

func main() {
	verbose := flag.Bool("v", false, "list the exceptions")
	every := flag.Int("every", 1, "take every Nth piece")
	flag.Parse()
	if flag.NArg() != 1 || *every < 1 {
		flag.Usage()
		os.Exit(2)
	}
	if err := run(flag.Arg(0), *every, *verbose, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "tension: error:", err)
		os.Exit(1)
	}
}

func run(dir string, every int, verbose bool, w io.Writer) error {
	files, err := filepath.Glob(filepath.Join(dir, "*.tsv"))
	if err != nil || len(files) == 0 {
		return fmt.Errorf("%s: no .tsv files (%v)", dir, err)
	}
	given, heard := tally{name: "analyst's chords"}, tally{name: "chords heard"}
	for i := 0; i < len(files); i += every {
		if err := measure(files[i], &given, &heard); err != nil {
			return err
		}
	}
	given.print(w, verbose)
	heard.print(w, verbose)
	return nil
}

func measure(file string, given, heard *tally) error {
	rows, err := analyses.Chords(file)
	if err != nil {
		return err
	}
	f, err := musicxml.Open(strings.TrimSuffix(file, ".tsv") + ".mxl")
	if err != nil {
		return err
	}
	id := strings.TrimSuffix(filepath.Base(file), ".tsv")
	s := f.Score
	ends := phraseEnds(s, rows)
	given.add(id, s, analyses.Heard(s, rows), ends)
	a, err := harmony.Analyse(s, harmony.Options{})
	if err != nil {
		return fmt.Errorf("%s: %w", id, err)
	}
	heard.add(id, s, a, ends)
	return nil
}

func phraseEnds(s *score.Score, rows []analyses.Chord) []score.Tick {
	var out []score.Tick
	for _, r := range rows {
		if r.PhraseEnd {
			out = append(out, analyses.Tick(s, r.End))
		}
	}
	return out
}

// restful is the tension up to which a last chord counts as at rest.
const restful = 15

// tally counts over many pieces.
type tally struct {
	name             string
	pieces, atRest   int
	phrases, relaxed int
	totals           []float64
	exceptions       []string
}

func (t *tally) add(id string, s *score.Score, a *harmony.Analysis, ends []score.Tick) {
	last := -1
	for i, m := range a.Moments {
		if m.Chord >= 0 {
			t.totals = append(t.totals, m.Tension.Total)
			last = i
		}
	}
	if last < 0 {
		return
	}
	t.pieces++
	if m := a.Moments[last]; m.Tension.Total <= restful {
		t.atRest++
	} else {
		c := a.Chords[m.Chord]
		t.exceptions = append(t.exceptions, fmt.Sprintf("%s ends on %s in %s, home %s: %.0f", id, c.Roman(), c.Key, a.Home, m.Tension.Total))
	}
	start := score.Tick(0)
	for _, end := range ends {
		t.phrase(id, s, a, start, end)
		start = end
	}
}

// phrase compares a phrase's last moment with its highest.
func (t *tally) phrase(id string, s *score.Score, a *harmony.Analysis, start, end score.Tick) {
	most, last, chord := 0.0, -1.0, 0
	for _, m := range a.Moments {
		if m.Start >= start && m.Start < end && m.Chord >= 0 {
			most, last, chord = max(most, m.Tension.Total), m.Tension.Total, m.Chord
		}
	}
	if last < 0 {
		return
	}
	t.phrases++
	if last < most {
		t.relaxed++
		return
	}
	c := a.Chords[chord]
	t.exceptions = append(t.exceptions, fmt.Sprintf("%s: the phrase to %s ends at its highest, %s in %s: %.0f", id, s.At(end-1), c.Roman(), c.Key, last))
}

func (t *tally) print(w io.Writer, verbose bool) {
	fmt.Fprintf(w, "%s\n", t.name)
	fmt.Fprintf(w, "  last chord at rest (at most %d)   %d of %d, %.1f %%\n", restful, t.atRest, t.pieces, percent(t.atRest, t.pieces))
	fmt.Fprintf(w, "  phrase end below its maximum     %d of %d, %.1f %%\n", t.relaxed, t.phrases, percent(t.relaxed, t.phrases))
	slices.Sort(t.totals)
	fmt.Fprint(w, "  total by share of moments       ")
	for _, share := range []int{5, 25, 50, 75, 95, 99} {
		fmt.Fprintf(w, " %d %%: %.0f", share, t.totals[len(t.totals)*share/100])
	}
	fmt.Fprintln(w)
	if verbose {
		for _, e := range t.exceptions {
			fmt.Fprintf(w, "    %s\n", e)
		}
	}
}

func percent(n, of int) float64 {
	if of == 0 {
		return 0
	}
	return 100 * float64(n) / float64(of)
}
