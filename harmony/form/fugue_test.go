package form

import (
	"slices"
	"testing"

	"hairpin/score"
)

// subject is an invented one: two bars of eighths and quarters, by its places above C5.
var subject = []struct{ at, length, place int }{
	{0, 2, 0}, {2, 2, 1}, {4, 2, 2}, {6, 2, 4}, {8, 4, 5}, {12, 4, 1}, {16, 2, 3}, {18, 2, 2}, {20, 2, 1}, {22, 2, 0}, {24, 4, -1}, {28, 4, 2},
}

// sung is one entry of it.
type sung struct {
	bar, steps int // steps of the staff
	head       int // steps that its first note stands otherwise: a tonal answer
	down       bool
}

// fugal writes entries, bar for bar of four quarters, and under them, from the bar on in
// which the second starts, a free voice of long notes, high above, low below or between.
func fugal(bars int, free bool, list ...sung) (*score.Score, []Phrase) {
	s := &score.Score{Division: division, Parts: []score.Part{{ID: "P1"}}}
	const bar = 4 * division
	for i := range bars {
		s.Measures = append(s.Measures, score.Measure{Start: score.Tick(bar * i), Length: bar, Nominal: bar, Beats: 4, BeatUnit: 4})
	}
	add := func(at, length, place int) {
		s.Notes = append(s.Notes, note(at/bar, score.Tick(at), score.Tick(length), place))
	}
	for _, e := range list {
		for i, n := range subject {
			place := n.place
			if e.down {
				place = -place
			}
			if i == 0 {
				place += e.head
			}
			add(e.bar*bar+n.at, n.length, 35+e.steps+place)
		}
	}
	for i := list[1].bar; free && i < bars; i++ {
		for k, off := range []int{-21 + i%3, -9 + 2*(i%2), 11 - i%4} {
			at := i*bar + 8*(k%2)
			add(at, bar-8*(k%2), 35+off)
		}
	}
	slices.SortStableFunc(s.Notes, func(a, b score.Note) int { return int(a.Onset - b.Onset) })
	return s, []Phrase{{Span: Span{0, s.Length()}, Close: FullClose, Certainty: 1}}
}

// A subject alone, its answer on the fifth, changed in its head or not, the third voice at
// home again, later entries in other keys, upside down, or before the one before has ended;
// between them episodes. Laitz, The Complete Musician, and Mann, The Study of Fugue (1958),
// both from memory.
func TestFugue(t *testing.T) {
	s, phrases := fugal(24, true, sung{bar: 0}, sung{bar: 2, steps: 4, head: -1}, sung{bar: 5, steps: -7}, sung{bar: 10, steps: 5},
		sung{bar: 12, steps: 2, down: true}, sung{bar: 17}, sung{bar: 18, steps: 4}, sung{bar: 21})
	f := hear(s, 0, phrases)
	if f.Type != Fugal || f.Fugue == nil || len(f.Sections) != 1 || f.Outline != "" {
		t.Fatalf("heard %q, %+v", f.Type, f.Sections)
	}
	var bars, steps []int
	for _, e := range f.Fugue.Entries {
		bars, steps = append(bars, int(e.Start)/(4*division)), append(steps, e.Steps)
		if bar := int(e.Start) / (4 * division); e.Inverted != (bar == 12) || e.Stretto != (bar == 18) {
			t.Errorf("bar %d: upside down %v, stretto %v", bar, e.Inverted, e.Stretto)
		}
	}
	if want := []int{0, 2, 5, 10, 12, 17, 18, 21}; !slices.Equal(bars, want) {
		t.Fatalf("entries in bars %v, want %v", bars, want)
	}
	if want := []int{0, 4, -7, 5}; !slices.Equal(steps[:4], want) {
		t.Errorf("steps %v, want %v", steps[:4], want)
	}
	if e := f.Fugue.Entries[1]; e.Semitones != 7 {
		t.Errorf("the answer is %d semitones away", e.Semitones)
	}
	voices := []string{f.Fugue.Entries[0].Voice, f.Fugue.Entries[1].Voice, f.Fugue.Entries[2].Voice}
	if want := []string{"alto", "soprano", "bass"}; f.Fugue.Voices != 3 || !slices.Equal(voices, want) {
		t.Errorf("%d voices: %v", f.Fugue.Voices, voices)
	}
	if len(f.Fugue.Episodes) != 2 || f.Fugue.Episodes[0] != (Span{7 * 4 * division, 10 * 4 * division}) {
		t.Errorf("episodes %v", f.Fugue.Episodes)
	}
}

// Imitation at the octave is a canon or an invention, a subject that comes but at the start
// makes a fugal opening, and what has company from the start is no subject. Common practice,
// no source.
func TestNoFugue(t *testing.T) {
	for name, list := range map[string][]sung{
		"imitation at the octave": {{bar: 0}, {bar: 2, steps: -7}, {bar: 5}, {bar: 10, steps: 5}, {bar: 17}, {bar: 21}},
		"answer on the second":    {{bar: 0}, {bar: 2, steps: 1}, {bar: 5}, {bar: 10, steps: 5}, {bar: 17}, {bar: 21}},
		"only at the start":       {{bar: 0}, {bar: 2, steps: 4}, {bar: 5, steps: -7}, {bar: 7, steps: -3}},
		"accompanied":             {{bar: 0}, {bar: 0, steps: -14}, {bar: 2, steps: 4}, {bar: 5, steps: -7}, {bar: 10}, {bar: 17}, {bar: 21}},
		"three entries":           {{bar: 0}, {bar: 2, steps: 4}, {bar: 20}},
	} {
		s, phrases := fugal(24, true, list...)
		if f := hear(s, 0, phrases); f.Type == Fugal || f.Fugue != nil {
			t.Errorf("%s: a fugue with %d entries", name, len(f.Fugue.Entries))
		}
	}
	s, phrases := write(join(themeA, themeB, themeA), full(6))
	if f := hear(s, 0, phrases); f.Fugue != nil {
		t.Error("a tune with its bass is a fugue")
	}
}

// A subject comes back without what leads from it to the answer.
func TestSubjectEndsWhereItComesBack(t *testing.T) {
	list := make([]place, 3)
	for i := range list {
		list[i] = place{hits: make([]bool, 12), sign: 1}
		for k := range list[i].hits {
			list[i].hits[k] = i == 0 || k < 10
		}
	}
	if n := cutSubject(list, 12); n == 12 {
		t.Errorf("the subject has %d notes, and comes back once", n)
	}
	if n := cutSubject(list[:1], 12); n != 12 {
		t.Errorf("the subject has %d notes, and 12 of them come back", n)
	}
}
