package phrasing

import (
	"testing"

	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// rondo is four measures of a theme, eight of other music without a rest in them, and the
// theme again on the tonic that the dominant before it asks for. Our own.
var rondo = written.Chorale{
	Chords: "I:2 V6:2 I:2 IV:2 ii6:2 V7:2 I:4 " +
		"vi:4 iii:4 IV:4 I6:4 ii:4 vi:4 ii6:4 Cad64:2 V7:2 " +
		"I:2 V6:2 I:2 IV:2 ii6:2 V7:2 I:4",
	Soprano: "1 2 3 4 2 7 1 " + "6 5 4 3 4 3 2 1 7 " + "1 2 3 4 2 7 1",
}

// Where the opening comes back a phrase starts, and the phrase before it closes with the
// same chord: an elision (common practice, no source).
func TestPhraseStartsWithTheOpening(t *testing.T) {
	for _, k := range []tonal.Key{{}, {Tonic: 3}} {
		s, chords := rondo.Write(t, k)
		phrases, cadences := Find(s, 0, chords, DefaultWeights())
		back := s.Measures[12].Start
		for i, p := range phrases {
			if p.End != back {
				continue
			}
			if p.Cadence < 0 || cadences[p.Cadence].At != back || cadences[p.Cadence].Kind != PerfectAuthentic {
				t.Errorf("%s: phrase %d ends with %d of %+v", k.Name(), i+1, p.Cadence, cadences)
			}
			back = -1
		}
		if back >= 0 {
			t.Errorf("%s: no phrase starts at measure 13: %+v", k.Name(), phrases)
		}
	}
}

// The dominant's upper tones over the last bass, on a beat stronger than that of their
// resolution, do not hide the dominant before them; on a weaker one they are a chord of
// their own. Nothing is evaded either way.
func TestDominantLeansOnTheTonic(t *testing.T) {
	for _, x := range []struct {
		chords string
		want   CadenceKind
	}{
		{"I:4 IV:4 ii6:2 V7:2 vii°6:2 I:2", PerfectAuthentic},
		{"I:4 IV:4 ii6:1 V7:1 vii°6:2 I:4", ImperfectAuthentic},
		{"I:4 IV:4 Cad64:2 V7:2 vii°6:2 I:2", PerfectAuthentic},
	} {
		s, chords := written.Chorale{Chords: x.chords, Soprano: "3 4 2 7 7 1"}.Write(t, tonal.Key{})
		_, cadences := Find(s, 0, chords, DefaultWeights())
		if n := len(cadences); n == 0 || cadences[n-1].Kind != x.want || cadences[n-1].Chord != len(chords)-1 {
			t.Errorf("%s: %+v, want %s", x.chords, cadences, x.want)
		}
		for _, c := range cadences {
			if c.Kind == Evaded {
				t.Errorf("%s: evaded at %d", x.chords, c.At)
			}
		}
	}
}

// A phrase that goes on after its close to stand on the tonic ends with that close, and one
// that goes on for two measures at most; one that goes elsewhere, or whose close is unsure,
// ends without. Common practice, no source.
func TestCoda(t *testing.T) {
	s, chords := written.Chorale{Chords: "I:4 V7:4 I:4 IV:4 I:4", Soprano: "3 2 1 1 1"}.Write(t, tonal.Key{})
	_, open := written.Chorale{Chords: "I:4 V7:4 I:4 IV:4 ii:4", Soprano: "3 2 1 1 2"}.Write(t, tonal.Key{})
	v := newSurface(s, 0, DefaultWeights())
	v.lead = -1
	for _, x := range []struct {
		name   string
		chords []tonal.Chord
		c      Cadence
		want   int
	}{
		{"back to the tonic", chords, Cadence{At: 32, Chord: 2, Kind: PerfectAuthentic, Confidence: 0.6}, 0},
		{"elsewhere", open, Cadence{At: 32, Chord: 2, Kind: PerfectAuthentic, Confidence: 0.6}, -1},
		{"elsewhere, in the last two measures", open[:4], Cadence{At: 32, Chord: 2, Kind: PerfectAuthentic, Confidence: 0.4}, 0},
		{"withheld there", open[:4], Cadence{At: 32, Chord: 2, Kind: Evaded, Confidence: 0.4}, 0},
		{"unsure", chords, Cadence{At: 32, Chord: 2, Kind: PerfectAuthentic, Confidence: 0.4}, -1},
		{"a half close", chords, Cadence{At: 16, Chord: 1, Kind: Half, Confidence: 0.6}, -1},
		{"another key", chords, Cadence{At: 32, Chord: 2, Kind: PerfectAuthentic, Key: tonal.Key{Tonic: 1}, Confidence: 0.6}, -1},
		{"the phrase before", chords, Cadence{At: 0, Chord: 0, Kind: PerfectAuthentic, Confidence: 0.6}, -1},
	} {
		phrases := []Phrase{{Start: 0, End: x.chords[len(x.chords)-1].End, Cadence: -1}}
		(&piece{Chords: x.chords}).codas(v, []Cadence{x.c}, phrases)
		if phrases[0].Cadence != x.want {
			t.Errorf("%s: cadence %d, want %d", x.name, phrases[0].Cadence, x.want)
		}
	}
}

// The same turn closes alike wherever its music stands, if a phrase ends there.
func TestClosesAreShared(t *testing.T) {
	v := &surface{returns: []form.Return{{First: form.Span{Start: 0, End: 64}, Again: form.Span{Start: 128, End: 192}, Likeness: 0.9}}}
	list := []candidate{
		{cadence: Cadence{At: 48, Kind: Half, Confidence: 0.2}, ends: true},
		{cadence: Cadence{At: 112, Kind: Half, Confidence: 0.9}, ends: true},
		{cadence: Cadence{At: 176, Kind: Half, Confidence: 0.6}, ends: true},
		{cadence: Cadence{At: 176, Kind: PerfectAuthentic, Confidence: 0.1}, ends: true},
		{cadence: Cadence{At: 160, Kind: Half, Confidence: 0.3}},
	}
	v.shareCloses(list)
	for i, want := range []float64{0.6, 0.9, 0.6, 0.1, 0.3} {
		if got := list[i].cadence.Confidence; got < want-1e-9 || got > want+1e-9 {
			t.Errorf("formula %d closes with %v, want %v", i, got, want)
		}
	}
}

// Where the words stop the singer does, though what accompanies goes on.
func TestWordsThatStopAreARest(t *testing.T) {
	s, chords := written.Chorale{Chords: "I:4 V:4", Soprano: "3 2"}.Write(t, tonal.Key{})
	a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
	for stop, want := range map[float64]float64{0: 0.25, 1: 1} {
		e := ending{formula: formula{turn: turn{p: 0, i: 1}, kind: Half}, rest: rest{all: 0.25, stop: stop}}
		a.pauseSigns(v, &e, Phrase{End: score.Tick(32)})
		if got := e.signs[AllRest]; got < want-1e-9 || got > want+1e-9 {
			t.Errorf("words that stop by %v: %v of the lines pause, want %v", stop, got, want)
		}
	}
}

// The opening that comes back after other music starts a phrase, the more if a close
// arrives with it; what is said again at once does not.
func TestOpeningStartsAPhrase(t *testing.T) {
	s, chords := rondo.Write(t, tonal.Key{})
	a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
	v.turns = nil // new textures start phrases too
	at := s.Measures[12].Start
	places := func() []boundary { return []boundary{{at: at - 16}, {at: at}, {at: at + 8}, {at: at + 16}} }
	list := places()
	v.judgeAlike(list)
	if list[1].gain < DefaultWeights().Opening-0.01 || list[0].gain+list[2].gain > 0.01 {
		t.Errorf("gains %+v", list)
	}
	list = places()
	a.closeWith(v, a.endings(v), list)
	dominant := chords[len(chords)-8]
	if b := list[1]; b.closing < 0.3 || b.from != dominant.Start || dominant.Numeral.Degree != 5 {
		t.Errorf("closes with %v from %d, the dominant is %+v", b.closing, b.from, dominant)
	}
	for i := range v.returns {
		v.returns[i].Bar = v.returns[i].FirstBar + v.returns[i].Count
	}
	list = places()
	v.judgeAlike(list)
	if list[1].gain > 0.01 || v.opensAgain(at) {
		t.Errorf("said again at once: gain %v", list[1].gain)
	}
}
