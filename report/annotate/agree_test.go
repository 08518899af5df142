package annotate

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hairpin/dynamics/verdict"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// A page never says two things at one place: where a label asks to grow, the
// hairpin that is drawn over most of its stretch grows, and the same for easing.
// Every demo; and every score in a folder that HAIRPIN_SCORES names.
func TestLabelsAgreeWithHairpins(t *testing.T) {
	asks, wrong := 0, 0
	for _, name := range demo.Names() {
		n, k := contradictions(t, toAnnotate(t, name, ""))
		asks, wrong = asks+n, wrong+k
	}
	if asks == 0 {
		t.Error("no demo is asked for anything")
	}
	for _, path := range outsideScores(t) {
		f, err := musicxml.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		if r, err := report.New(f, report.Options{}); err == nil {
			n, k := contradictions(t, r)
			asks, wrong = asks+n, wrong+k
		}
	}
	t.Logf("%d labels ask for something, %d against the hairpin", asks, wrong)
	if wrong > 0 {
		t.Errorf("%d of %d labels contradict the hairpin", wrong, asks)
	}
}

// outsideScores are the .mxl files under the folder named, none without it.
func outsideScores(t *testing.T) []string {
	t.Helper()
	dir := os.Getenv("HAIRPIN_SCORES")
	if dir == "" {
		return nil
	}
	out, err := filepath.Glob(filepath.Join(dir, "*", "*.mxl"))
	if err != nil || len(out) == 0 {
		t.Fatalf("no scores in %s", dir)
	}
	return out
}

// contradictions reads the labels of the annotated page: those that ask for
// something, and those with a hairpin of the other kind over most of their
// stretch or over its start, printed or proposed.
func contradictions(t *testing.T, r *report.Reading) (asks, wrong int) {
	t.Helper()
	f := annotated(t, r, r.File, Annotation{Layers: []Layer{VerdictLayer}})
	stretch := map[score.Tick]score.Tick{}
	for _, v := range r.Verdicts {
		if v.Aspect == verdict.OverSpan {
			stretch[v.Start] = max(v.End-verdict.Tolerance(r.Score, v.Start), v.Start+1) // a turn may fall on the last beat
		}
	}
	hairpins := append([]score.Hairpin(nil), r.Score.Hairpins...)
	for _, p := range proposedPins(r, mostMarked(r.Score, r.ShownParts())) {
		hairpins = append(hairpins, score.Hairpin{Kind: p.kind, Span: score.Span{Start: p.start, End: p.end}})
	}
	for _, w := range f.Score.Words {
		grow, ease := strings.HasSuffix(w.Text, "grow?") || strings.Contains(w.Text, "grow? ("), strings.HasSuffix(w.Text, "ease?") || strings.Contains(w.Text, "ease? (")
		if !grow && !ease {
			continue
		}
		asks++
		kind := score.Diminuendo
		if grow {
			kind = score.Crescendo
		}
		end := stretch[w.At]
		same, other := over(hairpins, w.At, end, kind)
		if other > same || holds(hairpins, w.At, kind) {
			wrong++
			t.Logf("%s %s: %q against the hairpin", r.File.Name, r.At(w.At), w.Text)
		}
	}
	return asks, wrong
}

// over is how long hairpins of a kind and of the other run over a stretch.
func over(list []score.Hairpin, from, to score.Tick, kind score.HairpinKind) (same, other score.Tick) {
	for _, h := range list {
		switch d := min(h.End, to) - max(h.Start, from); {
		case d <= 0:
		case h.Kind == kind:
			same += d
		default:
			other += d
		}
	}
	return same, other
}

// holds reports whether a hairpin of the other kind, and none of this, runs at t.
func holds(list []score.Hairpin, t score.Tick, kind score.HairpinKind) bool {
	same, other := over(list, t, t+1, kind)
	return other > 0 && same == 0
}
