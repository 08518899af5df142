package report

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// stretchOf is a verdict on a stretch.
func stretchOf(from, to score.Tick, k verdict.Kind) verdict.Verdict {
	return verdict.Verdict{Start: from, End: to, Aspect: verdict.OverSpan, Kind: k}
}

// Stretches that overlap are cut where the next begins, those outside of what is shown are
// left out, and their time is shared in percent of what is shown.
func TestSharesOfTime(t *testing.T) {
	r := &Reading{Score: &score.Score{Division: 1}, From: 10, To: 50, Verdicts: []verdict.Verdict{
		stretchOf(0, 10, verdict.Calm), stretchOf(0, 22, verdict.Supports), stretchOf(20, 30, verdict.Unshaped), {Start: 25, End: 26, Aspect: verdict.AtAccent}, stretchOf(30, 60, verdict.Calm), stretchOf(50, 60, verdict.WorksAgainst),
	}}
	var got []string
	for _, v := range r.SpanVerdicts() {
		got = append(got, fmt.Sprintf("%d-%d %s", v.Start, v.End, v.Kind))
	}
	if want := "[0-20 supports 20-30 unshaped 30-60 calm]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
	if got, want := fmt.Sprint(r.Shares()), "[{supports 25} {works against 0} {unshaped 25} {independent 0} {calm 50}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if r.From, r.To = 60, 70; len(r.Shares()) != 0 {
		t.Errorf("nothing is shown, and yet shared: %v", r.Shares())
	}
}

// What weighs more: disagreement before silence, that before support and what is still; sure
// before likely before unsure; large before small. Our own order.
func TestOrderOfImportance(t *testing.T) {
	v := func(k verdict.Kind, c tonal.Certainty, size float64) verdict.Verdict {
		return verdict.Verdict{Aspect: verdict.OverSpan, Kind: k, Certainty: c, Size: size}
	}
	for _, c := range []struct{ more, less verdict.Verdict }{
		{v(verdict.WorksAgainst, tonal.Sure, 0.5), v(verdict.Unshaped, tonal.Sure, 0.5)}, {v(verdict.Unshaped, tonal.Sure, 0.5), v(verdict.Supports, tonal.Sure, 0.5)}, {v(verdict.Supports, tonal.Sure, 0.5), v(verdict.Independent, tonal.Sure, 0.5)}, {v(verdict.Independent, tonal.Sure, 0.5), v(verdict.Calm, tonal.Sure, 0.5)},
		{v(verdict.Unshaped, tonal.Sure, 0.5), v(verdict.Unshaped, tonal.Likely, 0.5)}, {v(verdict.Unshaped, tonal.Likely, 0.5), v(verdict.Unshaped, tonal.Unsure, 0.5)}, {v(verdict.Unshaped, tonal.Sure, 0.5), v(verdict.Unshaped, tonal.Sure, 0.4)},
		{v(verdict.Unshaped, tonal.Sure, 0.5), verdict.Verdict{Aspect: verdict.AtContrast, Kind: verdict.WorksAgainst, Certainty: tonal.Sure, Size: 0.5}},
	} {
		if a, b := importance(c.more), importance(c.less); a <= b {
			t.Errorf("%s, %s, %.1f weighs %.2f; %s, %s, %.1f %.2f", c.more.Kind, c.more.Certainty, c.more.Size, a, c.less.Kind, c.less.Certainty, c.less.Size, b)
		}
	}
	if importance(v(verdict.Calm, tonal.Sure, 1)) > 0 {
		t.Error("what is calm asks for something")
	}
}

// Two suggestions speak of the same if they are of one kind, begin together, or the part they
// share is half of the longer.
func TestSuggestionsOfTheSame(t *testing.T) {
	at := func(from, to score.Tick, k events.Kind) candidate {
		return candidate{Suggestion: Suggestion{Event: k}, start: from, end: to, weight: 1}
	}
	for _, c := range []struct {
		name string
		a, b candidate
		want bool
	}{
		{"of one kind", at(0, 10, events.Pedal), at(90, 99, events.Pedal), true}, {"begin together", at(0, 10, events.Pedal), at(0, 99, events.Hemiola), true}, {"share half of the longer", at(0, 10, events.Pedal), at(5, 12, events.Hemiola), true},
		{"share less", at(0, 10, events.Pedal), at(6, 12, events.Hemiola), false}, {"touch", at(0, 10, events.Pedal), at(10, 12, events.Hemiola), false}, {"a small one inside", at(0, 10, events.Pedal), at(2, 6, events.Hemiola), false},
	} {
		if c.a.repeats(c.b) != c.want || c.b.repeats(c.a) != c.want {
			t.Errorf("%s: %v", c.name, c.a.repeats(c.b))
		}
	}
}

// The page breaks out towards a peak if a mark less than half a step under it comes at once
// between two moments or at the second, where nothing grew then; a slope to it does not, nor
// a mark at the first.
func TestPageBreaksOut(t *testing.T) {
	for _, c := range []struct {
		name   string
		before float64
		zone   page.Zone
		want   bool
	}{
		{"p to f at once", page.P, page.Zone{Start: 20, Level: page.F}, true}, {"at the start", page.P, page.Zone{Start: 10, Level: page.F}, false}, {"at the end", page.P, page.Zone{Start: 30, Level: page.F}, true}, {"after it", page.P, page.Zone{Start: 31, Level: page.F}, false}, {"just before it", page.P, page.Zone{Start: 29, Level: page.F}, true},
		{"to less than the peak", page.P, page.Zone{Start: 20, Level: page.F - 0.5}, false}, {"nearly the peak", page.P, page.Zone{Start: 20, Level: page.F - 0.4}, true}, {"after a slope to it", page.F, page.Zone{Start: 20, Level: page.F}, false},
		{"by as much as a switch takes", page.F - leastSwitch, page.Zone{Start: 20, Level: page.F}, true}, {"by less", page.F - leastSwitch + 0.1, page.Zone{Start: 20, Level: page.F}, false},
	} {
		r := &Reading{Page: &page.Page{Zones: []page.Zone{c.zone}, Whole: page.Curve{Segments: []page.Segment{{Start: 0, End: c.zone.Start, From: c.before, To: c.before}, {Start: c.zone.Start, End: 99, From: c.zone.Level, To: c.zone.Level}}}}}
		if got := r.breaksOut(10, 30, page.F); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// The way to a climax starts where the printed growth does that leads there or into its beat,
// and goes through no printed diminuendo (common practice, no source).
func TestWayToTheClimax(t *testing.T) {
	r := tune(make([]int, 24)...)
	seg := func(from, to score.Tick, a, b float64, slope int) page.Segment {
		return page.Segment{Start: from, End: to, From: a, To: b, Slope: slope}
	}
	r.Page = &page.Page{Whole: page.Curve{Segments: []page.Segment{seg(0, 4, 5, 3, -1), seg(4, 8, 3, 3, 0), seg(8, 10, 3, 4, 1), seg(10, 12, 4, 6, 1), seg(12, 24, 6, 6, 0)}}}
	for _, c := range []struct {
		at    score.Tick
		leads bool
		start score.Tick
	}{{12, true, 8}, {11, true, 8}, {9, true, 8}, {13, false, 0}, {8, false, 0}, {20, false, 0}} {
		start, level, ok := r.growthTo(c.at)
		if ok != c.leads || ok && (start != c.start || math.Abs(level-3) > 1e-9) {
			t.Errorf("to %d: from %d at %.1f, %v", c.at, start, level, ok)
		}
	}
	for _, c := range []struct {
		from, to score.Tick
		want     bool
	}{{0, 12, true}, {3, 12, true}, {4, 12, false}} {
		if r.fades(c.from, c.to) != c.want {
			t.Errorf("%d to %d fades: %v", c.from, c.to, !c.want)
		}
	}
	p := advice.Proposal{Start: 4, End: 24, From: page.P, Peak: page.MF}
	r.Page.Range = page.Range{Low: page.P, High: page.F}
	r.Page.Zones = []page.Zone{{Start: 0, End: 4, Text: "f", Level: page.F}, {Start: 4, End: 24, Text: "p", Level: page.P}}
	if got := r.leadText(advice.Climax{At: 12}, p); got != "Lead to 4:1: grow from p in m. 3, and let the line have its goal there." {
		t.Errorf("the page is louder elsewhere: %q", got)
	}
	p.Start = 0
	r.Page.Whole.Segments[2].Slope, r.Page.Whole.Segments[3].Slope, r.Page.Zones = 0, 0, r.Page.Zones[:1]
	if got := r.leadText(advice.Climax{At: 12}, p); got != "" {
		t.Errorf("through a diminuendo: %q", got)
	}
}

// A refused close is worth a word from two fifths on, other events are not; and none inside a
// line that goes on, to a measure past it or to a close of its own (common practice, no source).
func TestMayRefuse(t *testing.T) {
	s := &score.Score{Division: 1}
	for i := range 4 {
		s.Measures = append(s.Measures, score.Measure{Start: score.Tick(4 * i), Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
	}
	for _, c := range []struct {
		kind  events.Kind
		at    score.Tick
		sure  float64
		close score.Tick // of the phrase, 0 for none
		want  bool
	}{
		{events.DeceptiveCadence, 12, 0.4, 0, true}, {events.EvadedCadence, 12, 0.4, 0, true}, {events.DeceptiveCadence, 12, 0.39, 0, false},
		{events.Pedal, 12, 0.9, 0, false}, {events.DeceptiveCadence, 8, 0.4, 0, false}, {events.DeceptiveCadence, 12, 0.4, 14, false},
	} {
		h := &harmony.Analysis{Phrases: []phrasing.Phrase{{End: 16, Cadence: -1}}}
		if c.close > 0 {
			h.Phrases[0].Cadence, h.Cadences = 0, []phrasing.Cadence{{At: c.close, Kind: phrasing.Half}}
		}
		r := &Reading{Score: s, Harmony: h}
		if got := r.mayRefuse(events.Event{Kind: c.kind, Confidence: c.sure, Start: c.at}); got != c.want {
			t.Errorf("%s at %d, %.2f, close %d: %v", c.kind, c.at, c.sure, c.close, got)
		}
	}
}

// A sound is kept up to a sudden p only where there is one: not across a rest, not at the end
// of a fading (common practice, no source).
func TestNoSoundToKeepUp(t *testing.T) {
	s := &score.Score{Division: 1, Measures: []score.Measure{{Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4}, {Start: 4, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4}}}
	for name, c := range map[string]struct {
		last  score.Tick // how long the note before lasts
		slope int
		want  bool
	}{"sound": {4, 0, false}, "a rest": {2, 0, true}, "a fading": {4, -1, true}} {
		s.Notes = []score.Note{{Duration: c.last, Pitch: score.Pitch{Octave: 4}}, {Onset: 4, Duration: 4, Pitch: score.Pitch{Octave: 4}}}
		r := &Reading{Score: s, longest: 4, Page: &page.Page{Whole: page.Curve{Segments: []page.Segment{{End: 4, From: page.F, To: page.F, Slope: c.slope}}}}}
		if got := r.sunk(4); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
	r := &Reading{Score: s}
	keep, ease := candidate{start: 4, keeps: true}, candidate{end: 4, eases: true}
	if !r.opposes(keep, ease) || r.opposes(keep, candidate{end: 4}) || r.opposes(candidate{start: 8, keeps: true}, ease) {
		t.Error("what eases there is kept up as well")
	}
}

// A bass that goes a few steps of the scale is no remark, a chromatic one or an octave is; nor is
// one lean of a piece that leans everywhere (common practice, no source).
func TestNoEventOfTheEveryday(t *testing.T) {
	for n, c := range map[int]events.Event{0: {Chromatic: true}, 1: {Lament: true}, 2: {Tones: make([]score.Class, 8)}, 3: {Tones: make([]score.Class, 6)}} {
		c.Kind = events.BassLine
		if got := plainScale(c); got != (n == 3) {
			t.Errorf("%d: %v", n, got)
		}
	}
	s := &score.Score{Division: 1}
	for i := range 10 {
		s.Measures = append(s.Measures, score.Measure{Start: score.Tick(4 * i), Length: 4})
	}
	r := &Reading{Score: s, Harmony: &harmony.Analysis{}, Events: []events.Event{{Kind: events.Suspension, Notes: []int{0, 1}}}}
	s.Notes = make([]score.Note, 2)
	if r.everyBar(r.Events[0]) {
		t.Error("one lean in ten measures")
	}
	r.Events = append(r.Events, events.Event{Kind: events.Suspension, Start: 4, Notes: []int{0, 1}})
	if lean := r.Events[0]; !r.everyBar(lean) || r.everyBar(events.Event{Kind: events.Pedal}) {
		t.Error("two leans in ten measures")
	}
}

// No advice against the print: the colour comes before the loudness only where the page does
// not spring at that moment.
func TestColourAndPrint(t *testing.T) {
	for _, c := range []struct {
		before float64
		home   bool
		want   string
	}{
		{page.F, false, "before the loudness"}, {page.F - leastSwitch, false, "turn together"}, {page.F + leastSwitch, false, "turn together"},
		{page.F - leastSwitch + 0.1, false, "before the loudness"}, {page.P, true, "arrival"},
	} {
		r := &Reading{Page: &page.Page{Whole: page.Curve{Segments: []page.Segment{{Start: 0, End: 20, From: c.before, To: c.before}, {Start: 20, End: 99, From: page.F, To: page.F}}}}}
		if got := r.farTry(events.Event{Kind: events.FarKey, Start: 20, Home: c.home}); !strings.Contains(got, c.want) {
			t.Errorf("from %.2f: %q", c.before, got)
		}
	}
}
