// Command events counts the events a teacher would point at, over many scores.
//
//	go run ./tools/fit/events [-o harmony/events/corpus.tsv] PATH…
//	go run ./tools/fit/events -check DIR
//	go run ./tools/fit/events -list SCORE
//
// A PATH is a score or a folder of scores (.mxl, .musicxml, .xml); the table says how
// often each kind is found in how many measures. -check compares Neapolitans,
// augmented sixths, borrowed chords, suspensions and changes of key with analyses by
// people: DIR holds ID.mxl and ID.tsv with the columns onset, end (quarter notes from
// the start as written), key, roman, degree, quality. -list prints the events of one
// score, most telling first.
package main

import (
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/musicxml"
	"hairpin/score"
)

func main() {
	out := flag.String("o", "", "write the table to this file")
	check := flag.String("check", "", "compare with the analyses in this folder")
	list := flag.String("list", "", "print the events of this score")
	verbose := flag.Bool("v", false, "list what differs")
	flag.Parse()
	var err error
	switch {
	case *list != "":
		err = printEvents(*list, os.Stdout)
	case *check != "":
		err = compare(*check, *verbose, os.Stdout)
	case flag.NArg() > 0:
		err = count(flag.Args(), *out, os.Stdout)
	default:
		flag.Usage()
		os.Exit(2)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "events: error:", err)
		os.Exit(1)
	}
}

// read reads a score and finds its events.
func read(file string) (*score.Score, *harmony.Analysis, []events.Event, error) {
	f, err := musicxml.Open(file)
	if err != nil {
		return nil, nil, nil, err
	}
	a, err := harmony.Analyse(f.Score, harmony.Options{})
	if err != nil {
		return nil, nil, nil, fmt.Errorf("%s: %w", file, err)
	}
	return f.Score, a, events.Find(f.Score, a), nil
}

func printEvents(file string, w io.Writer) error {
	s, a, found, err := read(file)
	if err != nil {
		return err
	}
	for i, e := range events.Rank(found) {
		fmt.Fprintf(w, "%3d  %.2f (sure %.2f, rare %.2f)  %s–%s  %s in %s  %s\n", i+1, e.Weight, e.Confidence, e.Rarity,
			s.At(e.Start), s.At(max(e.End-1, e.Start)), e.Kind, e.Key.Name(), details(s, a, &e))
	}
	return nil
}

// details are an event's data in one line.
func details(s *score.Score, a *harmony.Analysis, e *events.Event) string {
	var out []string
	if e.Chord >= 0 {
		out = append(out, a.Chords[e.Chord].Roman()+" "+a.Chords[e.Chord].Name())
	}
	switch e.Kind {
	case events.Appoggiatura, events.Suspension:
		for _, n := range e.Notes {
			out = append(out, s.Notes[n].Pitch.String())
		}
	case events.Sequence:
		out = append(out, fmt.Sprintf("%d members, step %+d, %+d semitones", e.Members, e.Step, e.Semitones))
	case events.FarKey:
		out = append(out, fmt.Sprintf("%s to %s, %s", e.From, e.To, e.Entry))
	case events.BassLine:
		out = append(out, fmt.Sprint(e.Tones), fmt.Sprintf("chromatic %v lament %v", e.Chromatic, e.Lament))
	case events.Pedal:
		out = append(out, fmt.Sprintf("%s, degree %d", e.Tones[0], e.Degree))
	}
	for _, r := range e.Reasons {
		out = append(out, string(r))
	}
	return strings.Join(out, "; ")
}

// count counts the events of every kind and writes the table.
func count(paths []string, table string, w io.Writer) error {
	n, measures, pieces := map[events.Kind]int{}, 0, 0
	in := map[events.Kind]int{}
	for _, path := range paths {
		files, err := scores(path)
		if err != nil {
			return err
		}
		for _, file := range files {
			s, _, found, err := read(file)
			if err != nil {
				return err
			}
			pieces++
			measures += len(s.Measures)
			for _, k := range events.Kinds() {
				here := countKind(found, k)
				n[k] += here
				in[k] += min(here, 1)
			}
		}
	}
	var b strings.Builder
	b.WriteString(head)
	fmt.Fprintf(&b, "# %d pieces\n# kind\tevents\tmeasures\tpieces with one\n", pieces)
	for _, k := range events.Kinds() {
		fmt.Fprintf(&b, "%s\t%d\t%d\t%d\n", k, n[k], measures, in[k])
	}
	if table != "" {
		return os.WriteFile(table, []byte(b.String()), 0o644)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// head names the sources of the stored table. They are statistics; no note is kept.
const head = `# Counts of events found by hairpin, by: go run ./tools/fit/events -o harmony/events/corpus.tsv PATH…
# Statistics only, no score is contained here. Scores of 490 analysed pieces of When in Rome (Gotham, Micchi,
# Nápoles López & Sailor 2023) and of 124 piano pieces of MazurkaBL (Kosta, Bandtlow & Chew 2018), Vienna 4x22
# (Goebl 1999), Batik-plays-Mozart (Hu & Widmer 2023) and (n)ASAP (Foscarin et al. 2020; Peter et al. 2023).
# Licences of the data, from memory: When in Rome's scores CC0 and others, (n)ASAP, Batik and Vienna 4x22
# CC BY-NC-SA 4.0; MazurkaBL as its project states.
`

func countKind(found []events.Event, k events.Kind) int {
	n := 0
	for _, e := range found {
		if e.Kind == k {
			n++
		}
	}
	return n
}

// scores lists the scores under a path, in order.
func scores(path string) ([]string, error) {
	var out []string
	err := filepath.WalkDir(path, func(file string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && slices.Contains([]string{".mxl", ".musicxml", ".xml"}, filepath.Ext(file)) {
			out = append(out, file)
		}
		return err
	})
	return out, err
}
