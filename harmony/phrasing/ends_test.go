package phrasing

import (
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// choir is a progression as it is heard.
func choir(t *testing.T, chords, soprano string) (*piece, *surface) {
	s, list := written.Chorale{Chords: chords, Soprano: soprano}.Write(t, tonal.Key{})
	return &piece{Chords: list}, newSurface(s, 0, DefaultWeights())
}

// A phrase without a cadence ends on a dominant that lasts, of its key or of another, or on
// the tonic where the music stops; where it goes on at once it runs on. Common practice, no
// source.
func TestOpenEnds(t *testing.T) {
	for _, x := range []struct {
		name, chords string
		end          int        // index of the chord the next phrase starts with
		in           score.Tick // or so long after its start
		want         Open
		key          tonal.Key
	}{
		{"on V7", "I:4 ii6:4 V7:4 I:4", 3, 0, OnDominant, tonal.Key{}},
		{"on V7, the next phrase with an upbeat", "I:4 ii6:4 V7:4 I:4", 3, 2, OnDominant, tonal.Key{}},
		{"on V of vi", "I:4 ii6:4 V65/vi:4 vi:4", 3, 0, OnDominant, tonal.Key{Tonic: 3, Minor: true}},
		{"on a V in passing", "I:4 ii6:3 V7:1 I:4", 3, 0, RunsOn, tonal.Key{}},
		{"on the way", "I:4 ii6:4 IV:4 I:4", 3, 0, RunsOn, tonal.Key{}},
		{"on the last tonic", "I:4 ii6:4 IV:4 I:4", 4, 0, OnTonic, tonal.Key{}},
		{"on another chord", "I:4 ii6:4 V:4 vi:4", 4, 0, "", tonal.Key{}},
	} {
		a, v := choir(t, x.chords, "3 2 7 1")
		end := v.end
		if x.end < len(a.Chords) {
			end = a.Chords[x.end].Start + x.in
		}
		for i := range a.Chords {
			a.Chords[i].KeyConfidence = keyOfEnd - 0.01
		}
		if got, _ := a.open(v, Phrase{End: end, Cadence: -1}); got != "" && got != RunsOn {
			t.Errorf("%s in a doubtful key: %q", x.name, got)
		}
		for i := range a.Chords {
			a.Chords[i].KeyConfidence = keyOfEnd
		}
		if got, k := a.open(v, Phrase{End: end, Cadence: -1}); got != x.want || k != x.key {
			t.Errorf("%s: %q of %s, want %q of %s", x.name, got, k.Name(), x.want, x.key.Name())
		}
	}
}

// How sure a close is grows with its signs; an imperfect or a half one is less so, one that
// nothing prepares, and one after another close in its phrase. The numbers are the fitted ones.
func TestHowSureAClose(t *testing.T) {
	a, v := choir(t, "I:4 V:4 I:4 ii6:4 V7:4 I:4", "3 2 1 2 7 1")
	last := Cadence{At: a.Chords[5].Start, Chord: 5, Kind: PerfectAuthentic, Confidence: 0.9}
	sure := func(c Cadence, before ...Cadence) float64 {
		a.Cadences = append(before, c)
		return a.closes(v, Phrase{Start: 0, End: v.end, Cadence: len(before)})
	}
	whole := sure(last)
	if want := 1.1 + 0.46*2.197; logistic(want)-whole > 0.001 || whole-logistic(want) > 0.001 {
		t.Errorf("%.3f, want %.3f", whole, logistic(want))
	}
	imperfect, half, unprepared, weaker := last, last, last, last
	imperfect.Kind, half.Kind, unprepared.doubt, weaker.Confidence = ImperfectAuthentic, Half, closeUnprepared, 0.5
	for name, c := range map[string]Cadence{"imperfect": imperfect, "half": half, "unprepared": unprepared, "with weaker signs": weaker} {
		if got := sure(c); got >= whole-0.05 {
			t.Errorf("%s: %.2f, the whole one %.2f", name, got, whole)
		}
	}
	inner := Cadence{At: a.Chords[2].Start, Chord: 2, Kind: PerfectAuthentic, Confidence: 0.9}
	if got := sure(last, inner); got >= whole-0.05 {
		t.Errorf("after an inner close: %.2f, the whole one %.2f", got, whole)
	}
	early := inner
	early.At = 8
	if got := sure(last, early); got != whole {
		t.Errorf("after a close in its first measure: %.2f, the whole one %.2f", got, whole)
	}
	inner.Kind = Half
	if got := sure(last, inner); got != whole {
		t.Errorf("after an inner half cadence: %.2f, the whole one %.2f", got, whole)
	}
}

// A left hand that strikes the root and leaves it for the chord above has not inverted the
// dominant; a bass that goes below the root has, and so has one that leads to an inverted
// tonic. Common practice, no source.
func TestBassSoundsOn(t *testing.T) {
	for _, x := range []struct {
		chords string
		below  bool
		want   bool
	}{
		{"I:4 ii6:4 V:2 V42:2 I:4", false, true}, {"I:4 ii6:4 V:2 V42:2 I:4", true, false},
		{"I:4 ii6:4 V:2 V42:2 I6:4", false, false}, {"I:4 ii6:4 V:2 V65:2 I:4", false, false}, {"I:4 ii6:4 V:4 V42:4 I:4", false, false},
	} {
		s, chords := written.Chorale{Chords: x.chords, Soprano: "3 2 7 7 1"}.Write(t, tonal.Key{})
		if x.below {
			for i, n := range s.Notes {
				if n.Onset == chords[3].Start && n.Voice == 4 {
					s.Notes[i].Pitch.Octave -= 2
				}
			}
		}
		a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
		if got := a.formulaAt(v, 4).roots(); got != x.want {
			t.Errorf("%s, below %v: roots %v", x.chords, x.below, got)
		}
	}
}

// The tonic of a perfect close lasts through a plagal after-close over its bass, not after
// an imperfect one, nor through other chords. Common practice, no source.
func TestAfterClose(t *testing.T) {
	for _, x := range []struct {
		chords, soprano string
		want            score.Tick // in measures
	}{
		{"I:4 ii6:4 V7:4 I:2 IV64:1 I:1 ii:4", "3 2 7 1 1 1 2", 4},
		{"I:4 ii6:4 V7:4 I:2 IV:1 I:1 ii:4", "3 2 7 1 1 1 2", 0},
		{"I:4 ii6:4 V7:4 I:2 IV64:1 I:1 ii:4", "3 2 7 3 1 1 2", 0},
	} {
		a, v := choir(t, x.chords, x.soprano)
		want := a.extent(3)
		if x.want > 0 {
			want = x.want * 16
		}
		if got := a.afterClose(v, a.formulaAt(v, 3)); got != want {
			t.Errorf("%s under %s: to %d, want %d", x.chords, x.soprano, got, want)
		}
	}
}

// A tonic that starts the next phrase closes the one before if its dominant is prepared and
// the tonic is on top, or a dominant seventh goes there without a pause: an elision. Common
// practice, no source.
func TestMayElide(t *testing.T) {
	for _, x := range []struct {
		chords, soprano string
		want            bool
	}{
		{"I:4 ii6:4 V7:4 I:4", "3 2 7 1", true}, {"I:4 iii:4 V7:4 I:4", "3 3 7 1", false},
		{"I:4 ii6:4 V7:4 I:4", "3 2 7 3", true}, {"I:4 ii6:4 V:4 I:4", "3 2 7 3", false}, {"I:4 ii6:4 V65:4 I:4", "3 2 2 3", false},
	} {
		a, v := choir(t, x.chords, x.soprano)
		if got := a.mayElide(v, a.formulaAt(v, 3)); got != x.want {
			t.Errorf("%s under %s: %v", x.chords, x.soprano, got)
		}
	}
}

// After a rest, a tonic that comes with the upbeat to the next phrase and stays is the next
// phrase's. Common practice, no source.
func TestUpbeatTonic(t *testing.T) {
	for _, x := range []struct {
		name, chords, soprano string
		end                   score.Tick // in quarters
		want                  bool
	}{
		{"after a rest", "I:4 ii6:4 V7:2 -:1 I:5 V:4", "3 2 7 1 1 2", 12, true},
		{"at once", "I:4 ii6:4 V7:3 I:5 V:4", "3 2 7 1 2", 12, false},
		{"it ends there", "I:4 ii6:4 V7:2 -:1 I:1 V:4", "3 2 7 1 1 2", 12, false},
		{"on the downbeat", "I:4 ii6:4 V7:3 -:1 I:4 V:4", "3 2 7 1 1 2", 13, false},
	} {
		a, v := choir(t, x.chords, x.soprano)
		f := formula{turn: turn{p: 2, i: 3}, kind: PerfectAuthentic}
		if got := a.upbeatTonic(v, f, 4*x.end); got != x.want {
			t.Errorf("%s: %v", x.name, got)
		}
	}
}

// A phrase that comes to rest on its dominant borrows no tonic from the next one, be it its
// upbeat or its downbeat. Common practice, no source.
func TestNoBorrowedTonic(t *testing.T) {
	for _, x := range []struct {
		chords, soprano string
		rests           bool // the bass holds the dominant alone for its last beat
		want            CadenceKind
	}{
		{"I:4 ii6:4 V7:3 I:5 vi:4 IV:4", "3 2 7 1 1 1", true, ""}, {"I:4 ii6:4 V7:3 I:5 vi:4 IV:4", "3 2 7 1 1 1", false, PerfectAuthentic},
		{"I:4 ii6:4 V7:4 I:4 vi:4 IV:4", "3 2 7 1 1 1", false, PerfectAuthentic}, {"I:4 vi:4 V7:4 I:4 vi:4 IV:4", "3 1 7 1 1 1", false, ""},
	} {
		s, chords := written.Chorale{Chords: x.chords, Soprano: x.soprano}.Write(t, tonal.Key{})
		for i, n := range s.Notes {
			if x.rests && n.Onset == 32 && n.Voice < 4 {
				s.Notes[i].Duration = 8
			}
		}
		if got := closesAt(s, chords, 48); got != x.want {
			t.Errorf("%s: %q, want %q", x.chords, got, x.want)
		}
	}
}

// A phrase ends with the after-close of its cadence, and keeps what speaks against that.
// Common practice, no source.
func TestCadenceAtTheEnd(t *testing.T) {
	for _, x := range []struct {
		chords string
		doubt  float64
	}{{"I:4 ii6:4 V7:4 I:1 IV64:2 I:1 vi:4 IV:4", 0}, {"I:4 vi:4 V7:4 I:1 IV64:2 I:1 vi:4 IV:4", closeUnprepared}} {
		a, v := choir(t, x.chords, "3 2 7 1 1 1 1 1")
		phrases := []Phrase{{Start: 0, End: 64, Cadence: -1}, {Start: 64, End: v.end, Cadence: -1}}
		list := a.settle(v, a.endings(v), phrases)
		k := phrases[0].Cadence
		if k < 0 || list[k].Kind != PerfectAuthentic || !strings.Contains(list[k].Why, "end of a phrase") || list[k].doubt < x.doubt || list[k].doubt > x.doubt {
			t.Errorf("%s: %d of %+v", x.chords, k, list)
		}
	}
}

// One line after another, never two at a time, is no chord to close on, unless it stops there.
// Common practice, no source.
func TestLoneLine(t *testing.T) {
	for _, x := range []struct {
		name          string
		second, bass  bool
		fermata, want bool
	}{
		{"two notes", true, false, false, true}, {"over a bass", true, true, false, false}, {"two notes to a fermata", true, false, true, false}, {"one note to a fermata", false, false, true, true},
	} {
		s, chords := written.Chorale{Chords: "I:4 ii6:4 vii°6:4 I:4 V:4", Soprano: "3 4 7 1 7"}.Write(t, tonal.Key{})
		var notes []score.Note
		for _, n := range s.Notes {
			switch {
			case n.Onset != 48 || n.Voice == 4 && x.bass:
				notes = append(notes, n)
			case n.Voice == 1 && x.second:
				first, second := n, n
				first.Duration, second.Duration, second.Onset = 8, 8, 56
				notes = append(notes, first, second)
			case n.Voice == 1:
				notes = append(notes, n)
			}
		}
		s.Notes = notes
		if x.fermata {
			s.Fermatas = []score.Fermata{{Place: score.Place{At: 56}}}
		}
		v := newSurface(s, 0, DefaultWeights())
		if got := v.lone(chords[3].Start, chords[3].End); got != x.want {
			t.Errorf("%s: %v", x.name, got)
		}
	}
}

// A dominant that nothing prepares is doubted, one with its seventh from the first, and a
// plagal cadence that no fermata holds.
func TestDoubtOfAnEnd(t *testing.T) {
	of := func(k CadenceKind, set Sign, to float64, r rest, sixFour bool) ending {
		e := ending{formula: formula{kind: k, sixFour: sixFour}, rest: r}
		e.signs[set] = to
		return e
	}
	for _, x := range []struct {
		e    ending
		want float64
	}{
		{of(PerfectAuthentic, Prepared, 0, rest{}, false), closeUnprepared}, {of(PerfectAuthentic, Prepared, 1, rest{}, false), 0}, {of(PerfectAuthentic, Prepared, 0, rest{}, true), 0},
		{of(ImperfectAuthentic, Prepared, 0, rest{}, false), 0}, {of(Half, SeventhAtOnce, 1, rest{}, false), closeSeventh}, {of(Half, SeventhAtOnce, 0, rest{}, false), 0},
		{of(Plagal, Prepared, 0, rest{}, false), closePlagal}, {of(Plagal, Prepared, 0, rest{fermata: true}, false), 0},
	} {
		if got := x.e.doubt(); got < x.want || got > x.want {
			t.Errorf("%s: %.2f, want %.2f", x.e.kind, got, x.want)
		}
	}
}

// A perfect close is that of its phrase though its coda ends with a weaker, imperfect one to
// the same tonic. Common practice, no source.
func TestAfterPerfect(t *testing.T) {
	perfect := Cadence{At: 16, Kind: PerfectAuthentic, Confidence: 0.6}
	imperfect := Cadence{At: 64, Kind: ImperfectAuthentic, Confidence: 0.4}
	for _, x := range []struct {
		name   string
		change func(c, d *Cadence, p *Phrase)
		want   int
	}{
		{"close and coda", func(_, _ *Cadence, _ *Phrase) {}, 0},
		{"less sure", func(c, _ *Cadence, _ *Phrase) { c.Confidence = 0.3 }, 1},
		{"another key", func(c, _ *Cadence, _ *Phrase) { c.Key.Tonic = 1 }, 1},
		{"another phrase", func(_, _ *Cadence, p *Phrase) { p.Start = 20 }, 1},
		{"both perfect", func(_, d *Cadence, _ *Phrase) { d.Kind = PerfectAuthentic }, 1},
		{"long before", func(_, d *Cadence, _ *Phrase) { d.At = 96 }, 1},
		{"a half cadence before", func(c, _ *Cadence, _ *Phrase) { c.Kind = Half }, 1},
	} {
		a, v := choir(t, "I:4 V:4 I:4 IV:4 I:4 IV:4 I:4", "3 2 1 1 1 1 1")
		c, d, p := perfect, imperfect, Phrase{End: 112, Cadence: 1}
		x.change(&c, &d, &p)
		phrases := []Phrase{p}
		if a.afterPerfect(v, []Cadence{c, d}, phrases); phrases[0].Cadence != x.want {
			t.Errorf("%s: cadence %d, want %d", x.name, phrases[0].Cadence, x.want)
		}
	}
}
