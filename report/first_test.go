package report

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// voice is a line of half beats in 4/4, steps above C4; rest is silence.
type voice []int

const rest = -99

// small is a reading of a small score, with what sounds when.
func small(voices ...voice) *Reading {
	const half = 2
	s := &score.Score{Division: 2 * half, Parts: []score.Part{{ID: "P1", Staves: 1}}}
	for v, line := range voices {
		for i, step := range line {
			if step == rest {
				continue
			}
			s.Notes = append(s.Notes, score.Note{Onset: score.Tick(half * i), Duration: half, Staff: 1, Voice: v + 1, Measure: i / 8,
				Pitch: score.Pitch{Step: (step + 70) % 7, Octave: (step+70)/7 - 6}})
		}
		for 8*len(s.Measures) < len(line) {
			n := len(s.Measures)
			s.Measures = append(s.Measures, score.Measure{Number: strconv.Itoa(n + 1), Start: score.Tick(16 * n), Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4})
		}
	}
	slices.SortStableFunc(s.Notes, func(a, b score.Note) int {
		return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.Pitch.Key(), b.Pitch.Key()))
	})
	return &Reading{Score: s, Page: &page.Page{}, To: s.Length(), Harmony: &harmony.Analysis{Slices: tonal.Slices(s, 0)}}
}

// times is a line over and over.
func times(n int, v voice) voice { return slices.Concat(slices.Repeat([]voice{v}, n)...) }

// moved is a line some steps higher.
func moved(v voice, by int) voice {
	out := slices.Clone(v)
	for i, x := range out {
		if x != rest {
			out[i] = x + by
		}
	}
	return out
}

// The tune that comes back as the lowest voice is in the bass (common practice, no
// source): two octaves lower under held chords it is, an octave lower in the middle it is not.
func TestTuneInTheBass(t *testing.T) {
	tune := voice{4, rest, 5, 6, 4, 2, rest, 3}
	other := times(4, voice{0, rest, rest, rest, 1, rest, rest, rest})
	high, deep := moved(other, 14), moved(times(5, voice{0, rest, rest, rest, 0, rest, rest, rest}), -21)
	filler := voice{8, 8, 7, 7, 8, 8, 7, 7}
	top := slices.Concat(tune, times(4, filler), filler)
	for want, low := range map[string]voice{
		"the tune is in the bass in m. 6": slices.Concat(deep, moved(tune, -14)),
		"":                                slices.Concat(deep, voice{-21, -21, -21, -21, -21, -21, -21, -21}),
	} {
		if got := small(top, slices.Concat(high, high), low).bassTune(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	under := slices.Concat(times(5, voice{-7, -7, -7, -7, -7, -7, -7, -7}), moved(tune, -7))
	if got := small(top, under, moved(times(6, voice{0, 0, 0, 0, 0, 0, 0, 0}), -21)).bassTune(); got != "" {
		t.Errorf("in the middle: %q", got)
	}
}

// A figure that the upper line says four times or more over eight measures is told, whatever
// the bass does; three times are not (common practice, no source).
func TestSameFigureAgain(t *testing.T) {
	two := voice{7, 8, 9, 8, 7, 6, 5, 6, 4, 5, 6, 5, 4, 3, 2, 3}
	bass := voice{-7, rest, rest, rest, -5, rest, rest, rest}
	for n, want := range map[int]string{4: "in mm. 1–8 the upper line says the same two measures four times: decide what changes", 3: ""} {
		low := voice{}
		for i := range 2 * n {
			low = append(low, moved(bass, -i%3)...)
		}
		if got := small(append(times(n, two), times(2, moved(bass, 20))...), append(low, times(2, bass)...)).sameAgain(); got != want {
			t.Errorf("%d times: %q", n, got)
		}
	}
}

// The highest note of the tune under a soft mark is a quiet summit; under a loud one, or
// as a passing note, it is none (common practice, no source).
func TestQuietSummit(t *testing.T) {
	line := times(4, voice{0, 1, 2, 3, 4, 3, 2, 1})
	line[16] = 12
	r := small(line)
	i := slices.IndexFunc(r.Score.Notes, func(n score.Note) bool { return n.Onset == 32 })
	set := func(mark string, level float64, long score.Tick) {
		r.Page = &page.Page{Marked: true, Range: page.Range{Low: page.PP, High: page.F}, Zones: []page.Zone{{Start: 32, End: 48, Text: mark, Level: level}}}
		r.Score.Notes[i].Duration = long
	}
	set("pp", page.PP, 4)
	if got := r.quietTop(); got != "the top of the tune, A5 in m. 3, is printed pp: the quiet summit, not to be forced" {
		t.Errorf("%q", got)
	}
	if set("f", page.F, 4); r.quietTop() != "" {
		t.Error("a loud top is a quiet summit")
	}
	if set("pp", page.PP, 2); r.quietTop() != "" {
		t.Error("a passing note is a summit")
	}
}

// A change is sudden only between two printed marks, and a spring only without a
// crescendo before it (common practice, no source).
func TestSuddenIsPrinted(t *testing.T) {
	r := small(times(4, voice{0, 1, 2, 3, 4, 3, 2, 1}))
	up := page.Contrast{At: 32, Kind: page.Subito, From: page.P, To: page.F}
	mark := func(at score.Tick, text string, level float64) page.Zone {
		return page.Zone{Start: at, End: at + 16, Text: text, Level: level}
	}
	r.Page = &page.Page{Zones: []page.Zone{mark(0, "p", page.P), mark(32, "f", page.F)}}
	if !r.switches(up) {
		t.Error("p, then f at once, is a spring")
	}
	r.Score.Hairpins = []score.Hairpin{{Span: score.Span{Start: 16, End: 24}, Kind: score.Crescendo}}
	if r.switches(up) {
		t.Error("a crescendo leads there")
	}
	r.Score.Hairpins = nil
	r.Page.Zones[0].Text = ""
	if r.switches(up) {
		t.Error("no p is printed")
	}
	r.Page.Zones = []page.Zone{mark(0, "p", page.P), mark(48, "f", page.F)}
	if r.switches(up) {
		t.Error("the f stands elsewhere")
	}
}

// The last chord of a piece in minor with a raised third is told with that tone (common
// practice, no source); one in major, and a minor end, are not.
func TestMajorEndIsTold(t *testing.T) {
	r := reading(t, "etude-millrace")
	if got := r.majorEnd(); got != "the last chord is major: hear its F#, from m. 44 on" {
		t.Errorf("%q", got)
	}
	chords := r.Harmony.Chords
	last := &chords[len(chords)-1]
	chords[len(chords)-2].Bass = last.Root // a plagal close over the tonic, which stands since 42
	chords[len(chords)-3].Root, chords[len(chords)-3].Quality = last.Root, tonal.Major
	if got := r.majorEnd(); !strings.HasSuffix(got, "from m. 42 on") {
		t.Errorf("over the tonic: %q", got)
	}
	last.Quality = tonal.Minor
	if got := r.majorEnd(); got != "" {
		t.Errorf("a minor end: %q", got)
	}
	if got := reading(t, "song-ferry-lamp").majorEnd(); got != "" {
		t.Errorf("a piece in major: %q", got)
	}
}
