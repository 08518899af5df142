package phrasing

import (
	"testing"

	"hairpin/score"
)

// Words of tempo and character begin something, words of a change and of the manner within it
// do not (common practice, no source).
func TestNewCharacter(t *testing.T) {
	for text, want := range map[string]bool{
		"a tempo": true, "Tempo I": true, "più mosso": true, "Cantabile": true, "dolce": true, "sotto voce": true,
		"cresc.": false, "dim. e rit.": false, "poco ritenuto": false, "sempre legato": false, "rall.": false, "pizz.": false, "": false,
	} {
		if got := newCharacter(text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}

// What is printed over a rest belongs to the attack within a beat after it; hidden words say
// nothing.
func TestPrints(t *testing.T) {
	s := bars44(3)
	v := &surface{s: s, beat: 4, lines: []line{{events: eventsOf(0, 8, 18, 6, 32, 16)}}}
	word := func(at score.Tick, text string, hidden bool) score.Words {
		return score.Words{Place: score.Place{At: at}, Text: text, Hidden: hidden}
	}
	s.Words = []score.Words{word(16, "dolce", false), word(32, "dolce", true), word(10, "a tempo", false)}
	got := v.prints()
	if len(got) != 2 || !got[18] || !got[10] {
		t.Errorf("%v", got)
	}
}

// All are silent before an attack if nothing sounds for a measure. Our own limit.
func TestSilent(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []line
		at    score.Tick
		want  bool
	}{
		{"a measure", []line{{events: eventsOf(0, 16, 32, 4)}}, 32, true},
		{"less", []line{{events: eventsOf(0, 17, 32, 4)}}, 32, false},
		{"another line sounds", []line{{events: eventsOf(0, 16, 32, 4)}, {events: eventsOf(0, 24)}}, 32, false},
		{"no attack", []line{{events: eventsOf(0, 16, 36, 4)}}, 32, false},
	} {
		v := &surface{s: bars44(4), beat: 4, lines: c.lines}
		if got := v.silent(c.at); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A last ending of a measure or two belongs to the section that it closes: the bar line before
// it closes nothing (common practice, no source).
func TestLastEndingClosesItsSection(t *testing.T) {
	s := bars44(9)
	v := &surface{s: s}
	s.Endings = []score.Ending{{Start: 48, End: 64}, {Start: 64, End: 80}, {Start: 96, End: 144}}
	for at, want := range map[score.Tick]score.Tick{64: 80, 80: 80, 96: 96, 0: 0} {
		if got := v.afterEnding(at); got != want {
			t.Errorf("%d: %d, want %d", at, got, want)
		}
	}
}

// What speaks for a start in a silent measure speaks for the first attack after it, in the same
// measure; and a section with a last ending ends after it.
func TestStartsAfterSilence(t *testing.T) {
	v := &surface{s: bars44(4), w: DefaultWeights(), beat: 4}
	list := []boundary{{at: 0}, {at: 40}, {at: 48}}
	v.startAt(list, 32, 3, "a new signature follows")
	v.startAt(list, 16, 3, "")
	if list[1].gain < 2.9 || !list[1].opens || list[0].gain+list[2].gain > 0.01 || list[2].opens {
		t.Errorf("%+v", list)
	}
	s := bars44(9)
	s.Endings = []score.Ending{{Start: 48, End: 64}, {Start: 64, End: 80}}
	s.Repeats, s.DoubleBar = []score.Repeat{{At: 64}}, []score.Tick{64}
	s.Notes = []score.Note{{Onset: 0, Duration: 144}}
	v = newSurface(s, 0, DefaultWeights())
	if len(v.bars) != 2 || v.bars[0] != 80 || v.bars[1] != 80 {
		t.Errorf("bars %v", v.bars)
	}
	list = []boundary{{at: 64}, {at: 80}}
	v.judgeAlike(list)
	if list[0].gain > 0.01 || list[1].gain < signGain-0.01 {
		t.Errorf("%+v", list)
	}
}
