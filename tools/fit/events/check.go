package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/harmony/tonal"
	"hairpin/score"
	"hairpin/tools/fit/analyses"
)

// marked is a stretch that an analyst named.
type marked struct {
	kind       events.Kind
	start, end score.Tick
	text       string
}

// tally counts one kind over all pieces.
type tally struct{ told, right, marked, found int }

// compare prints the precision and recall of the kinds that analyses name.
func compare(dir string, verbose bool, w io.Writer) error {
	files, err := filepath.Glob(filepath.Join(dir, "*.tsv"))
	if err != nil || len(files) == 0 {
		return fmt.Errorf("%s: no .tsv files (%v)", dir, err)
	}
	all := map[events.Kind]*tally{}
	for _, k := range checked {
		all[k] = &tally{}
	}
	for _, file := range files {
		if err := comparePiece(file, all, verbose, w); err != nil {
			return err
		}
	}
	for _, k := range checked {
		t := all[k]
		fmt.Fprintf(w, "%-16s told %4d right %4d (%.2f)   marked %4d found %4d (%.2f)\n", k, t.told, t.right,
			share(t.right, t.told), t.marked, t.found, share(t.found, t.marked))
	}
	return nil
}

// lean is a suspension or an appoggiatura: analyses write both as tones added to a chord, some
// of them, in some pieces.
const lean events.Kind = "lean"

// checked are the kinds that the analyses tell of.
var checked = []events.Kind{events.Neapolitan, events.AugmentedSixth, events.Borrowed, lean, events.FarKey}

// checkedAs is the kind under which an event is checked.
func checkedAs(k events.Kind) events.Kind {
	if k == events.Suspension || k == events.Appoggiatura {
		return lean
	}
	return k
}

func share(a, b int) float64 { return float64(a) / float64(max(b, 1)) }

func comparePiece(file string, all map[events.Kind]*tally, verbose bool, w io.Writer) error {
	rows, err := analyses.Read(file)
	if err != nil {
		return err
	}
	s, a, found, err := read(strings.TrimSuffix(file, ".tsv") + ".mxl")
	if err != nil {
		return err
	}
	id := strings.TrimSuffix(filepath.Base(file), ".tsv")
	marks := marksOf(s, rows)
	for _, e := range found {
		t := all[checkedAs(e.Kind)]
		if t == nil || checkedAs(e.Kind) == lean && !marksLeans(marks) {
			continue
		}
		t.told++
		word := "wrongly"
		if overlaps(marks, checkedAs(e.Kind), e.Start, e.End) {
			t.right++
			word = "rightly"
		}
		if verbose {
			fmt.Fprintf(w, "%s: %s told %s at %s (%.2f): %s | analyst %s\n", id, word, e.Kind, s.At(e.Start), e.Confidence, details(s, a, &e), rowsAt(s, rows, e.Start, e.End))
		}
	}
	for _, m := range marks {
		t := all[m.kind]
		t.marked++
		hit := false
		for _, e := range found {
			hit = hit || checkedAs(e.Kind) == m.kind && e.Start < m.end && m.start < e.End
		}
		if hit {
			t.found++
		} else if verbose {
			fmt.Fprintf(w, "%s: missed %s at %s: %s | heard %s\n", id, m.kind, s.At(m.start), m.text, heardAt(a, m.start, m.end))
		}
	}
	return nil
}

// marksLeans reports whether the analyst wrote any lean at all.
func marksLeans(marks []marked) bool {
	return slices.ContainsFunc(marks, func(m marked) bool { return m.kind == lean })
}

// heardAt are the chords heard over a stretch.
func heardAt(a *harmony.Analysis, start, end score.Tick) string {
	var out []string
	for _, c := range a.Chords {
		if c.Start < end && start < c.End && len(out) < 6 {
			out = append(out, c.Key.String()+":"+c.Roman())
		}
	}
	return strings.Join(out, " ")
}

// rowsAt is what the analyst wrote over a stretch.
func rowsAt(s *score.Score, rows []analyses.Row, start, end score.Tick) string {
	var out []string
	for _, r := range rows {
		from, to := ticks(s, r["onset"]), ticks(s, r["end"])
		if from < end && start < to && len(out) < 6 {
			out = append(out, r["key"]+":"+r["roman"])
		}
	}
	return strings.Join(out, " ")
}

func overlaps(marks []marked, k events.Kind, start, end score.Tick) bool {
	for _, m := range marks {
		if m.kind == k && m.start < end && start < m.end {
			return true
		}
	}
	return false
}

// marksOf are the events that an analysis names; neighbours of one kind are one.
func marksOf(s *score.Score, rows []analyses.Row) []marked {
	var out []marked
	for _, r := range rows {
		k := kindOf(r)
		if k == "" {
			continue
		}
		m := marked{k, ticks(s, r["onset"]), ticks(s, r["end"]), r["key"] + " " + r["roman"]}
		if last := len(out) - 1; last >= 0 && out[last].kind == k && out[last].end == m.start && k != lean {
			out[last].end = m.end
			continue
		}
		out = append(out, m)
	}
	return append(out, farMarks(s, rows)...)
}

func ticks(s *score.Score, quarters string) score.Tick {
	q, _ := strconv.ParseFloat(quarters, 64)
	return score.Tick(q*float64(s.Division) + 0.5)
}

// kindOf is the event that one row of an analysis is.
func kindOf(r analyses.Row) events.Kind {
	key, ok := tonal.ParseKey(r["key"])
	small := r["quality"] == "min" || r["quality"] == "min7"
	d := r["degree"]
	switch {
	case !ok:
	case strings.HasPrefix(d, "Aug6"):
		return events.AugmentedSixth
	case d == "bII":
		return events.Neapolitan
	case strings.Contains(r["roman"], "[no3][add4]"), strings.Contains(r["roman"], "[no1][add2]"), strings.Contains(r["roman"], "[add9]"), strings.Contains(r["roman"], "[no3][add9][add4]"):
		return lean
	case key.Minor:
	case (d == "I" || d == "IV") && small, d == "bVI", d == "bIII", d == "II" && (r["quality"] == "dim" || r["quality"] == "hdim7"),
		strings.Contains(r["roman"], "[addb6]"): // the minor six-four over the dominant
		return events.Borrowed
	}
	return ""
}

// farMarks are the analyst's changes to a key three signs or more away that lasts eight
// quarters; shorter ones count as passing.
func farMarks(s *score.Score, rows []analyses.Row) []marked {
	type span struct {
		key        tonal.Key
		start, end score.Tick
	}
	var spans []span
	for _, r := range rows {
		k, ok := tonal.ParseKey(r["key"])
		if !ok {
			continue
		}
		start, end := ticks(s, r["onset"]), ticks(s, r["end"])
		if n := len(spans) - 1; n >= 0 && spans[n].key.Tonic.PC() == k.Tonic.PC() && spans[n].key.Minor == k.Minor {
			spans[n].end = end
			continue
		}
		spans = append(spans, span{k, start, end})
	}
	var out []marked
	from := -1
	for i, x := range spans {
		if x.end-x.start < 8*s.Division {
			continue
		}
		if from >= 0 {
			if spans[from].key.SignsFrom(x.key) >= 3 {
				out = append(out, marked{events.FarKey, x.start, x.end, spans[from].key.String() + " to " + x.key.String()})
			}
		}
		from = i
	}
	return out
}
