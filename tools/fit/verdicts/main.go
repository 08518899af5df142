// Command verdicts checks verdicts on rows that readers labelled.
//
//	go run ./tools/fit/verdicts [-split held] [-v] LABELS DIR...
//	go run ./tools/fit/verdicts -chords DIR
//	go run ./tools/fit/verdicts -fit dynamics/verdict/direction.tsv LABELS DIR...
//
// LABELS is dynamics/verdict/testdata/verdicts.tsv: its README says what the
// columns hold. The scores are looked for by name in the folders and below. It
// prints how often the page's movement and the verdict agree with a reader, by
// certainty and by kind; where the readers differ, either is right. -v lists the
// rows that agree with neither. It also counts the rows that a reading of the
// whole scores gives.
//
// With -chords DIR holds ID.mxl and ID.tsv, an analyst's chords (see package
// analyses): it prints how often a stretch has the same verdict under them.
//
// With -fit it fits the model of what the harmony does (verdict.Model), prints
// how each score is judged by the model of the others, and writes the table.
package main

import (
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/fit/analyses"
)

func main() {
	split := flag.String("split", "all", "which rows: build, held, fresh or all, as they were first split")
	chords := flag.Bool("chords", false, "compare with the verdicts under an analyst's chords")
	fitted := flag.String("fit", "", "fit the harmony's way on all rows and write the table here")
	verbose := flag.Bool("v", false, "list the rows that agree with neither reader")
	flag.Parse()
	if flag.NArg() < 2 && !(*chords && flag.NArg() == 1) {
		flag.Usage()
		os.Exit(2)
	}
	var err error
	if *fitted != "" {
		err = fitAll(flag.Arg(0), flag.Args()[1:], *fitted, os.Stdout)
	} else if *chords {
		err = underChords(flag.Arg(0), os.Stdout)
	} else {
		err = run(flag.Arg(0), flag.Args()[1:], *split, *verbose, os.Stdout)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "verdicts: error:", err)
		os.Exit(1)
	}
}

// reading is one score as hairpin reads it.
type reading struct {
	s *score.Score
	a *harmony.Analysis
	p *page.Page
}

func run(labels string, dirs []string, split string, verbose bool, w io.Writer) error {
	rows, err := analyses.Read(labels)
	if err != nil {
		return err
	}
	files := scoresIn(dirs)
	t := newTally()
	var r reading
	last := ""
	for _, row := range rows {
		if split != "all" && row["split"] != split {
			continue
		}
		if row["score"] != last {
			if r, err = read(files[row["score"]]); err != nil {
				return fmt.Errorf("%s: %w", row["score"], err)
			}
			last = row["score"]
			t.whole(r)
		}
		from, to, err := r.stretch(row)
		if err != nil {
			return err
		}
		miss := t.add(row, verdict.Over(r.s, r.a, r.p, from, to))
		if verbose && miss != "" {
			fmt.Fprintln(w, miss)
		}
	}
	t.print(w)
	return nil
}

// scoresIn finds the scores of the folders by name.
func scoresIn(dirs []string) map[string]string {
	out := map[string]string{}
	for _, dir := range dirs {
		_ = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() && out[d.Name()] == "" {
				out[d.Name()] = path
			}
			return nil
		})
	}
	return out
}

func read(path string) (reading, error) {
	if path == "" {
		return reading{}, fmt.Errorf("it is in none of the folders")
	}
	f, err := musicxml.Open(path)
	if err != nil {
		return reading{}, err
	}
	a, err := harmony.Analyse(f.Score, harmony.Options{})
	if err != nil {
		return reading{}, err
	}
	return reading{f.Score, a, page.Printed(f.Score, a.Phrases)}, nil
}

// stretch is the place of a row, which counts quarters from the start.
func (r reading) stretch(row analyses.Row) (from, to score.Tick, err error) {
	a, err1 := strconv.ParseFloat(row["start"], 64)
	b, err2 := strconv.ParseFloat(row["end"], 64)
	if err1 != nil || err2 != nil {
		return 0, 0, fmt.Errorf("row %s: start and end must be numbers", row["id"])
	}
	tick := func(quarters float64) score.Tick { return score.Tick(quarters*float64(r.s.Division) + 0.5) }
	return tick(a), tick(b), nil
}
