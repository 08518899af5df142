package report

import (
	"slices"
	"testing"

	"hairpin/score"
)

// apart gives every voice of a small score a part of its own.
func apart(r *Reading, names ...string) *Reading {
	r.Score.Parts = nil
	for _, name := range names {
		r.Score.Parts = append(r.Score.Parts, score.Part{Name: name, Staves: 1})
	}
	for i := range r.Score.Notes {
		n := &r.Score.Notes[i]
		n.Part, n.Voice = n.Voice-1, 1
	}
	return r
}

// The tune of the opening in another part is told with its place, on whatever step it
// stands; what begins as it does and goes on in another way is not (common practice, no source).
func TestTuneChangesHands(t *testing.T) {
	tune := voice{4, rest, 5, 6, 4, 2, rest, 3}
	filler := voice{8, 8, 7, 7, 8, 8, 7, 7}
	low := moved(times(6, voice{0, 0, 0, 0, 0, 0, 0, 0}), -14)
	other := voice{-3, rest, -2, -1, -3, -4, rest, -5}
	for want, middle := range map[string]voice{
		"the tune of the opening passes to Viola (m. 6): let it be heard there": slices.Concat(moved(times(5, filler), -9), moved(tune, -7)),
		"": slices.Concat(moved(times(5, filler), -9), other),
	} {
		r := apart(small(slices.Concat(tune, times(5, filler)), middle, low), "Violin", "Viola", "Cello")
		if got := r.handsSentence(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	doubled := slices.Concat(tune, times(4, filler), tune)
	r := apart(small(doubled, slices.Concat(moved(times(5, filler), -9), moved(tune, -7)), low), "Violin", "Viola", "Cello")
	if got := r.handsSentence(); got != "" {
		t.Errorf("a part that doubles the tune takes it up: %q", got)
	}
}

// A key that is struck again under another name is a turn; one that goes on under its own
// name, or passes too quickly to be heard to turn, is none (common practice, no source).
func TestEnharmonicTurn(t *testing.T) {
	for _, c := range []struct {
		long score.Tick
		name score.Pitch
		want string
	}{
		{4, score.Pitch{Step: 1, Octave: 4, Alter: -1}, "C# turns into Db at 1:2: the same key of the piano, another meaning; change the colour on it"},
		{4, score.Pitch{Step: 0, Octave: 4, Alter: 1}, ""},
		{2, score.Pitch{Step: 1, Octave: 4, Alter: -1}, ""},
	} {
		r := small(voice{0, rest, 1, rest, 2, rest, 3, rest})
		r.Score.Notes[0].Pitch = score.Pitch{Step: 0, Octave: 4, Alter: 1}
		r.Score.Notes[0].Duration, r.Score.Notes[1].Duration, r.Score.Notes[1].Pitch = c.long, c.long, c.name
		if got := r.respelled(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
