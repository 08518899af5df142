package dynamics_test

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hairpin/dynamics"
	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/dynamics/verdict"
	"hairpin/dynamics/written"
	"hairpin/harmony"
	"hairpin/internal/golden"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/scoregen"
)

// All numbers of page, verdicts, shaping and advice, of the demo scores, of
// medleys and of the small written scores. After a change that is meant, write
// them anew with HAIRPIN_UPDATE=1 go test ./dynamics -run Golden; package golden
// says how to see what changed.
func TestGoldenDemos(t *testing.T) {
	for _, name := range []string{"etude-millrace", "song-ferry-lamp", "quartet-below-the-weir", "vibraphone-low-water"} {
		f, err := musicxml.Open(filepath.Join("..", "testdata", name+".musicxml"))
		if err != nil {
			t.Fatal(err)
		}
		golden.File(t, name+".txt", listed(t, f.Score))
	}
}

// listed is what a player may check with the score at hand.
func listed(t *testing.T, s *score.Score) []byte {
	d, _ := read(t, s, dynamics.Options{})
	var b strings.Builder
	for _, g := range d.Page.Whole.Segments {
		fmt.Fprintf(&b, "level %s to %s: %.2f to %.2f, %s (%s)\n", s.At(g.Start), s.At(g.End), g.From, g.To, strings.Join([]string{string(g.Cause.Kind), g.Cause.Text, g.Cause.Mark, g.Cause.Then}, " "), g.Certainty)
	}
	for _, v := range d.Verdicts {
		fmt.Fprintf(&b, "verdict %s to %s: %s %s, tension %.2f level %.2f size %.2f (%s)\n", s.At(v.Start), s.At(v.End), v.Aspect, v.Kind, v.Tension, v.Level, v.Size, v.Certainty)
	}
	fmt.Fprintf(&b, "%s%s%s", golden.Dump(d.Plan.Goals), golden.Dump(d.Plan.Advice), golden.Dump(d.Plan.Proposals))
	return []byte(b.String())
}

func read(t *testing.T, s *score.Score, opt dynamics.Options) (*dynamics.Dynamics, *harmony.Analysis) {
	t.Helper()
	a, err := harmony.Analyse(s, harmony.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d, err := dynamics.Read(s, a, opt)
	if err != nil {
		t.Fatal(err)
	}
	return d, a
}

func TestGoldenMedleys(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(150) {
		s := scoregen.Medley(4, 200+seed)
		all(t, &sums, fmt.Sprint("medley ", seed), s, dynamics.Options{Part: int(seed%4) / 3})
		if seed%2 == 0 {
			inside(t, &sums, fmt.Sprint("medley ", seed), s)
		}
	}
	sums.File(t, "medleys.tsv")
}

func all(t *testing.T, sums *golden.Sums, name string, s *score.Score, opt dynamics.Options) {
	d, a := read(t, s, opt)
	sums.Add(t, name+" page", d.Page)
	sums.Add(t, name+" over", moves(s, d.Page))
	sums.Add(t, name+" verdicts", d.Verdicts)
	sums.Add(t, name+" shaping", d.Shaping)
	sums.Add(t, name+" plan", d.Plan)
	sums.Add(t, name+" levels", dynamics.Levels(s, a, d.Page, d.Shaping))
}

// inside adds what other rooms ask for, and what the proposals are weighed from.
func inside(t *testing.T, sums *golden.Sums, name string, s *score.Score) {
	d, a := read(t, s, dynamics.Options{})
	sums.Add(t, name+" factors", shaping.Measure(s, a, d.Page))
	sums.Add(t, name+" leans", shaping.Leans(s, a))
	sums.Add(t, name+" alike", page.Fingerprints(s))
	m := advice.Material{Score: s, Analysis: a, Page: d.Page, Says: d.Shaping.Says, Beats: advice.Beats(s)}
	for _, x := range d.Shaping.Proposals {
		m.Grid = append(m.Grid, x.At)
	}
	sums.Add(t, name+" ways", m.Ways())
	sums.Add(t, name+" possible moves", m.Moves(d.Plan.Goals))
	sums.Add(t, name+" ends", m.Ends())
	m.Analysis = nil
	sums.Add(t, name+" ways without harmony", m.Ways())
	for part := range s.Parts {
		p := d.Page.Of(part)
		sums.Add(t, fmt.Sprint(name, " page of part ", part), p)
		sums.Add(t, fmt.Sprint(name, " verdicts of part ", part), verdict.Judge(s, a, p))
		sums.Add(t, fmt.Sprint(name, " slopes of part ", part), slopes(s, p))
	}
}

// slopes are the slopes, sudden levels and stresses of the whole and of every two measures.
func slopes(s *score.Score, p *page.Page) (out [][]any) {
	out = append(out, []any{p.Slopes(0, s.Length(), s.Division), p.Jumps(0, s.Length())})
	for i, m := range s.Measures {
		to := s.Measures[min(i+1, len(s.Measures)-1)].End()
		out = append(out, []any{p.Slopes(m.Start, to, s.Division/2), p.Jumps(m.Start, to)})
		for _, at := range m.Every(m.Beat(s.Division)) {
			out = append(out, []any{p.StressAt(at, len(s.Parts)), p.Whole.At(at), p.Whole.Before(at)})
		}
	}
	return out
}

// moves are what the page does over every measure and every four.
func moves(s *score.Score, p *page.Page) (out [][]any) {
	for i, m := range s.Measures {
		out = append(out, []any{p.Over(m.Start, m.End()), p.Over(m.Start, s.Measures[min(i+3, len(s.Measures)-1)].End())})
	}
	return out
}

// The small scores of the page's own cases, with what they do not ask after.
func TestGoldenWritten(t *testing.T) {
	var sums golden.Sums
	for _, name := range []string{"marks.txt", "movements.txt"} {
		for i, put := range puts(t, filepath.Join("page", "testdata", name)) {
			s := written.Score(t, put...)
			p := page.Printed(s, nil)
			sums.Add(t, fmt.Sprint(name, " ", i), p)
			sums.Add(t, fmt.Sprint(name, " ", i, " over"), moves(s, p))
		}
	}
	sums.File(t, "written.tsv")
}

// puts are the items of every case of a file.
func puts(t *testing.T, path string) (out [][]string) {
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if text, ok := strings.CutPrefix(lines.Text(), "put:"); ok {
			var items []string
			for _, item := range strings.Split(text, ";") {
				if item = strings.TrimSpace(item); item != "" {
					items = append(items, item)
				}
			}
			out = append(out, items)
		}
	}
	return out
}
