package report

import (
	"os"
	"strings"
	"testing"

	"hairpin/dynamics/verdict"
	"hairpin/report/internal/demo"
)

// statedCase is a row of testdata/cases.tsv: what a stretch must read, stated
// before the judging code was run on it.
type statedCase struct {
	name, measures, verdict, why, state string
}

func statedCases(t *testing.T) []statedCase {
	t.Helper()
	data, err := os.ReadFile(demo.Path(t, "cases.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	var out []statedCase
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n")[1:] {
		f := strings.Split(line, "\t")
		if len(f) != 5 {
			t.Fatalf("cases.tsv: %q has %d columns, not 5", line, len(f))
		}
		out = append(out, statedCase{f[0], f[1], f[2], f[3], f[4]})
	}
	return out
}

// TestStatedCases asks for the verdict that carries most of the stated measures,
// each stretch weighed by its length and its size; what is calm has no size and counts by its length.
func TestStatedCases(t *testing.T) {
	for _, c := range statedCases(t) {
		r, err := New(demo.Score(t, c.name), Options{Measures: c.measures})
		if err != nil {
			t.Fatal(err)
		}
		in, all := 0.0, 0.0
		var seen []string
		for _, v := range r.SpanVerdicts() {
			d := float64(min(v.End, r.To) - max(v.Start, r.From))
			if c.verdict != string(verdict.Calm) {
				d *= v.Size
			}
			if all += d; v.Kind == verdict.Kind(c.verdict) {
				in += d
			}
			seen = append(seen, r.At(v.Start)+" "+string(v.Kind)+" ("+HarmonyDoes(v.Harmony)+")")
		}
		met := 2*in > all
		report := t.Errorf
		switch {
		case met && c.state == "open":
			t.Errorf("%s, measures %s: now reads %s; set its state to met", c.name, c.measures, c.verdict)
		case c.state == "open": // known, and not hidden
			report = t.Logf
		}
		if !met {
			report("%s, measures %s: must read %s (%s), reads %s", c.name, c.measures, c.verdict, c.why, strings.Join(seen, "; "))
		}
	}
}

// TestHeardHarmony compares what is heard in the demos with our own analysis of
// them. Broken chords name their seventh late, and a passing key may be heard
// as a local key or as applied chords, so not every label is the same.
func TestHeardHarmony(t *testing.T) {
	const sameRoot, sameLabel = 0.90, 0.75 // chosen a little under what was first seen
	roots, labels, all := 0, 0, 0
	for _, name := range demo.Names() {
		f := demo.Score(t, name)
		r, err := New(f, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range demo.Intended(t, name, f.Score) {
			n := numeralIn(want, *want.Key)
			got := chordAt(r, want.At)
			all++
			if got.Root == n.Root(*want.Key) {
				roots++
			}
			if got.Key == *want.Key && got.Roman() == n.Format(*want.Key) {
				labels++
			} else {
				t.Logf("%s %s: meant %s in %v, heard %s in %v (%s)", name, r.At(want.At), n.Format(*want.Key), want.Key, got.Roman(), got.Key, got.Certainty.String())
			}
		}
	}
	t.Logf("%d chords: the same root %d, the same key and numeral %d", all, roots, labels)
	if float64(roots) < sameRoot*float64(all) || float64(labels) < sameLabel*float64(all) {
		t.Errorf("of %d chords %d have the root and %d the label that was meant", all, roots, labels)
	}
}
