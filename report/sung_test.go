package report

import (
	"strings"
	"testing"

	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// The word under a moment is whole and bare; after its note, and where verses share the
// notes, there is none (common practice, no source).
func TestWordThatIsSung(t *testing.T) {
	r := small(voice{0, 1, 2, 3, rest, 3, 2, 1})
	r.longest = 2
	at := func(t score.Tick, text string, ends bool, verses int) score.Syllable {
		return score.Syllable{Place: score.Place{At: t}, Text: text, Ends: ends, Verses: verses}
	}
	r.Score.Syllables = []score.Syllable{at(0, "The", true, 1), at(2, "lan", false, 1), at(4, "tern,", true, 1), at(6, "burns", true, 1), at(10, "low", true, 2)}
	for moment, want := range map[score.Tick]string{0: "The", 2: "lantern", 4: "lantern", 6: "burns", 8: "", 10: ""} {
		if got := r.sungAt(moment); got != want {
			t.Errorf("at %d %q, want %q", moment, got, want)
		}
	}
}

// Fermatas at the ends of all lines are a hymn's breaths; one inside a piece is a hold, and
// so are two at the ends of few phrases (common practice, no source).
func TestBreathsOfAHymnAreNoHolds(t *testing.T) {
	line := times(6, voice{0, 1, 2, 3, 4, 3, 2, 1})
	for _, c := range []struct {
		at     []score.Tick
		breath bool
	}{{[]score.Tick{44, 92}, true}, {[]score.Tick{44}, false}, {[]score.Tick{28, 44}, false}} {
		r := small(line)
		r.Harmony.Phrases = []phrasing.Phrase{{Start: 0, End: 48}, {Start: 48, End: 96}}
		if c.at[0] < 32 {
			r.Harmony.Phrases = []phrasing.Phrase{{Start: 0, End: 32}, {Start: 32, End: 48}, {Start: 48, End: 96}}
		}
		for _, t := range c.at {
			r.Score.Fermatas = append(r.Score.Fermatas, score.Fermata{Place: score.Place{At: t}})
		}
		if got := len(r.holds()) == 0; got != c.breath {
			t.Errorf("fermatas at %v: breaths %v", c.at, got)
		}
	}
}

// A fermata in the last measure of a dance before its trio marks the end of all, no hold; one
// before it, or where the dance is no da capo, is one (common practice, no source).
func TestFermataAtTheFine(t *testing.T) {
	r := small(times(6, voice{0, 1, 2, 3, 4, 3, 2, 1}))
	bar := r.measureAt(0)
	r.Harmony.Form = form.Form{Type: form.WithTrio, Sections: []form.Section{{Span: form.Span{End: 2 * bar}}, {Name: form.Trio, Span: form.Span{Start: 2 * bar, End: 4 * bar}}}}
	for at, want := range map[score.Tick]bool{2*bar - 1: true, bar: true, bar - 1: false, 2 * bar: false} {
		if got := r.atFine(at); got != want {
			t.Errorf("at %d: %v, want %v", at, got, want)
		}
		r.Score.Fermatas = []score.Fermata{{Place: score.Place{At: at}}}
		if got := len(r.holds()) == 0; got != want {
			t.Errorf("at %d: no hold %v, want %v", at, got, want)
		}
	}
	if r.Harmony.Form.Type = form.Rondo; r.atFine(bar) {
		t.Error("a rondo has no Fine")
	}
}

// A lean that comes again and again, on whatever tones, is a motive and told once; a
// chord of the colour that the whole tells of is not told again, another key is.
func TestMotivesAndColoursAreToldOnce(t *testing.T) {
	r := small(times(6, voice{4, 3, 2, 1, 4, 3, 2, 1}))
	lean := func(i int) events.Event {
		return events.Event{Kind: events.Appoggiatura, Start: score.Tick(8 * i), Notes: []int{4 * i, 4*i + 1}, Step: -1, Confidence: 0.9}
	}
	for i := range 5 {
		r.Events = append(r.Events, lean(2*i))
	}
	if got := r.everyTime(r.Events[0]); got != 5 {
		t.Errorf("it comes %d times, want 5", got)
	}
	if got := r.onOthers(r.Events[0]); got != "" {
		t.Errorf("on one tone: %q", got)
	}
	other := lean(1)
	other.Start, other.Notes = 12, []int{6, 7}
	r.Events = append(r.Events, other)
	if got := r.onOthers(r.Events[0]); got != ", on other tones too" {
		t.Errorf("on two: %q", got)
	}
	r.Events = r.Events[:3]
	if got := r.everyTime(r.Events[0]); got != 0 {
		t.Errorf("three leans are a motive: %d", got)
	}
	sixth, key := events.Event{Kind: events.AugmentedSixth, Start: 8}, events.Event{Kind: events.FarKey, Start: 8}
	if !r.retells(events.Event{Kind: events.AugmentedSixth, Start: 24}, sixth) || r.retells(events.Event{Kind: events.FarKey, Start: 24, Semitones: 5}, key) {
		t.Error("another chord of the colour is new, or another key is not")
	}
}

// What is wrong with a file is no remark on the music: the table leaves it out.
func TestIrregularPlacesAreNoRemark(t *testing.T) {
	r := reading(t, "etude-millrace")
	r.Score.Warnings = make([]score.Warning, 2)
	var b strings.Builder
	if err := r.Study(&b, "table"); err != nil {
		t.Fatal(err)
	}
	if text := r.Irregular(); !strings.HasPrefix(text, "2 places in the file are not") || strings.Contains(b.String(), "as the format asks") {
		t.Errorf("%q in\n%s", text, b.String())
	}
	if r.Score.Warnings = nil; r.Irregular() != "" {
		t.Error("a regular file is irregular")
	}
}
