package report

import (
	"slices"
	"strings"
	"testing"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

func reading(t *testing.T, name string) *Reading {
	t.Helper()
	r, err := New(demo.Score(t, name), Options{Width: 100})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The climax stands at the loudest mark that is printed: ff in 27:1 of the étude
// and 21:1 of the quartet, f in 24:1 of the song (read from the scores). Study,
// its JSON and the suggestion say the same.
func TestClimaxIsThePagesLoudest(t *testing.T) {
	for name, want := range map[string]climax{
		"etude-millrace": {At: "27:1", Mark: "ff"}, "song-ferry-lamp": {At: "24:1", Mark: "f"}, "quartet-below-the-weir": {At: "21:1", Mark: "ff"},
	} {
		r := reading(t, name)
		d := r.study()
		got := d.Whole.Climax
		if got == nil || got.At != want.At || got.Mark != want.Mark || got.Level != want.Mark {
			t.Errorf("%s: the climax is %+v", name, got)
		}
		if !strings.Contains(d.Whole.paragraph(), want.At) || !strings.HasPrefix(d.Suggestions[0].Text, "Lead to "+want.At) || !strings.Contains(d.Suggestions[0].Text, "keep "+want.Mark) {
			t.Errorf("%s: %q, first %q", name, d.Whole.paragraph(), d.Suggestions[0].Text)
		}
		if !slices.ContainsFunc(d.Phrases, func(p studyPhrase) bool {
			return p.Goal != nil && p.Goal.At == want.At && strings.Contains(p.Loudness, want.Mark)
		}) {
			t.Errorf("%s: no phrase goes to %s with %s", name, want.At, want.Mark)
		}
		for _, p := range d.Phrases {
			if strings.Contains(p.Loudness, want.Mark+"f") {
				t.Errorf("%s: %s is proposed, louder than %s", name, p.Loudness, want.Mark)
			}
		}
	}
}

// A phrase with an upbeat is counted from its first full measure (common practice,
// no source), and no measure belongs to two phrases.
func TestPhrasesShareNoMeasure(t *testing.T) {
	for _, name := range demo.Names() {
		r := reading(t, name)
		last := ""
		for _, p := range r.Phrases() {
			b := r.PhraseBars(p.Start, p.End)
			if b.First == last {
				t.Errorf("%s: measure %s ends one phrase and begins the next", name, last)
			}
			last = b.Last
		}
	}
}

func TestPlacesInWords(t *testing.T) {
	r := reading(t, "etude-millrace")
	m := r.Score.Measures[11]
	beat := m.Beat(r.Score.Division)
	for at, want := range map[score.Tick][3]string{
		m.Start + 2*beat:          {"12:3", "at 12:3", "measure 12, beat 3"},
		m.Start + 2*beat + beat/4: {"after 12:3", "after 12:3", "measure 12, after beat 3"},
	} {
		if got := [3]string{r.Place(at), r.at(at), r.where(at)}; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := named([]Bars{{"2", "3"}, {"7", "7"}}); got != "mm. 2–3, 7" {
		t.Error(got)
	}
	if got := also(Bars{"1", "1"}, []Bars{{"1", "1"}, {"4", "4"}, {"4", "4"}}); got != "m. 4" {
		t.Error(got)
	}
}

// The keys of the demos as they were written (testdata, README.md and chords.tsv): the
// song goes to the dominant, whose own dominant stands in 16, the relative minor, in 21 after
// half a measure, and the subdominant; home is back in 29 after half a measure. The study's
// F major has its dominant in 12, its opening comes back in 31.
func TestKeysAndTheWayHome(t *testing.T) {
	for name, want := range map[string]string{
		"etude-millrace":  "from D minor it goes to F major (m. 12), and is home again in m. 31",
		"song-ferry-lamp": "from Eb major it goes to Bb major (m. 16), C minor (m. 21) and Ab major (m. 25), and is home again in m. 29",
	} {
		r := reading(t, name)
		if got := r.keySentence(events.Stays(r.Score, r.Harmony)); got != want {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// A fall at a phrase's end and a hairpin of one beat are no contrast to ask about
// (common practice, no source); a longer hairpin inside the phrase is.
func TestWhatIsAskedAbout(t *testing.T) {
	r := reading(t, "etude-millrace")
	p := r.Harmony.Phrases[0]
	beat := r.Score.BeatAt(p.Start)
	down := verdict.Verdict{Kind: verdict.WorksAgainst, Aspect: verdict.OverSpan, Page: verdict.PageMove{Way: verdict.Down}}
	slope := func(from, to score.Tick) {
		r.Page = &page.Page{Marked: true, Whole: page.Curve{Segments: []page.Segment{
			{Start: 0, End: from, From: 6, To: 6}, {Start: from, End: to, From: 6, To: 3, Slope: -1}, {Start: to, End: r.Score.Length(), From: 3, To: 3}}}}
	}
	for _, c := range []struct {
		from, to score.Tick
		asks     bool
	}{
		{p.Start + 4*beat, p.Start + 8*beat, true}, {p.Start + 4*beat, p.Start + 5*beat, false}, {p.End - 4*beat, p.End, false},
	} {
		slope(c.from, c.to)
		down.Start, down.End, down.Harmony.End = c.from, c.to, c.to
		if got := r.Contrast(down); got != c.asks || strings.Contains(r.VerdictSentence(down), "contrast intended?") != c.asks {
			t.Errorf("from %s to %s: %v, %q", r.At(c.from), r.At(c.to), got, r.VerdictSentence(down))
		}
	}
}

func TestMomentsAreAdvice(t *testing.T) {
	r := reading(t, "etude-millrace")
	at := r.Score.Measures[8].Start
	r.Score.Fermatas = []score.Fermata{{Place: score.Place{At: at}}}
	cadences := r.Harmony.Cadences
	r.Harmony.Cadences = nil
	r.Harmony.Chords = []tonal.Chord{{Start: 0, End: r.Score.Length(), Numeral: tonal.Numeral{Degree: 5, Quality: tonal.Major}}}
	if got := r.holding(); len(got) != 1 || !strings.Contains(got[0].Text, "9:1 stands on the dominant: wait") {
		t.Errorf("%+v", got)
	}
	r.Page = &page.Page{Zones: []page.Zone{{Start: 0, End: at, Text: "f", Level: page.F}, {Start: at, End: r.Score.Length(), Text: "p", Level: page.P}}, Contrasts: []page.Contrast{{At: at, Kind: page.Subito, From: page.F, To: page.P}, {At: 2 * at, Kind: page.Subito, From: page.MP, To: page.P}}}
	got := r.switching()
	if len(got) != 1 || got[0].At != "9:1" || !strings.Contains(got[0].Text, "do not give the drop away") {
		t.Errorf("%+v", got)
	}
	r.Harmony.Cadences = cadences
	e := events.Event{Kind: events.DeceptiveCadence, Chord: -1, Key: r.Harmony.Home}
	if text := r.eventTry(e); !strings.Contains(text, "take a little time") || !strings.Contains(text, "keep the arrival for ") {
		t.Error(text)
	}
}

// Only the same thing is told as the same.
func TestAlikeEvents(t *testing.T) {
	r := reading(t, "etude-millrace")
	a := events.Event{Kind: events.Pedal, Chord: -1, Degree: 5, Tones: []score.Class{3}}
	for want, b := range map[bool]events.Event{true: {Kind: events.Pedal, Chord: 2, Degree: 5, Tones: []score.Class{3}}, false: {Kind: events.Pedal, Chord: -1, Degree: 1, Tones: []score.Class{2}}} {
		if r.alikeEvents(a, b) != want {
			t.Errorf("%+v and %+v", a, b)
		}
	}
}

func TestSixthInWords(t *testing.T) {
	r := reading(t, "song-ferry-lamp")
	r.Harmony.Chords = []tonal.Chord{tonal.Spell(tonal.Numeral{Degree: 2, Quality: tonal.French, Inversion: 2}, tonal.Key{Minor: true})}
	e := events.Event{Kind: events.AugmentedSixth, Chord: 0, End: r.Score.Measures[0].End()}
	if got := r.eventWhat(e); got != "the augmented (French) sixth on Ab in m. 1" {
		t.Errorf("%q (%s)", got, r.Harmony.Chords[0].Name())
	}
}

// The climax is told in the measure that musicians name, at the first thing that page and
// music point to there; where that is unsure the page's only loudest mark is told as no more
// than that (our own rules).
func TestClimaxIsChosenWithReason(t *testing.T) {
	r := reading(t, "etude-millrace")
	bar := func(i int) score.Tick { return r.Score.Measures[i].Start }
	zone := func(i int) page.Zone { return page.Zone{Start: bar(i), End: bar(i + 1), Text: "ff", Level: page.FF} }
	r.Page = &page.Page{Marked: true, Range: page.Range{Low: page.P, High: page.FF}}
	r.Harmony.Chords, r.Plan.Goals = nil, []advice.Goal{{End: r.Score.Length()}}
	for i := range r.Score.Notes {
		r.Score.Notes[i].Pitch = score.Pitch{Octave: 4}
	}
	two := []page.Zone{zone(9), zone(19)}
	for _, c := range []struct {
		name    string
		zones   []page.Zone
		measure int
		sure    tonal.Certainty
		want    int // measure, -1: none
		told    tonal.Certainty
		mark    string
	}{
		{"at one of two marks", two, 19, tonal.Likely, 19, tonal.Likely, "ff"},
		{"beside it", two, 18, tonal.Likely, 18, tonal.Likely, ""},
		{"unsure", two, 19, tonal.Unsure, -1, 0, ""},
		{"beside the only mark", two[1:], 18, tonal.Likely, 19, tonal.Likely, "ff"},
		{"two beside the only mark", two[1:], 17, tonal.Sure, 17, tonal.Sure, ""},
		{"unsure, one mark", two[1:], 17, tonal.Unsure, 19, tonal.Unsure, "ff"},
		{"no mark", nil, 25, tonal.Sure, 25, tonal.Sure, ""},
	} {
		r.Page.Zones = c.zones
		r.Plan.Summit = &advice.Summit{Measure: c.measure, Certainty: c.sure, Causes: []shaping.Cause{shaping.ByHeight, shaping.ByTexture}}
		got := r.peakOf()
		if got == nil || c.want < 0 {
			if got != nil || c.want >= 0 {
				t.Errorf("%s: %+v", c.name, got)
			}
			continue
		}
		if r.Score.MeasureAt(got.At) != c.want || got.Certainty != c.told || got.Mark != c.mark {
			t.Errorf("%s: %+v", c.name, got)
		}
		if c.name == "no mark" && !slices.Equal(got.why, []string{"the line is high and the sound is full"}) {
			t.Errorf("%s: %q", c.name, got.why)
		}
	}
}

// Where neither page nor tune point to a measure it is told of played music, but not of sung
// music, nor of the last two measures; what a soft page says is no reason.
func TestClimaxWithoutReason(t *testing.T) {
	r := reading(t, "etude-millrace")
	for i := range r.Score.Notes {
		r.Score.Notes[i].Pitch = score.Pitch{Octave: 4}
	}
	n := len(r.Score.Measures)
	r.Harmony.Chords, r.Plan.Goals = nil, []advice.Goal{{End: r.Score.Length()}}
	for _, c := range []struct {
		name    string
		high    float64
		measure int
		sung    bool
		want    bool
	}{{"played", page.P, 20, false, true}, {"sung", page.P, 20, true, false}, {"near the close", page.P, n - 3, false, true}, {"in the close", page.P, n - 2, false, false},
		{"sung at the mark", page.F, 20, true, true}, {"in the close at the mark", page.MF, n - 2, false, true}} {
		zone := func(i int) page.Zone {
			m := r.Score.Measures[i]
			return page.Zone{Start: m.Start, End: m.End(), Text: "x", Level: c.high}
		}
		r.Page = &page.Page{Marked: true, Range: page.Range{Low: page.PP, High: c.high}, Zones: []page.Zone{zone(10), zone(c.measure)}}
		r.Plan.Summit = &advice.Summit{Measure: c.measure, Certainty: tonal.Likely, Causes: []shaping.Cause{shaping.ByHeight}}
		r.Score.Syllables = nil
		if c.sung {
			r.Score.Syllables = []score.Syllable{{}, {Place: score.Place{At: r.Score.Length() - 1}}}
		}
		if got := r.peakOf(); (got != nil) != c.want {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// In its measure the climax is at the top of the tune, else at the sfz, and a fermata there
// speaks for it (common practice, no source); a lone sfz in a soft place says nothing.
func TestWhatPointsToTheClimax(t *testing.T) {
	r := reading(t, "etude-millrace")
	m := r.Score.Measures[14]
	for i := range r.Score.Notes {
		r.Score.Notes[i].Pitch = score.Pitch{Octave: 4}
	}
	beat := r.Score.BeatAt(m.Start)
	r.Harmony.Chords, r.Plan.Goals = nil, []advice.Goal{{End: r.Score.Length()}}
	r.Plan.Summit = &advice.Summit{Measure: 14, Certainty: tonal.Likely, Causes: []shaping.Cause{shaping.ByHeight}}
	r.Page = &page.Page{Marked: true, Range: page.Range{Low: page.P, High: page.FF}, Accents: []page.Accent{{At: m.Start, Sign: "sfz"}}}
	r.Page.Whole = page.Curve{Segments: []page.Segment{{End: r.Score.Length(), From: page.F, To: page.F}}}
	r.Score.Fermatas = []score.Fermata{{Place: score.Place{At: m.Start}}}
	if c := r.peakOf(); c == nil || c.At != m.Start || !slices.Equal(c.why, []string{"its sfz", theFermata + "that holds it"}) {
		t.Errorf("sfz and fermata: %+v", c)
	}
	r.Score.Fermatas[0].At = m.End() - 1
	if c := r.peakOf(); c == nil || c.At != m.Start || !slices.Contains(c.why, theFermata+r.at(m.End()-1)+" after it") {
		t.Errorf("the fermata stands after the sfz: %+v", c)
	}
	r.Score.Fermatas = nil
	top := slices.IndexFunc(r.Score.Notes, func(n score.Note) bool { return n.Onset >= m.Start+beat })
	r.Score.Notes[top].Pitch.Octave = 7
	if c := r.peakOf(); c == nil || c.At != r.Score.Notes[top].Onset || !strings.HasPrefix(c.why[0], "the top of the tune") || !slices.Contains(c.why, "its sfz") {
		t.Errorf("the top after the sfz: %+v", c)
	}
	r.Score.Notes[top].Pitch.Octave = 4
	r.Page.Whole.Segments[0].From, r.Page.Whole.Segments[0].To = page.P, page.P
	if c := r.peakOf(); c == nil || slices.Contains(c.why, "its sfz") {
		t.Errorf("a lone sfz in a soft place: %+v", c)
	}
	r.Page.Whole.Segments = []page.Segment{{End: m.Start + beat, From: page.P, To: page.F, Slope: 1}, {Start: m.Start + beat, End: r.Score.Length(), From: page.F, To: page.F}}
	r.Page.Accents = nil
	if c := r.peakOf(); c == nil || c.At != m.Start+beat || !slices.Equal(c.why, []string{"the end of a growth"}) {
		t.Errorf("a growth ends there: %+v", c)
	}
	french := tonal.Spell(tonal.Numeral{Degree: 2, Quality: tonal.French, Inversion: 2}, tonal.Key{Minor: true})
	french.Start, french.End = m.Start, m.End()
	r.Harmony.Chords = []tonal.Chord{french}
	if c := r.peakOf(); c == nil || c.At != m.Start || c.why[0] != "an augmented sixth" {
		t.Errorf("on an augmented sixth: %+v", c)
	}
}

// Where players tend to be loudest is told if they are surely or likely so, more than two
// measures from the climax.
func TestLouderElsewhere(t *testing.T) {
	r := reading(t, "etude-millrace")
	for _, c := range []struct {
		measure int
		sure    tonal.Certainty
		want    bool
	}{{17, tonal.Sure, true}, {16, tonal.Sure, false}, {12, tonal.Likely, false}, {11, tonal.Likely, true}, {20, tonal.Unsure, false}} {
		r.Plan.Loudest = &advice.Loudest{Measure: c.measure, Certainty: c.sure}
		if got := r.louderThere(r.Score.Measures[14].Start); (got != "") != c.want {
			t.Errorf("in measure %d: %q", c.measure, got)
		}
	}
	if r.Plan.Loudest = nil; r.louderThere(0) != "" {
		t.Error("nothing sounds")
	}
}

// Nobody waits inside notes that run on; before a rest is over, anyone can (common
// practice, no source).
func TestWaitOnlyWhereSoundEnds(t *testing.T) {
	r := reading(t, "etude-millrace")
	at := r.Score.Measures[4].Start
	r.Score.Fermatas = nil
	note := func(onset, long score.Tick) score.Note {
		return score.Note{Onset: onset, Duration: long, Staff: 1, Voice: 1}
	}
	q := r.Score.Division
	for name, c := range map[string]struct {
		notes []score.Note
		want  bool
	}{
		"running quavers": {[]score.Note{note(at-q/2, q/2), note(at, q/2)}, false},
		"after a rest":    {[]score.Note{note(at-q, q/2), note(at, q/2)}, true},
	} {
		r.Score.Notes = c.notes
		got := r.contrastSentence(page.Contrast{At: at, Kind: page.Subito, From: page.F, To: page.P})
		if r.breathes(at) != c.want || strings.Contains(got, "wait a little") != c.want {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// An fp after a crescendo is its arrival, loud and then soft (common practice, no source).
func TestStruckThenSoft(t *testing.T) {
	r := reading(t, "etude-millrace")
	at := r.Score.Measures[4].Start
	c := page.Contrast{At: at, Kind: page.Withheld, From: page.F, To: page.P}
	for sign, want := range map[string]string{"fp": "arrive on the fp in full", "sfp": "arrive on the sfp in full", "sf": "a sudden p", ">": "a sudden p"} {
		r.Page.Accents = []page.Accent{{At: at, Sign: sign}, {At: at + 1, Sign: "fp"}}
		if got := r.contrastSentence(c); !strings.Contains(got, want) {
			t.Errorf("%s: %q", sign, got)
		}
	}
	r.Page.Accents = []page.Accent{{At: at, Sign: "fp"}}
	c.From, c.To, c.Kind = page.P, page.F, page.Subito
	if got := r.contrastSentence(c); !strings.Contains(got, "springs up") {
		t.Errorf("to f: %q", got)
	}
}

// The diminuendo that closes a piece is no contrast to ask about, unless the page
// grows again after it (common practice, no source).
func TestClosingDiminuendo(t *testing.T) {
	r := reading(t, "etude-millrace")
	end := r.Score.Length()
	last := r.Harmony.Phrases[len(r.Harmony.Phrases)-1]
	beat := r.Score.BeatAt(last.Start)
	v := verdict.Verdict{Kind: verdict.WorksAgainst, Aspect: verdict.OverSpan, Page: verdict.PageMove{Way: verdict.Down}, Start: last.Start, End: last.Start + 3*beat}
	for level, asks := range map[float64]bool{page.P: false, page.F: true} {
		r.Page = &page.Page{Marked: true, Whole: page.Curve{Segments: []page.Segment{
			{Start: 0, End: last.Start, From: page.F, To: page.F}, {Start: last.Start, End: v.End, From: page.F, To: page.P, Slope: -1},
			{Start: v.End, End: end, From: page.P, To: level}}}}
		if got := r.Contrast(v); got != asks {
			t.Errorf("after it %g: %v", level, got)
		}
	}
}

// A postlude is not where a song leads (common practice, no source).
func TestClimaxOfASongIsSung(t *testing.T) {
	r := reading(t, "song-ferry-lamp")
	bars := r.Score.Measures
	r.Score.Syllables = []score.Syllable{{Place: score.Place{At: bars[4].Start}}, {Place: score.Place{At: bars[33].Start}}}
	if got := advice.Exit(r.Score, advice.Entry(r.Score)); got != bars[33].End() {
		t.Errorf("ends at %d, want %d", got, bars[33].End())
	}
	if r.Score.Syllables = nil; advice.Exit(r.Score, advice.Entry(r.Score)) != r.Score.Length() {
		t.Error("without a voice the piece counts to its end")
	}
}

// A section leads to a place past its first quarter that is louder than what goes before;
// our own rule. The opening's only fff is no climax, nor is what an introduction has.
func TestSectionLeadsSomewhere(t *testing.T) {
	r := reading(t, "etude-millrace")
	end := r.Score.Length()
	r.Page = &page.Page{Marked: true, Whole: page.Curve{Segments: []page.Segment{{End: end / 2, From: page.P, To: page.P}, {Start: end / 2, End: end, From: page.F, To: page.F}}}}
	for _, c := range []struct {
		at   score.Tick
		want bool
	}{{end / 2, true}, {end/2 - 1, false}, {end / 8, false}, {0, false}} {
		if r.comes(0, end, c.at) != c.want {
			t.Errorf("to %s: %v", r.At(c.at), !c.want)
		}
	}
	r.Page.Range = page.Range{Low: page.P, High: page.FFF}
	r.Plan.Summit = nil
	r.Harmony.Form = form.Form{}
	for _, c := range []struct {
		bar  int
		want bool
	}{{0, false}, {20, true}} {
		r.Page.Zones = []page.Zone{{Start: r.Score.Measures[c.bar].Start, End: end, Text: "fff", Level: page.FFF}}
		if got := r.peakOf() != nil; got != c.want {
			t.Errorf("the only fff in the %d. measure: %v", c.bar+1, got)
		}
	}
	r.Harmony.Form.Sections = []form.Section{{Span: form.Span{End: r.Score.Measures[21].Start}, Name: form.Introduction}}
	if r.peakOf() != nil {
		t.Error("a climax in the introduction")
	}
}
