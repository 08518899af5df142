package report

import (
	"strings"
	"testing"

	"hairpin/dynamics/advice"
	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// Every kind of event has a name and something to try, and no two are alike.
func TestEveryEventIsSaid(t *testing.T) {
	r, err := New(demo.Score(t, "etude-millrace"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]events.Kind{}
	for _, k := range events.Kinds() {
		e := events.Event{Kind: k, Start: 0, End: r.Score.Measures[1].End(), Chord: -1, Step: 1, Members: 3, Degree: 5, Entry: events.Applied}
		what, try := r.eventWhat(e), r.eventTry(e)
		if !strings.HasPrefix(what, "the ") || try == "" || strings.Contains(what, "%!") {
			t.Errorf("%s: %q: %q", k, what, try)
		}
		if before, twice := said[what]; twice {
			t.Errorf("%s and %s are both called %q", k, before, what)
		}
		said[what] = k
	}
}

// Words for what a musician counts: common practice, no source.
func TestEventWords(t *testing.T) {
	r, err := New(demo.Score(t, "etude-millrace"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	two := r.Score.Measures[1].End()
	for _, c := range []struct {
		e         events.Event
		what, try string
	}{
		{events.Event{Kind: events.Sequence, End: two, Step: -1, Members: 3}, "the sequence in mm. 1–2, each time a step lower", "one easing, not three"},
		{events.Event{Kind: events.Sequence, End: two, Step: 3, Members: 2}, "the sequence in mm. 1–2, each time a fourth higher", "one growth, not two"},
		{events.Event{Kind: events.Pedal, End: two, Measures: 2, Degree: 1, Tones: []score.Class{0}}, "the tonic pedal on C in mm. 1–2", "keep it even"},
		{events.Event{Kind: events.Pedal, End: two, Measures: 2, Degree: 5}, "the dominant pedal in mm. 1–2", "keep it even"},
		{events.Event{Kind: events.Suspension, Notes: []int{0, 1}, Chord: -1}, r.eventWhat(events.Event{Kind: events.Suspension, Notes: []int{0, 1}, Chord: -1}), "the held tone turns"},
		{events.Event{Kind: events.Suspension, Notes: []int{0, 1, 2}, Chord: -1}, r.eventWhat(events.Event{Kind: events.Suspension, Notes: []int{0, 1, 2}, Chord: -1}), "the repeated tone turns"},
		{events.Event{Kind: events.BassLine, End: two, Step: -1, Tones: []score.Class{0, 5, 1}, Chromatic: true, Lament: true},
			"the bass that walks down mostly by semitones from C to G (C B G), a lament bass, in mm. 1–2", "let the bass lead"},
		{events.Event{Kind: events.FarKey, End: two, To: tonal.Key{Tonic: 1}, Entry: events.CommonTone, Chord: -1},
			"the step into G major in m. 1, entered through a tone that both keys share", "before the loudness"},
		{events.Event{Kind: events.FarKey, End: two, From: tonal.Key{Minor: true}, To: tonal.Key{}, Entry: events.Mode, Chord: -1},
			"the turn from C minor to C major in m. 1, on the same tonic", "brighten"},
		{events.Event{Kind: events.FarKey, End: two, To: tonal.Key{}, Home: true, Chord: -1}, "the way back to C major in m. 1", "arrival"},
	} {
		if got := r.eventWhat(c.e); got != c.what {
			t.Errorf("%s: %q, want %q", c.e.Kind, got, c.what)
		}
		if got := r.eventTry(c.e); !strings.Contains(got, c.try) {
			t.Errorf("%s: %q has no %q", c.e.Kind, got, c.try)
		}
	}
}

// A new key is named by the measure that enters it, other events by all of theirs.
func TestMeasuresOfEvents(t *testing.T) {
	r := tune(make([]int, 16)...)
	for kind, want := range map[events.Kind]string{events.FarKey: "2", events.Pedal: "2–4"} {
		if got := r.eventBars(events.Event{Kind: kind, Start: 4, End: 16}).String(); got != want {
			t.Errorf("%s in %s, want %s", kind, got, want)
		}
	}
}

func TestLoudnessInMarks(t *testing.T) {
	for want, levels := range map[string][]float64{
		"p < f > p": {3, 6, 3}, "p < f": {3, 6}, "f > p": {6, 3}, "mf": {5}, "p<f>pp<mf": {3, 6, 2, 5},
	} {
		var p advice.Proposal
		for _, l := range levels {
			p.Turns = append(p.Turns, advice.Turn{Level: l})
		}
		if got := loudness(p); got != want {
			t.Errorf("%g: %q, want %q", levels, got, want)
		}
	}
}

func TestReturnsInWords(t *testing.T) {
	r, err := New(demo.Score(t, "etude-millrace"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	bar := func(i int) score.Tick { return r.Score.Measures[i].Start }
	back := form.Return{First: form.Span{Start: bar(0), End: bar(4)}, Again: form.Span{Start: bar(8), End: bar(12)}, Count: 4, Kind: form.Exact}
	for _, c := range []struct {
		kind             form.Kind
		steps, semitones int
		want             string
	}{
		{form.Exact, 0, 0, "mm. 9–12 are mm. 1–4 again"},
		{form.Varied, 0, 0, "mm. 9–12 are mm. 1–4 again, varied"},
		{form.Transposed, -2, -3, "mm. 9–12 are mm. 1–4 again, a third lower"},
		{form.Transposed, 0, 1, "mm. 9–12 are mm. 1–4 again, a semitone higher"},
	} {
		back.Kind, back.Steps, back.Semitones = c.kind, c.steps, c.semitones
		if got := r.returnWords(back); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// No two suggestions are alike, each says something to do at a place, and a
// short piece fits on a screen.
func TestSuggestionsAreOfThePiece(t *testing.T) {
	for _, name := range demo.Names() {
		r, err := New(demo.Score(t, name), Options{Width: 100})
		if err != nil {
			t.Fatal(err)
		}
		said := map[string]bool{}
		for _, s := range r.Suggestions() {
			key := string(s.Event) + string(s.Verdict)
			if s.Event != "" && said[key] {
				t.Errorf("%s: two of %s", name, s.Event)
			}
			if said[key] = true; s.At == "" || !strings.HasSuffix(s.Text, ".") && !strings.HasSuffix(s.Text, "?") {
				t.Errorf("%s: %q", name, s.Text)
			}
		}
		var b strings.Builder
		if err := r.Study(&b, "table"); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(b.String(), "\n"); n > screen {
			t.Errorf("%s takes %d lines", name, n)
		}
	}
}

// Several lines of text under most notes are verses; a piece without a return says so;
// a climax is never before the voice enters (common practice, no source).
func TestSongsAndFormsAreNamed(t *testing.T) {
	r := reading(t, "song-ferry-lamp")
	for n, want := range map[int]string{1: "", 4: "the song is strophic, 4 verses to the same music: let each find its own colour"} {
		r.Score.Syllables = []score.Syllable{{Verses: n}, {Verses: n}, {Verses: 1}}
		if got := r.versesSentence(); got != want {
			t.Errorf("%d: %q", n, got)
		}
	}
	r.Score.Syllables = []score.Syllable{{Verses: 2, Text: "Slow"}, {Verses: 2}}
	if got := r.versesSentence(); got != "" {
		t.Errorf("a text and its translation: %q", got)
	}
	r.Score.Repeats = make([]score.Repeat, 1)
	if got := r.versesSentence(); got == "" {
		t.Error("two verses under a repeat sign are none")
	}
	r.Harmony.Form, r.Score.Repeats = form.Form{}, nil
	if got := r.formSentence(wholePiece{}); got != "no section clearly comes back" {
		t.Errorf("%q", got)
	}
	at := r.Score.Measures[6].Start
	r.Score.Syllables = []score.Syllable{{Place: score.Place{At: at}}}
	r.Plan.Summit = &advice.Summit{Measure: r.Score.MeasureAt(r.loudMarks()[0]), Certainty: tonal.Likely}
	if c := r.peakOf(); advice.Entry(r.Score) != at || c == nil || c.At < at {
		t.Errorf("enters at %d, climax %+v", advice.Entry(r.Score), c)
	}
	r.Score.Syllables[0].At = r.Score.Length() - 1
	if advice.Entry(r.Score) != 0 {
		t.Error("a voice at the end is no song's")
	}
}

// A measure of rests in all parts is named (common practice, no source).
func TestSilenceIsTold(t *testing.T) {
	r := reading(t, "etude-millrace")
	if got := r.silenceSentence(); got != "" {
		t.Error(got)
	}
	var kept []score.Note
	for _, n := range r.Score.Notes {
		if n.Onset+n.Duration <= r.Score.Measures[4].Start || n.Onset >= r.Score.Measures[6].Start {
			kept = append(kept, n)
		}
	}
	r.Score.Notes = kept
	if got := r.silenceSentence(); got != "nobody sounds in mm. 5–6: count the silence in full" {
		t.Error(got)
	}
}

// A goal is told with how sure it is; an unsure one where the phrase opens is none.
func TestSectionsWithoutANameHaveNoHeading(t *testing.T) {
	d := &studyData{Whole: wholePiece{Sections: []studySection{{run: "mm. 1–8"}, {Letter: "A", run: "mm. 9–16", Onset: 32}, {Letter: "B", run: "mm. 17–24", Onset: 64}}}}
	for onset, want := range map[Quarters]string{0: "", 32: "A, mm. 9–16", 64: "B, mm. 17–24"} {
		if got := d.sectionAt(onset); got != want {
			t.Errorf("at %v: %q, want %q", onset, got, want)
		}
	}
}

// Two things to try at one moment are one, however long they last; at others they are two.
func TestOneThingAtAPlace(t *testing.T) {
	hold := candidate{Suggestion: Suggestion{Moment: Hold}, start: 16, end: 20}
	if !hold.repeats(candidate{Suggestion: Suggestion{Event: "deceptive cadence"}, start: 16, end: 48}) || hold.repeats(candidate{Suggestion: Suggestion{Event: "deceptive cadence"}, start: 12, end: 48}) {
		t.Error("what begins together is one, what begins apart is two")
	}
}

func TestGoesTo(t *testing.T) {
	told := func(certainty string, opens bool) studyPhrase {
		return studyPhrase{Goal: &goal{Certainty: certainty}, goalAt: "8:2", goalBar: "8", opens: opens}
	}
	for _, c := range []struct {
		phrase studyPhrase
		want   string
	}{
		{told("sure", false), "8:2, sure"}, {told("likely", true), "m. 8, likely"},
		{told("unsure", false), "perhaps m. 8"}, {told("unsure", true), "–"}, {studyPhrase{}, "–"},
		{studyPhrase{Goal: &goal{Certainty: "unsure"}, goalAt: "8:2", goalBar: "8", brief: true, opens: true}, "perhaps 8:2"},
		{studyPhrase{Lack: advice.Falls}, "falls"}, {studyPhrase{Lack: advice.Falls, grows: true}, "–"}, {studyPhrase{Lack: advice.Short}, "–"},
	} {
		if got := c.phrase.goesTo(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// Neighbours of one letter have one heading, as the head names them; a section of another
// letter, or with a name of its own, has its own.
func TestOneHeadingForOneLetter(t *testing.T) {
	list := []form.Section{{Letter: "A"}, {Letter: "A", Prime: true}, {Letter: "B"}, {Letter: "B", Name: form.Trio}}
	for i, want := range []int{1, 1, 2, 3} {
		if got := runLast(list, i); got != want {
			t.Errorf("section %d is told to section %d, want %d", i, got, want)
		}
	}
	d := &studyData{Whole: wholePiece{Sections: []studySection{{Letter: "A", run: "mm. 1–8"}, {Letter: "A′", Onset: 4, goesOn: true}, {Letter: "B", Onset: 8, run: "mm. 9–12"}}}}
	for onset, want := range map[Quarters]string{0: "A, mm. 1–8", 4: "", 8: "B, mm. 9–12"} {
		if got := d.sectionAt(onset); got != want {
			t.Errorf("at %v: %q, want %q", onset, got, want)
		}
	}
}

// A phrase's row in one line: the goal as its row has it, and a proposal that moves.
func TestWayInOneLine(t *testing.T) {
	likely := &goal{At: "4:1", Certainty: tonal.Likely.String()}
	for want, p := range map[string]studyPhrase{
		"goes to m. 4, likely; proposed p < f": {Goal: likely, goalBar: "4", Loudness: "p < f"},
		"goes to m. 4, likely":                 {Goal: likely, goalBar: "4", Loudness: "mf"},
		"goes perhaps to m. 4":                 {Goal: &goal{At: "4:1", Certainty: tonal.Unsure.String()}, goalBar: "4", Loudness: "p"},
		"falls; proposed f > p":                {Lack: advice.Falls, Loudness: "f > p"},
		"proposed f>p<f":                       {Loudness: "f>p<f"},
		"":                                     {Loudness: "p"},
	} {
		if got := p.Way(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
