package main

import (
	"fmt"
	"io"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/tonal"
	"hairpin/tools/fit/analyses"
)

// share counts how many of all are right.
type share struct{ right, all int }

func (s *share) add(ok bool) {
	s.all++
	if ok {
		s.right++
	}
}

func (s share) String() string {
	if s.all == 0 {
		return "  0 of   0"
	}
	return fmt.Sprintf("%3d of %3d, %5.1f %%", s.right, s.all, 100*float64(s.right)/float64(s.all))
}

// tally counts agreement with the readers, and the rows of whole scores.
type tally struct {
	page, verdict, harmony map[string]*share // by certainty, kind, and "all"
	invented               []string          // a movement is shown where both readers see none printed
	measures, stretches    int
	settled                share // of supports and works against: sure or likely
}

func newTally() *tally {
	return &tally{page: map[string]*share{}, verdict: map[string]*share{}, harmony: map[string]*share{}}
}

func count(in map[string]*share, ok bool, keys ...string) {
	for _, k := range keys {
		if in[k] == nil {
			in[k] = &share{}
		}
		in[k].add(ok)
	}
}

// add compares a verdict with a row; it describes a row that agrees with neither reader.
func (t *tally) add(row analyses.Row, v verdict.Verdict) string {
	either := func(what, got string) bool { return row[what+"_a"] == got || row[what+"_b"] == got }
	kind := string(v.Page.Kind)
	count(t.page, either("page", kind), "all", v.Page.Certainty.String(), kind)
	count(t.harmony, either("harmony", does(v.Harmony)), "all", does(v.Harmony))
	ok := either("verdict", string(v.Kind))
	count(t.verdict, ok, "all", v.Certainty.String(), string(v.Kind), string(v.Kind)+" "+v.Certainty.String())
	if v.Page.Moves() && still(row["page_a"]) && still(row["page_b"]) {
		t.invented = append(t.invented, row["id"])
	}
	if ok && either("page", kind) {
		return ""
	}
	h := v.Harmony
	return fmt.Sprintf("%s %s %s-%s: page %s (%s, %s), harmony %s %.2f (%s, %s), verdict %s, %s %.2f (%s, %s, %s, %s); %.0f to %.0f, %d chords, doubt of %s",
		row["id"], row["score"], row["from"], row["to"], kind, row["page_a"], row["page_b"], does(h), h.Chances, row["harmony_a"], row["harmony_b"],
		v.Kind, v.Certainty, v.Probability, row["verdict_a"], row["sure_a"], row["verdict_b"], row["sure_b"], h.From, h.To, h.Chords, v.Doubt().Source)
}

func still(of string) bool {
	return of == string(page.Silent) || of == string(page.Level) || of == string(page.Terraced)
}

// does names what the harmony does, as the labels do.
func does(h verdict.HarmonyMove) string {
	switch {
	case h.Waits:
		return "waits"
	case h.Way == verdict.Up:
		return "builds"
	case h.Way == verdict.Down:
		return "releases"
	}
	return "holds"
}

// whole counts the stretches of a score.
func (t *tally) whole(r reading) {
	t.measures += len(r.s.Measures)
	for _, v := range verdict.Judge(r.s, r.a, r.p) {
		if v.Aspect != verdict.OverSpan {
			continue
		}
		t.stretches++
		if v.Kind == verdict.Supports || v.Kind == verdict.WorksAgainst {
			t.settled.add(v.Certainty > tonal.Unsure)
		}
	}
}

func (t *tally) print(w io.Writer) {
	table := func(name string, in map[string]*share, keys ...string) {
		for _, k := range keys {
			if s := in[k]; s != nil {
				fmt.Fprintf(w, "%-8s %-22s %v\n", name, k, *s)
			}
		}
	}
	table("page", t.page, "all", "sure", "likely", "unsure", "grows", "falls", "swells", "dips", "terraced", "level", "silent")
	table("harmony", t.harmony, "all", "builds", "releases", "waits", "holds")
	table("verdict", t.verdict, "all", "sure", "likely", "unsure")
	for _, k := range [...]verdict.Kind{verdict.Supports, verdict.WorksAgainst, verdict.Unshaped, verdict.Independent, verdict.Calm} {
		table("verdict", t.verdict, string(k), string(k)+" sure", string(k)+" likely", string(k)+" unsure")
	}
	fmt.Fprintf(w, "a movement shown where none is printed: %d %v\n", len(t.invented), t.invented)
	fmt.Fprintf(w, "whole scores: %d stretches in %d measures, %.2f a measure; supports and works against that are sure or likely: %v\n",
		t.stretches, t.measures, float64(t.stretches)/float64(max(t.measures, 1)), t.settled)
}
