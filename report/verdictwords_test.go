package report

import (
	"strings"
	"testing"

	"hairpin/dynamics/verdict"
	"hairpin/report/internal/demo"
)

// Only what works against the harmony is asked about, and a swell is no silence.
func TestVerdictSentences(t *testing.T) {
	r, err := New(demo.Score(t, "etude-millrace"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	up, down := verdict.PageMove{From: 3, Change: 3, Way: verdict.Up, Peak: 6}, verdict.PageMove{From: 6, Change: -3, Way: verdict.Down, Peak: 3}
	swell := verdict.PageMove{From: 3, Peak: 4, Swell: 1}
	end := r.Score.Measures[1].End()
	for _, c := range []struct {
		v    verdict.Verdict
		want string
	}{
		{verdict.Verdict{Kind: verdict.Supports, Tension: 30, Page: up}, "In measures 1–2, the harmony, and the page grows from p to f: let both grow together."},
		{verdict.Verdict{Kind: verdict.Supports, Tension: -30, Page: down}, "In measures 1–2, the harmony comes to rest, and the page falls from f to p: let the sound relax with it."},
		{verdict.Verdict{Kind: verdict.WorksAgainst, Tension: -30, Page: up, Harmony: verdict.HarmonyMove{To: 40}}, "In measures 1–2, the harmony eases without coming to rest, but the page grows from p to f: contrast intended? Then let the sound, not the chord, drive on."},
		{verdict.Verdict{Kind: verdict.Unshaped, Tension: 30, Page: swell, Swells: true}, "In measures 1–2, the harmony, and the page swells from p to mp and comes back on the way: let the line arrive, not only the swell."},
		{verdict.Verdict{Kind: verdict.Unshaped, Tension: -30}, "In measures 1–2, the harmony comes to rest, and the page is silent about it: let the sound relax a little."},
		{verdict.Verdict{Kind: verdict.Independent, Page: up, SixFour: true}, "In measures 1–2, the page grows from p to f into a cadential six-four, which still waits for its dominant: nothing is let go yet."},
	} {
		c.v.Harmony.End, c.v.Aspect = end, verdict.OverSpan
		got := r.VerdictSentence(c.v)
		if got != c.want {
			t.Errorf("says %q\nwant %q", got, c.want)
		}
		if asks := strings.Contains(got, "contrast intended?"); asks != (c.v.Kind == verdict.WorksAgainst) {
			t.Errorf("%s: %s", c.v.Kind, got)
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
	} {
		if got := HarmonyDoes(c.m); got != c.want {
			t.Errorf("says %q, want %q", got, c.want)
		}
	}
}
