package report

import (
	"strings"
	"testing"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// The arrival kept for a refused close is the first full close in its key: a doubtful one
// before a sure one leaves it unsaid, one in another key does not.
func TestArrivalIsTheFirstClose(t *testing.T) {
	home, other := tonal.Key{Tonic: 3}, tonal.Key{Tonic: 4}
	for _, c := range []struct {
		key  tonal.Key
		sure float64
		at   score.Tick
		ok   bool
	}{{home, 0.5, 0, false}, {home, 0.99, 8, true}, {other, 0.5, 16, true}} {
		r := &Reading{Harmony: &harmony.Analysis{Cadences: []phrasing.Cadence{
			{At: 8, Kind: phrasing.PerfectAuthentic, Key: c.key, Confidence: c.sure}, {At: 16, Kind: phrasing.PerfectAuthentic, Key: home, Confidence: 0.99}}}}
		if at, ok := r.realClose(events.Event{Start: 4, Key: home}); at != c.at || ok != c.ok {
			t.Errorf("%+v: %d, %v", c, at, ok)
		}
	}
}

// A slope leads to a mark of its own measures, not to one that stands before them.
func TestQuotedMarkStandsThere(t *testing.T) {
	r := reading(t, "etude-millrace")
	ms := r.Score.Measures
	for i, want := range map[int]string{1: "has a diminuendo from f", 4: "falls from f to p", 5: "falls from f to p"} {
		r.Page.Zones = []page.Zone{{Start: ms[i].Start, End: r.Score.Length(), Text: "p", Level: page.P}}
		v := verdict.Verdict{Start: ms[4].Start + 1, End: ms[5].Start, Page: verdict.PageMove{Move: page.Move{Kind: page.Falls, FromMark: "f", ToMark: "p"}}}
		if got := r.pageDoes(v); got != want {
			t.Errorf("p in measure %d: %q, want %q", i+1, got, want)
		}
	}
}

// An appoggiatura that is short, or in the measure before a full close, needs no word; a long
// one elsewhere does, and so does a suspension (common practice, no source).
func TestOrnamentsAreNotTold(t *testing.T) {
	s := &score.Score{Division: 4, Measures: []score.Measure{{Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4}, {Start: 16, Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4}},
		Notes: []score.Note{{Duration: 4}, {Onset: 4, Duration: 4}}}
	for _, c := range []struct {
		name  string
		kind  events.Kind
		long  score.Tick
		close score.Tick
		want  bool
	}{{"long", events.Appoggiatura, 4, 31, false}, {"short", events.Appoggiatura, 3, 31, true}, {"at a close", events.Appoggiatura, 4, 16, true}, {"suspension", events.Suspension, 3, 16, false}} {
		s.Notes[0].Duration = c.long
		r := &Reading{Score: s, Harmony: &harmony.Analysis{Cadences: []phrasing.Cadence{{At: c.close, Kind: phrasing.PerfectAuthentic}}}}
		if got := r.ornament(events.Event{Kind: c.kind, Notes: []int{0, 1}}); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Without a printed mark no mark is to be kept for the climax.
func TestOnlyAPrintedMarkIsKept(t *testing.T) {
	r := reading(t, "etude-millrace")
	r.Page.Zones = nil
	p := advice.Proposal{Start: 0, From: page.P, Peak: page.MF, End: r.Score.Length()}
	c := advice.Climax{At: r.Score.Measures[4].Start, Level: page.MF}
	for mark, want := range map[string]string{"": "and be fullest there.", "f": "keep f for there"} {
		c.Mark = mark
		if got := r.leadText(c, p); !strings.Contains(got, want) {
			t.Errorf("%q: %q", mark, got)
		}
	}
}

// A recapitulation that brings the opening in another key is told; one at home, or of other
// music, is not. Sonata K. 545 does so in the subdominant (Rosen 1988, "Sonata Forms", from memory).
func TestReturnInAStrangeKey(t *testing.T) {
	s := &score.Score{Division: 1}
	for i := range 8 {
		s.Measures = append(s.Measures, score.Measure{Start: score.Tick(4 * i), Length: 4})
	}
	c, f := tonal.Key{}, tonal.Key{}
	f.Tonic = c.Tonic - 1
	for _, x := range []struct {
		key   tonal.Key
		moved int
		from  score.Tick
		want  bool
	}{{f, 5, 0, true}, {c, 5, 0, false}, {f, 0, 0, false}, {f, 5, 12, false}} {
		h := &harmony.Analysis{Home: c, Keys: []tonal.KeySpan{{Start: 0, End: 32, Key: x.key}}}
		h.Form.Sections = []form.Section{{Name: form.Exposition, Span: form.Span{End: 16}}, {Name: form.Recapitulation, Span: form.Span{Start: 16, End: 32}}}
		h.Form.Returns = []form.Return{{First: form.Span{Start: x.from, End: x.from + 4}, Again: form.Span{Start: 16, End: 20}, Semitones: x.moved, Certainty: 0.99}}
		if got := (&Reading{Score: s, Harmony: h}).strangeReturn(); (got != "") != x.want {
			t.Errorf("%+v: %q", x, got)
		}
		h.Form.Sections[1].Subdominant = true // told with the form
		if got := (&Reading{Score: s, Harmony: h}).strangeReturn(); got != "" {
			t.Errorf("%+v: %q", x, got)
		}
	}
}
