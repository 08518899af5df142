package phrasing

import (
	"testing"

	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// A phrase that ends on the tonic after its dominant, or on the dominant, is told to,
// however little else speaks for a close: no predominant, a weak beat, no pause. Gotham et
// al., Open Music Theory (2nd ed., 2021), define cadences by the last two chords alone.
func TestEndOfAPhraseIsNamed(t *testing.T) {
	for _, x := range []struct {
		chords, soprano string
		want            CadenceKind
	}{
		{"I V7 I V7 I V7 I:3 I6 vi I6 vi I6 vi I6", "3 2 3 4 3 2 3 5 6 5 6 5 6 5", ImperfectAuthentic},
		{"I IV I IV I IV V:2 I6 vi I6 vi I6 vi I6", "3 4 3 4 3 4 4 5 6 5 6 5 6 5", Half},
	} {
		s, chords := written.Chorale{Chords: x.chords, Soprano: x.soprano}.Write(t, tonal.Key{})
		a := &piece{Chords: chords}
		v := newSurface(s, 0, DefaultWeights())
		phrases := []Phrase{{Start: 0, End: 32, Cadence: -1}, {Start: 32, End: s.Length(), Cadence: -1}}
		if x.want == ImperfectAuthentic {
			phrases[0].End, phrases[1].Start = 36, 36
		}
		list := a.settle(v, a.endings(v), phrases)
		if k := phrases[0].Cadence; k < 0 || list[k].Kind != x.want {
			t.Errorf("%s: cadence %d of %+v, want %s", x.chords, k, list, x.want)
		}
	}
}

// A tonic over itself closes nothing: the close is where the dominant resolves, and it is
// imperfect if the tonic's third is in the bass there, though the root follows. Common
// practice, no source.
func TestTonicAgain(t *testing.T) {
	for _, k := range written.Keys() {
		for _, x := range []struct {
			major, minor, soprano string
			at                    score.Tick
			want                  CadenceKind
		}{
			{"I ii6 V7:2 I:4 I6:2 I:2", "i iiø65 V7:2 i:4 i6:2 i:2", "3 2 7 1 1 1", 16, PerfectAuthentic},
			{"I ii6 V7:2 I6:2 I:2", "i iiø65 V7:2 i6:2 i:2", "3 2 7 1 1", 16, ImperfectAuthentic},
		} {
			s, chords := written.Chorale{Chords: written.Pick(k, x.major, x.minor), Soprano: x.soprano}.Write(t, k)
			_, list := Find(s, 0, chords, DefaultWeights())
			if n := len(list); n == 0 || list[n-1].At != x.at || list[n-1].Kind != x.want {
				t.Errorf("%s in %s: %+v, want %s at %d", x.major, k.Name(), list, x.want, x.at)
			}
		}
	}
}

// The dominant's root that the bass takes by step just before the tonic makes the close
// perfect, though the chord stood on another tone before: 4–5–1. Common practice, no source.
func TestBassReachesTheRoot(t *testing.T) {
	k := tonal.Key{}
	s, chords := written.Chorale{Chords: "I ii6 V42:2 I:4", Soprano: "3 2 7 1"}.Write(t, k)
	if a, v := (&piece{Chords: chords}), newSurface(s, 0, DefaultWeights()); a.formulaAt(v, 3).kind != ImperfectAuthentic {
		t.Error("V42 to I is perfect")
	}
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Onset == 8 && n.Voice == 4 { // the bass goes on from the seventh to the root
			n.Duration = 4
			root := *n
			root.Onset, root.Pitch = 12, tonal.PitchNear(k.Degree(5), int(n.Pitch.MIDI())+2)
			s.Notes = append(s.Notes[:i+1], append([]score.Note{root}, s.Notes[i+1:]...)...)
			break
		}
	}
	sortNotes(s)
	if a, v := (&piece{Chords: chords}), newSurface(s, 0, DefaultWeights()); a.formulaAt(v, 3).kind != PerfectAuthentic {
		t.Error("4–5–1 in the bass is not perfect")
	}
}

func sortNotes(s *score.Score) {
	for i := range s.Notes {
		for j := i; j > 0 && s.Notes[j].Onset < s.Notes[j-1].Onset; j-- {
			s.Notes[j], s.Notes[j-1] = s.Notes[j-1], s.Notes[j]
		}
	}
}

// A dominant seventh that goes up a semitone to bVI is a deceptive turn in the middle of a
// phrase too. Caplin, Classical Form (1998), chapter 3, from memory.
func TestDeceptiveInsideAPhrase(t *testing.T) {
	for _, k := range written.Keys() {
		c := written.Chorale{Chords: written.Pick(k, "I:4 V7:4 bVI:4 ii6:2 V7:2 I:4", "i:4 V7:4 VI:4 iiø65:2 V7:2 i:4"), Soprano: "1 7 1 1 7 1"}
		s, chords := c.Write(t, k)
		_, list := Find(s, 0, chords, DefaultWeights())
		if len(list) < 2 || list[0].Kind != Deceptive || list[0].At != 32 {
			t.Errorf("%s: %+v, want a deceptive cadence in the third measure", k.Name(), list)
		}
	}
}

// A dominant closes in the key it comes from, though its tonic is already the dominant of
// the next. Common practice, no source.
func TestClosesInTheOldKey(t *testing.T) {
	old, next := tonal.Key{Tonic: 1}, tonal.Key{}
	s, chords := written.Chorale{Chords: "vi ii6 V7:2 I:4", Soprano: "3 2 7 1"}.Write(t, old)
	last := &chords[len(chords)-1]
	last.Key = next
	last.Numeral, _ = tonal.NameChord(last.Tones, last.Bass, next)
	_, list := Find(s, 0, chords, DefaultWeights())
	if n := len(list); n == 0 || list[n-1].Kind != PerfectAuthentic || list[n-1].Key != old {
		t.Errorf("heard %+v, want a perfect cadence in G major", list)
	}
}

// A half close takes the mode of the tonic that sounds in its phrase; a phrase that begins
// with the dominant, reaches it by its own dominant and never sounds the tonic closes in
// the dominant's key. Common practice, no source.
func TestKeyOfItsPlace(t *testing.T) {
	minor := tonal.Key{Tonic: 3, Minor: true}
	for _, x := range []struct {
		chords, soprano string
		want            tonal.Key
		half            bool
	}{
		{"I:2 iv:2 V:4", "3 1 7", tonal.Key{Tonic: 3}, true},
		{"i:2 iv:2 V:4", "3 1 7", minor, true},
		{"V:2 V6:2 V7/V:2 V:4", "2 7 1 7", tonal.Key{Tonic: 4}, false},
		{"i:2 V6:2 V7/V:2 V:4", "3 7 1 7", minor, true},
	} {
		s, chords := written.Chorale{Chords: x.chords, Soprano: x.soprano}.Write(t, minor)
		_, list := Find(s, 0, chords, DefaultWeights())
		if n := len(list); n == 0 || list[n-1].Key != x.want || list[n-1].Kind.IsHalf() != x.half {
			t.Errorf("%s: %+v, want one in %s", x.chords, list, x.want.Name())
		}
	}
}

// The same music closes in the same way and key, moved as the music is; a new end is not
// renamed. Common practice, no source.
func TestRepeatedClosesHaveOneName(t *testing.T) {
	again := form.Return{First: form.Span{Start: 0, End: 64}, Again: form.Span{Start: 64, End: 128}, Likeness: 0.9, Steps: 4, Semitones: 7}
	v := &surface{s: &score.Score{Measures: []score.Measure{{Length: 128, Nominal: 128}}}, returns: []form.Return{again}}
	for _, x := range []struct {
		name string
		root score.Class
		key  tonal.Key
		want tonal.Key
		kind CadenceKind
	}{
		{"unsure of the mode", 1, tonal.Key{Tonic: 1, Minor: true}, tonal.Key{Tonic: 1}, PerfectAuthentic},
		{"another end", 0, tonal.Key{}, tonal.Key{}, ImperfectAuthentic},
	} {
		a := &piece{
			Chords: []tonal.Chord{{Root: 0}, {Root: x.root}},
			Cadences: []Cadence{
				{At: 48, Chord: 0, Kind: PerfectAuthentic, Confidence: 0.9},
				{At: 112, Chord: 1, Kind: ImperfectAuthentic, Key: x.key, Confidence: 0.4},
			},
		}
		a.nameAlike(v)
		if c := a.Cadences[1]; c.Key != x.want || c.Kind != x.kind {
			t.Errorf("%s: %s in %s, want %s in %s", x.name, c.Kind, c.Key.Name(), x.kind, x.want.Name())
		}
	}
}

// A dominant with its seventh that ends a phrase and goes right over into the tonic that
// begins the next is answered by it; a plain dominant is a place to stop. Gotham et al.,
// Open Music Theory (2nd ed., 2021), on half cadences, from memory: a triad, no seventh.
func TestRunsOverIntoTheNext(t *testing.T) {
	for dominant, want := range map[string]bool{"V7:4": false, "V:4": true} {
		s, chords := written.Chorale{Chords: "I:4 ii6:4 " + dominant + " I:4 IV:4 I:4", Soprano: "3 2 7 1 1 1"}.Write(t, tonal.Key{})
		a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
		phrases := []Phrase{{Start: 0, End: chords[3].Start, Cadence: -1}, {Start: chords[3].Start, End: s.Length(), Cadence: -1}}
		list := a.settle(v, a.endings(v), phrases)
		if k := phrases[0].Cadence; k < 0 || list[k].Kind.IsHalf() != want {
			t.Errorf("%s: cadence %d of %+v, want half: %v", dominant, k, list, want)
		}
	}
}
