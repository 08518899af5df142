package advice

import (
	"slices"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// barsOf are the barred beats of the first phrase, which ends at 16 unless said; another follows to 32.
func barsOf(start, cadence score.Tick, kind phrasing.CadenceKind, g ...page.Segment) []int {
	a := &harmony.Analysis{Phrases: []phrasing.Phrase{{Start: start, End: 16, Cadence: -1}, {Start: 16, End: 32, Cadence: -1}}}
	if cadence > 0 {
		a.Phrases[0].Cadence, a.Cadences = 0, []phrasing.Cadence{{At: cadence, Kind: kind}}
	}
	s := melody(make([]int, 32)...)
	m := Material{Score: s, Analysis: a, Page: along(g...), Beats: Beats(s)}
	var out []int
	for i, x := range m.Ways()[0].Barred {
		if x {
			out = append(out, int(m.Ways()[0].Beats[i]))
		}
	}
	return out
}

// Nobody goes to the upbeat, the first beat, past a full close, to a sudden p, to the measure
// of the sudden f that sets out anew at half the phrase, or to the one with which the next
// phrase starts (common practice, no source); but to a downbeat that the
// upbeat grows to, to a close itself, past a half close, to an f that is over with the
// phrase, and to one that the page grows to.
func TestBarredBeats(t *testing.T) {
	flat := page.Segment{End: 32, From: page.P, To: page.P}
	step := func(at, end score.Tick) []page.Segment {
		return []page.Segment{{End: at, From: page.P, To: page.P}, {Start: at, End: end, From: page.F, To: page.F}, {Start: end, End: 32, From: page.P, To: page.P}}
	}
	for _, c := range []struct {
		name       string
		start, end score.Tick
		kind       phrasing.CadenceKind
		page       []page.Segment
		want       []int
	}{
		{"the first beat", 0, 0, "", []page.Segment{flat}, []int{0}},
		{"upbeat and downbeat", 3, 0, "", []page.Segment{flat}, []int{3, 4}},
		{"an upbeat that grows", 3, 0, "", []page.Segment{{End: 3, From: page.P, To: page.P}, {Start: 3, End: 4, From: page.P, To: page.F, Slope: 1}, {Start: 4, End: 32, From: page.F, To: page.F}}, []int{3}},
		{"past a full close", 0, 13, phrasing.PerfectAuthentic, []page.Segment{flat}, []int{0, 14, 15}},
		{"past a half close", 0, 13, phrasing.Half, []page.Segment{flat}, []int{0}},
		{"the next phrase's f", 0, 0, "", step(15, 32), []int{0, 15}},
		{"an f of its own", 0, 0, "", step(15, 16), []int{0}},
		{"an f on the close", 0, 15, phrasing.PerfectAuthentic, step(15, 32), []int{0}},
		{"a sudden p", 0, 0, "", []page.Segment{{End: 6, From: page.F, To: page.F}, {Start: 6, End: 32, From: page.P, To: page.P}}, []int{0, 6}},
		{"the second half louder at once", 0, 0, "", step(8, 16), []int{0, 8, 9, 10, 11}},
		{"a later measure louder at once", 0, 0, "", step(12, 16), []int{0}},
		{"an f that is grown to", 0, 0, "", []page.Segment{{End: 12, From: page.P, To: page.P}, {Start: 12, End: 15, From: page.P, To: page.MP, Slope: 1}, {Start: 15, End: 32, From: page.F, To: page.F}}, []int{0}},
	} {
		if got := barsOf(c.start, c.end, c.kind, c.page...); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Three measures go nowhere, nor does the end of the piece where the page stays soft and
// never grows; four measures and an end that grows or is loud may (common practice, no source).
func TestLack(t *testing.T) {
	n := make([]score.Tick, 12)
	soft, grows, loud := make([]float64, 12), slices.Repeat([]float64{page.P}, 12), slices.Repeat([]float64{page.F}, 12)
	for i := range soft {
		soft[i] = page.P
	}
	grows[7] = page.MF
	for i, c := range []struct {
		way  Way
		want Lack
	}{
		{Way{Beats: n, Measures: 3}, Short}, {Way{Beats: n, Measures: 4}, ""},
		{Way{Beats: n, Measures: 4, Closing: true, Printed: soft}, Rests}, {Way{Beats: n, Measures: 4, Printed: soft}, ""},
		{Way{Beats: n, Measures: 4, Closing: true, Printed: grows}, ""}, {Way{Beats: n, Measures: 4, Closing: true, Printed: loud}, ""},
	} {
		c.way.Bars = make([]int, 12)
		if got := c.way.Lack(6); got != c.want {
			t.Errorf("%d: %q, want %q", i, got, c.want)
		}
	}
}

// The goal is the mark, accent or top note within the tolerance of the likeliest place, not
// the place beside it; not one that is barred, and none that lies further off (common practice, no source).
func TestGoalIsAtItsPoint(t *testing.T) {
	w := Way{Beats: make([]score.Tick, 12), Points: make([]bool, 12), Barred: make([]bool, 12)}
	for _, c := range []struct {
		point, want int
		barred      bool
	}{{7, 7, false}, {5, 5, false}, {7, 6, true}, {9, 6, false}} {
		clear(w.Points)
		clear(w.Barred)
		w.Points[c.point], w.Barred[c.point] = true, c.barred
		if got := w.pointed(6); got != c.want {
			t.Errorf("a point at %d, barred %v: %d, want %d", c.point, c.barred, got, c.want)
		}
	}
}

// A beat that the page grows to is where a phrase goes, though all falls after it; one that
// is as loud as the start is where it falls from (common practice, no source).
func TestGrowthIsNoFall(t *testing.T) {
	w := Way{Beats: make([]score.Tick, 12), Bars: make([]int, 12), Printed: slices.Repeat([]float64{page.P}, 12)}
	w.Printed[2], w.Printed[3] = page.MF, page.F
	if w.fades(3) {
		t.Error("a growth in the first third is told as a fall")
	}
	w.Printed[0], w.Printed[1], w.Printed[2] = page.F, page.F, page.F
	if !w.fades(3) {
		t.Error("a fall from the start is not told")
	}
}

// A phrase that is loud from its start, falls and grows again goes to nothing in its first
// measure; it may go to a beat that the page grows to, and to the second measure (common practice, no source).
func TestStartIsNoGoal(t *testing.T) {
	w := Way{Beats: make([]score.Tick, 16), Bars: make([]int, 16), Measures: 4, Printed: slices.Repeat([]float64{page.MF}, 16)}
	for i := range w.Bars {
		w.Bars[i] = i / 4
	}
	w.Printed[9], w.Printed[15] = page.PP, page.MP
	for at, want := range map[int]Lack{1: Turns, 3: Turns, 4: ""} {
		if got := w.Lack(at); got != want {
			t.Errorf("beat %d: %q, want %q", at, got, want)
		}
	}
	w.Printed[0] = page.MP
	if got := w.Lack(1); got != "" {
		t.Errorf("a beat that the page grows to: %q", got)
	}
}

// The same tune a fifth higher, but for one note, goes to the same place, and is as sure (common practice, no
// source); a tune of other steps need not.
func TestTransposedSameGoal(t *testing.T) {
	tune := []int{0, 1, 2, 3, 4, 5, 9, 7, 6, 5, 4, 3, 2, 1, 0, 0}
	for _, c := range []struct {
		change func(i, x int) int
		same   bool
	}{{func(_, x int) int { return x + 4 }, true}, {func(i, x int) int { return x + 1 + 5*((i+1)%4) }, false}} {
		second := make([]int, len(tune))
		for i, x := range tune {
			second[i] = c.change(i, x)
		}
		s := melody(append(slices.Clone(tune), second...)...)
		p := along(page.Segment{End: 28, From: page.P, To: page.P}, page.Segment{Start: 28, End: 32, From: page.MF, To: page.MF})
		g := inPhrases(t, s, p, 16).Goals
		if same := g[0].At == g[1].At-16 && g[0].Certainty == g[1].Certainty; same != c.same {
			t.Errorf("goals %+v and %+v", g[0], g[1])
		}
	}
}

// Of the line's own notes the highest is its top, wherever it comes again.
func TestTopOfTheLine(t *testing.T) {
	s := melody(0, 2, 5, 2, 0, 5, 1, 0)
	m := Material{Score: s, Page: along(), Beats: Beats(s)}
	if got := m.tops(Way{Start: 0, End: 8, Beats: m.Beats}); !slices.Equal(got, []float64{0, 0, 1, 0, 0, 1, 0, 0}) {
		t.Errorf("%v", got)
	}
}

// Where the likeliest beat is barred the phrase goes to the likeliest of the others, not to
// the one beside it; phrases of the same notes go to one place, save where it is barred.
func TestGoalAmongFreeBeats(t *testing.T) {
	w := Way{Beats: make([]score.Tick, 12), Values: [][]float64{{9, 0, 0, 0, 0, 0, 0, 0, 6, 0, 0, 0}}, Barred: make([]bool, 12)}
	w.Barred[0], w.Barred[1] = true, true
	for i := range w.Beats {
		w.Beats[i] = score.Tick(i)
	}
	if at, _, _ := w.Goal([]float64{1}); at != 8 {
		t.Errorf("the goal is %d, want 8", at)
	}
	ways, again := []Way{w, w, w}, slices.Clone(w.Barred)
	again[8] = true
	ways[2].Barred = again
	goals := []Goal{{At: 8}, {At: 5, Lack: Vague}, {At: 5}}
	if (&Table{Weights: []float64{1}, Slope: 1}).share(ways, goals); goals[1].At != 8 || !goals[1].Told() || goals[2].At != 5 {
		t.Errorf("%+v", goals)
	}
}

// The goal of a sung phrase is the voice's (common practice, no source): not where it rests,
// and at its own top beside a higher accompaniment. An interlude is nobody's.
func TestSungPhraseGoesWithItsVoice(t *testing.T) {
	s := melody(make([]int, 16)...)
	for i := range s.Notes {
		s.Notes[i].Part = 1
	}
	for _, at := range []score.Tick{0, 1, 2, 3, 4, 5, 6, 7, 8, 9} {
		step := map[score.Tick]int{5: 3}[at]
		s.Notes = append(s.Notes, score.Note{Onset: at, Duration: 1, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: step, Octave: 4}})
	}
	slices.SortStableFunc(s.Notes, func(a, b score.Note) int { return int(a.Onset - b.Onset) })
	s.Syllables = []score.Syllable{{Place: score.Place{At: 0}, Voice: 1}}
	m := Material{Score: s, Page: along(page.Segment{End: 16, From: page.P, To: page.P}), Beats: Beats(s)}
	w := m.Ways()[0]
	if !w.Rests[12] || w.Rests[5] || !w.Barred[12] || w.Barred[5] {
		t.Errorf("rests %v, barred %v", w.Rests, w.Barred)
	}
	if w.Top != 5 || w.crowned(7) != 5 || w.crowned(8) != 8 {
		t.Errorf("top %d; %d and %d for 7 and 8", w.Top, w.crowned(7), w.crowned(8))
	}
	s.Notes = slices.DeleteFunc(s.Notes, func(n score.Note) bool { return n.Part == 0 && n.Onset > 3 })
	if w := m.Ways()[0]; w.Sung != nil || w.Rests != nil {
		t.Errorf("an interlude is sung by %v", w.Sung)
	}
}
