package phrasing

import (
	"testing"

	"hairpin/score"
)

// sing puts syllables under the notes, one each: "-" after a syllable joins it to
// the next, "_" goes on with the last.
func sing(s *score.Score, text ...string) {
	for i, y := range text {
		if y == "_" {
			continue
		}
		n := s.Notes[i]
		last := y[len(y)-1]
		s.Syllables = append(s.Syllables, score.Syllable{Place: score.Place{At: n.Onset, Part: n.Part, Staff: 1}, Voice: 1, Text: y, Ends: last != '-'})
	}
}

// A singer breathes where the text stops: common practice, no source. The tune
// itself says nothing of where its lines end.
func TestPhrasesFollowText(t *testing.T) {
	const even = "c4 d4 e4 d4 f4 e4 g4 f4 e4 f4 d4 e4 c4 d4 b3 c4 d4 e4 c4 d4 f4 e4 g4 f4"
	silent := tune(t, 4, 0, even)
	if got := phraseStarts(silent); got != "1:1" {
		t.Fatalf("without text: phrases start at %s", got)
	}
	s := tune(t, 4, 0, even)
	sing(s, "and", "so", "we", "row", "the", "boat", "up-", "on", "the", "lake", "to-", "day;",
		"the", "reeds", "are", "low", "and", "still", "the", "wa-", "ter", "goes", "its", "way.")
	w := DefaultWeights()
	w.Text = 4 // more than it usually weighs, so that it decides alone
	phrases, _ := Find(s, 0, nil, w)
	if len(phrases) != 2 || s.At(phrases[1].Start).String() != "4:1" {
		t.Errorf("phrases %+v, want the second at 4:1", phrases)
	}
}

func TestTextStops(t *testing.T) {
	s := tune(t, 4, 0, "c4 d4 e4 f4 g4 a4 b4 c5")
	sing(s, "lamp,", "o-", "ver.", "_", "“Row!”", "and", "tide", "far")
	v := newSurface(s, 0, DefaultWeights())
	for i, want := range []float64{0.5, 0, 0, 1, 1, 0, 0} {
		if got := v.stop(v.lines[0].events[i], s.Notes[i+1].Onset); got != want {
			t.Errorf("after note %d: %v, want %v", i+1, got, want)
		}
	}
}

// Beside a keyboard a singer takes no breath where a syllable goes on to the next note, nor
// under a note held in a word. Common practice, no source.
func TestNoBreathInsideAWord(t *testing.T) {
	s := tune(t, 4, 0, "c4 d4 e4 f4")
	sing(s, "o-", "_", "ver", "now")
	s.Parts = append(s.Parts, score.Part{ID: "P2", Name: "Keyboard", Staves: 2})
	v := newSurface(s, 0, DefaultWeights())
	e := v.lines[0].events
	if insideWord > -1 {
		t.Errorf("inside a word nothing speaks against a breath: %d", insideWord)
	}
	for i, want := range []float64{insideWord, 0, 0} {
		if got := v.stop(e[i], e[i+1].onset); got != want {
			t.Errorf("after note %d: %v, want %v", i+1, got, want)
		}
	}
	if got := v.stop(e[0], e[0].onset+1); got != insideWord {
		t.Errorf("under the first note: %v", got)
	}
	if got := v.stop(e[3], e[3].onset+1); got != 0 {
		t.Errorf("under the last note: %v", got)
	}
}
