package report

import (
	"strings"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// Only what works against the harmony is asked about, and a swell is no silence.
func TestVerdictSentences(t *testing.T) {
	r, err := New(demo.Score(t, "etude-millrace"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	up := verdict.PageMove{Move: page.Move{Kind: page.Grows, FromMark: "p", ToMark: "f"}, Way: verdict.Up}
	open := verdict.PageMove{Move: page.Move{Kind: page.Grows, FromMark: "ff", To: 8}, Way: verdict.Up}
	down := verdict.PageMove{Move: page.Move{Kind: page.Falls, FromMark: "f", ToMark: "p"}, Way: verdict.Down}
	swell := verdict.PageMove{Move: page.Move{Kind: page.Swells, FromMark: "p", Peak: 4}, Swell: 1}
	steps := verdict.PageMove{Move: page.Move{Kind: page.Terraced, FromMark: "f", ToMark: "p"}}
	back := verdict.PageMove{Move: page.Move{Kind: page.Terraced, FromMark: "f", ToMark: "f", PeakMark: "p", Jumps: 2}}
	turns := verdict.PageMove{Move: page.Move{Kind: page.Terraced, FromMark: "f", ToMark: "p", PeakMark: "p", Jumps: 3}}
	builds, rests := verdict.HarmonyMove{Way: verdict.Up}, verdict.HarmonyMove{Way: verdict.Down}
	eases := verdict.HarmonyMove{Way: verdict.Down, To: 40}
	end := r.Score.Measures[1].End()
	home, within, applied := onto(1, verdict.Down), onto(1, verdict.Down), verdict.HarmonyMove{Waits: true}
	home.Onto.Start, within.Onto.Start = end, end-1
	applied.Onto = &tonal.Chord{Numeral: tonal.Numeral{Degree: 5, Target: 5, Quality: tonal.Major}}
	for _, c := range []struct {
		v    verdict.Verdict
		want string
	}{
		{verdict.Verdict{Kind: verdict.Supports, Harmony: builds, Page: up}, "In measures 1–2, the harmony grows more tense, and the print grows from p to f: let both grow together."},
		{verdict.Verdict{Kind: verdict.Supports, Harmony: builds, Page: open}, "In measures 1–2, the harmony grows more tense, and the print has a crescendo from ff: let both grow together."},
		{verdict.Verdict{Kind: verdict.Supports, Harmony: rests, Page: down}, "In measures 1–2, the harmony comes to rest, and the print falls from f to p: let the sound relax with it."},
		{verdict.Verdict{Kind: verdict.Supports, Harmony: onto(5, verdict.Down), Page: down}, "In measures 1–2, the harmony settles on the dominant, and the print falls from f to p: let the sound relax, and leave the end open."},
		{verdict.Verdict{Kind: verdict.Supports, Harmony: onto(1, verdict.Down), Page: down}, "In measures 1–2, the harmony comes to rest, and the print falls from f to p: let the sound relax with it."},
		{verdict.Verdict{Kind: verdict.Supports, Harmony: onto(6, verdict.Down), Page: down}, "In measures 1–2, the harmony eases without coming to rest, and the print falls from f to p: let the sound relax with it."},
		{verdict.Verdict{Kind: verdict.Supports, Harmony: verdict.HarmonyMove{}, Page: swell, Swells: true}, "In measures 1–2, the harmony tightens and eases again, and the print swells from p and comes back on the way: let it be fullest where the harmony is most tense."},
		{verdict.Verdict{Kind: verdict.Supports, Harmony: home, Page: down}, "In measures 1–2, the harmony resolves to I at 3:1, and the print falls from f to p: let the sound relax with it."},
		{verdict.Verdict{Kind: verdict.Supports, Harmony: within, Page: down}, "In measures 1–2, the harmony comes to rest, and the print falls from f to p: let the sound relax with it."},
		{verdict.Verdict{Kind: verdict.WorksAgainst, Harmony: applied, Page: down}, "In measures 1–2, V/V waits and wants to go on, but the print falls from f to p: contrast intended? Then keep the line alive in the softer sound."},
		{verdict.Verdict{Kind: verdict.WorksAgainst, Harmony: eases, Page: up}, "In measures 1–2, the harmony eases without coming to rest, but the print grows from p to f: contrast intended? Then let the sound, not the chord, drive on."},
		{verdict.Verdict{Kind: verdict.WorksAgainst, Harmony: verdict.HarmonyMove{Waits: true}, Page: down}, "In measures 1–2, the dominant waits and wants to go on, but the print falls from f to p: contrast intended? Then keep the line alive in the softer sound."},
		{verdict.Verdict{Kind: verdict.Unshaped, Harmony: builds, Page: swell, Swells: true}, "In measures 1–2, the harmony grows more tense, and the print swells from p and comes back on the way: let the line arrive, not only the swell."},
		{verdict.Verdict{Kind: verdict.Unshaped, Harmony: rests}, "In measures 1–2, the harmony comes to rest, and nothing is printed for it: let the sound relax a little."},
		{verdict.Verdict{Kind: verdict.Unshaped, Harmony: rests, Page: steps}, "In measures 1–2, the harmony comes to rest, and the print changes at once from f to p, which is no slope: keep each level, and let the line lead."},
		{verdict.Verdict{Kind: verdict.Unshaped, Harmony: rests, Page: back}, "In measures 1–2, the harmony comes to rest, and the print changes at once from f to p and back, which is no slope: keep each level, and let the line lead."},
		{verdict.Verdict{Kind: verdict.Unshaped, Harmony: rests, Page: turns}, "In measures 1–2, the harmony comes to rest, and the print alternates f and p, which is no slope: keep each level, and let the line lead."},
		{verdict.Verdict{Kind: verdict.Independent, Page: up, SixFour: true}, "In measures 1–2, the print grows from p to f into a cadential six-four, which still waits for its dominant: nothing is let go yet."},
		{verdict.Verdict{Kind: verdict.Calm, Harmony: verdict.HarmonyMove{From: 84, To: 85}, Page: verdict.PageMove{Move: page.Move{Kind: page.Silent, FromMark: "ff"}}}, "In measures 1–2, neither harmony nor printed loudness moves: ff is held and so is the tension: keep it, and shape the line by its melody."},
	} {
		c.v.Harmony.End, c.v.Aspect = end, verdict.OverSpan
		got := r.VerdictSentence(c.v)
		if got != c.want {
			t.Errorf("says %q\nwant %q", got, c.want)
		}
		if c.v.Harmony.Onto == home.Onto {
			phrases, cadences := r.Harmony.Phrases, r.Harmony.Cadences
			r.Harmony.Phrases, r.Harmony.Cadences = []phrasing.Phrase{{End: end}}, []phrasing.Cadence{{Kind: phrasing.Half}}
			if got := r.VerdictSentence(c.v); !strings.Contains(got, "the harmony settles on the dominant, and") {
				t.Errorf("a tonic after a half cadence resolves it: %s", got)
			}
			r.Harmony.Phrases, r.Harmony.Cadences = phrases, cadences
		}
		if asks := strings.Contains(got, "contrast intended?"); asks != (c.v.Kind == verdict.WorksAgainst) {
			t.Errorf("%s: %s", c.v.Kind, got)
		}
	}
}

// onto is a move to a triad of C major.
func onto(degree int, way verdict.Way) verdict.HarmonyMove {
	n := tonal.Numeral{Degree: degree, Quality: tonal.Major}
	return verdict.HarmonyMove{Way: way, Onto: &tonal.Chord{Numeral: n}}
}

// What the print prints, in a row of the table: there and back names both levels.
func TestPageInARow(t *testing.T) {
	r := &Reading{Page: &page.Page{Marked: true}}
	for _, c := range []struct {
		m    page.Move
		want string
	}{
		{page.Move{Kind: page.Terraced, FromMark: "f", ToMark: "p", PeakMark: "p", Jumps: 1}, "f, p"},
		{page.Move{Kind: page.Terraced, FromMark: "f", ToMark: "f", PeakMark: "p", Jumps: 2}, "f, p, f"},
		{page.Move{Kind: page.Grows, FromMark: "p", ToMark: "f"}, "p < f"},
		{page.Move{Kind: page.Silent}, "–"},
	} {
		if got := r.printed(verdict.Verdict{Page: verdict.PageMove{Move: c.m}}); got != c.want {
			t.Errorf("%+v is %q, want %q", c.m, got, c.want)
		}
	}
}

// What the harmony does, in a row of the table.
func TestHarmonyInARow(t *testing.T) {
	for _, c := range []struct {
		m    verdict.HarmonyMove
		want string
	}{
		{verdict.HarmonyMove{From: 12, To: 58, Way: verdict.Up}, "builds, 12 to 58"},
		{verdict.HarmonyMove{From: 9, To: 8}, "holds, 9 to 8"},
		{verdict.HarmonyMove{From: 58, To: 12, Way: verdict.Down}, "releases, 58 to 12"},
		{verdict.HarmonyMove{From: 58, To: 12, Waits: true}, "waits, 58 to 12"},
		{verdict.HarmonyMove{From: 58, To: 12, Way: verdict.Up}, "builds"},
		{verdict.HarmonyMove{From: 9, To: 48}, "holds"},
	} {
		if got := HarmonyDoes(c.m); got != c.want {
			t.Errorf("says %q, want %q", got, c.want)
		}
	}
}

// A hairpin within a measure is a shade and asks nothing; one that leads to another
// mark, or lasts longer, does (common practice, no source).
func TestShadeWithinAMeasure(t *testing.T) {
	for _, c := range []struct {
		beats score.Tick
		to    string
		level float64
		asks  bool
	}{{1, "p", page.MP, false}, {4, "", page.MP, false}, {4, "f", page.F, true}, {4, "", page.F, true}, {6, "", page.MP, true}} {
		s := &score.Score{Division: 1}
		for i := range score.Tick(4) {
			s.Measures = append(s.Measures, score.Measure{Number: string(rune('1' + i)), Start: 4 * i, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
		}
		r := &Reading{Score: s, Harmony: &harmony.Analysis{}, Page: &page.Page{Marked: true, Whole: page.Curve{Part: -1, Segments: []page.Segment{
			{End: 4, From: page.P, To: page.P}, {Start: 4, End: 4 + c.beats, From: page.P, To: c.level, Slope: 1}, {Start: 4 + c.beats, End: 16, From: c.level, To: c.level}}}}}
		v := verdict.Verdict{Kind: verdict.WorksAgainst, Aspect: verdict.OverSpan, Start: 4, End: 12,
			Page: verdict.PageMove{Move: page.Move{Kind: page.Grows, FromMark: "p", ToMark: c.to}, Way: verdict.Up}}
		if got := r.Contrast(v); got != c.asks {
			t.Errorf("%d beats to %q: asks %v", c.beats, c.to, got)
		}
	}
}

// A crescendo over harmony that is tense until its last beat grows into the arrival, and asks
// nothing; one over harmony that lets go at once does (common practice, no source).
func TestGrowthIntoTheArrival(t *testing.T) {
	for _, c := range []struct {
		tension []float64
		asks    bool
	}{{[]float64{80, 90, 85, 10}, false}, {[]float64{80, 10, 10, 10}, true}} {
		r := &Reading{Score: &score.Score{Division: 1}, Harmony: &harmony.Analysis{}, Page: &page.Page{Marked: true, Whole: page.Curve{Part: -1}}}
		for i := range score.Tick(4) {
			r.Score.Measures = append(r.Score.Measures, score.Measure{Number: string(rune('1' + i)), Start: 4 * i, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
			r.Harmony.Moments = append(r.Harmony.Moments, tension.Moment{Start: 4 * i, End: 4*i + 4, Tension: tonal.Tension{Total: c.tension[i]}})
		}
		v := verdict.Verdict{Kind: verdict.WorksAgainst, Aspect: verdict.OverSpan, End: 16, Harmony: verdict.HarmonyMove{Way: verdict.Down},
			Page: verdict.PageMove{Move: page.Move{Kind: page.Grows, FromMark: "p", ToMark: "f"}, Way: verdict.Up}}
		if got := r.Contrast(v); got != c.asks {
			t.Errorf("%v: asks %v", c.tension, got)
		}
	}
}
