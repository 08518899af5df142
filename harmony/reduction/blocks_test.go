package reduction

import (
	"slices"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// Every reduction keeps the spans, spells chord tones only, with the bass
// lowest, in order, complete, and within a tenth for each hand.
func TestReduceProperties(t *testing.T) {
	for _, f := range written.Formulas() {
		for _, k := range written.Keys() {
			c, _ := f.In(k)
			s, chords := c.Write(t, k)
			r := Reduce(s, chords, tonal.Slices(s, 0))
			if len(r.Blocks) != len(chords) {
				t.Fatalf("%s in %s: %d blocks for %d chords", f.Name, k.Name(), len(r.Blocks), len(chords))
			}
			for _, b := range r.Blocks {
				checkBlock(t, f.Name+" in "+k.Name(), b, chords[b.Chord])
			}
		}
	}
}

func checkBlock(t *testing.T, name string, b Block, c tonal.Chord) {
	t.Helper()
	p := b.Pitches()
	if b.Start != c.Start || b.End != c.End {
		t.Errorf("%s: block %d-%d for chord %d-%d", name, b.Start, b.End, c.Start, c.End)
	}
	if p[0].Class() != c.Bass {
		t.Errorf("%s: %s has %s below", name, c.Name(), p[0])
	}
	if len(p) < 3 || len(p) > 5 {
		t.Errorf("%s: %s has %d voices", name, c.Name(), len(p))
	}
	heard := map[score.Class]bool{}
	for i, x := range p {
		heard[x.Class()] = true
		if !hasClass(c.Tones, x.Class()) {
			t.Errorf("%s: %s holds %s", name, c.Name(), x)
		}
		if i > 0 && x.MIDI() <= p[i-1].MIDI() {
			t.Errorf("%s: %s is not in order: %v", name, c.Name(), p)
		}
	}
	for i, tone := range c.Tones {
		if i != 2 && !heard[tone] { // the fifth may be left out
			t.Errorf("%s: %s lacks %s: %v", name, c.Name(), tone, p)
		}
	}
	for _, hand := range [][]score.Pitch{b.Left, b.Right} {
		if n := len(hand); n > 1 && hand[n-1].Key()-hand[0].Key() > 16 {
			t.Errorf("%s: out of reach: %v", name, hand)
		}
	}
}

// Textbook progressions in close keyboard style need no parallel fifths or
// octaves: common practice, no source.
func TestReduceWithoutParallels(t *testing.T) {
	for _, k := range written.Keys() {
		c := written.Chorale{Chords: "I IV V7 I vi ii6 V7:2 I:4", Soprano: "3 4 4 3 3 4 2 1"}
		if k.Minor {
			c.Chords = "i iv V7 i VI iiø65 V7:2 i:4"
		}
		s, chords := c.Write(t, k)
		blocks := Reduce(s, chords, tonal.Slices(s, 0)).Blocks
		for i := 1; i < len(blocks); i++ {
			if x := parallels(blocks[i-1].Pitches(), blocks[i].Pitches()); x > 0 {
				t.Errorf("%s: parallels into chord %d: %v %v", k.Name(), i, blocks[i-1].Pitches(), blocks[i].Pitches())
			}
		}
	}
}

func parallels(a, b []score.Pitch) int {
	count := 0
	if len(a) != len(b) {
		return 0
	}
	for i := range a {
		for j := range i {
			if parallel(a[j], a[i], b[j], b[i]) > 0 {
				count++
			}
		}
	}
	return count
}

// The score of a reduction holds each block for its whole span, two staves, and the printed marks once.
func TestReductionScore(t *testing.T) {
	c := written.Chorale{Chords: "I IV V7:2 I:4", Soprano: "3 4 2 1"}
	s, chords := c.Write(t, tonal.Key{})
	s.Parts = append(s.Parts, score.Part{ID: "P2", Staves: 1})
	mark := func(at score.Tick, part int, m string) score.Dynamic {
		return score.Dynamic{Place: score.Place{At: at, Part: part, Staff: 1}, Mark: m}
	}
	s.Dynamics = []score.Dynamic{mark(0, 0, "p"), mark(0, 1, "mf"), mark(16, 1, "f")}
	pin := func(start, end score.Tick, part int) score.Hairpin {
		return score.Hairpin{Span: score.Span{Start: start, End: end, Part: part}}
	}
	s.Hairpins = []score.Hairpin{pin(0, 16, 1), pin(4, 12, 0), pin(16, 24, 1)}
	slur := func(start, end score.Tick) score.Slur {
		return score.Slur{Span: score.Span{Start: start, End: end, Staff: 1}}
	}
	s.Slurs = []score.Slur{slur(0, 2), slur(1, 8), slur(5, 30), slur(9, 12)}
	out := Reduce(s, chords, tonal.Slices(s, 0)).Score(s)
	if len(out.Slurs) != 1 || out.Slurs[0].Start != 0 || out.Slurs[0].End != 8 {
		t.Errorf("slurs %+v", out.Slurs)
	}
	var sum score.Tick
	for _, n := range out.Notes {
		if n.Voice == 1 && !n.Chord {
			sum += n.Duration
		}
		if n.Part != 0 || n.Staff < 1 || n.Staff > 2 {
			t.Errorf("note on part %d, staff %d", n.Part, n.Staff)
		}
	}
	if sum != s.Length() {
		t.Errorf("the right hand lasts %d, the score %d", sum, s.Length())
	}
	if len(out.Dynamics) != 2 || out.Dynamics[0].Mark != "p" || out.Dynamics[1].Mark != "f" {
		t.Errorf("dynamics %+v", out.Dynamics)
	}
	if len(out.Hairpins) != 2 || out.Hairpins[0].Start != 4 || out.Hairpins[1].Start != 16 {
		t.Errorf("hairpins %+v", out.Hairpins)
	}
}

// Of the pitches that were on top for long each may be the melody, the longest
// and of equals the highest first; the rest are left out.
func TestCrowns(t *testing.T) {
	c := func(octave int) score.Pitch { return score.Pitch{Octave: octave} }
	list := crowns(map[score.Pitch]float64{c(4): 4, c(5): 4, c(6): 2, c(7): 1})
	var got []int
	for _, x := range list {
		got = append(got, x.pitch.Octave)
	}
	if !slices.Equal(got, []int{5, 4, 6}) || list[1].cost > 0 || list[2].cost <= 0 {
		t.Errorf("%+v", list)
	}
	if len(crowns(nil)) != 1 {
		t.Error("silence has no melody at all")
	}
}

// The melody of a reduction does not leap about where the chord was broken
// over octaves.
func TestMelodyLeapsLittle(t *testing.T) {
	a, b := voicing{tones: []score.Pitch{{Octave: 2}, {Octave: 6}}}, voicing{tones: []score.Pitch{{Octave: 2}, {Octave: 4}}}
	if stay, leap := moveCost(a, a), moveCost(a, b); leap < stay+3 {
		t.Errorf("two octaves cost %v, staying %v", leap, stay)
	}
}
