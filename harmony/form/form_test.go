package form

import (
	"testing"

	"hairpin/score"
)

// A tune is bars of four quarters, each a letter per note: "cdef" climbs from C5. A
// lower-case figure before a colon moves the bar by so many steps of the staff.
const division = 4

// write sets out bars with one bass note each; every four bars make a phrase.
func write(bars []string, closes []Close) (*score.Score, []Phrase) {
	s := &score.Score{Division: division, Parts: []score.Part{{ID: "P1"}}}
	for i, b := range bars {
		start := score.Tick(4 * division * i)
		s.Measures = append(s.Measures, score.Measure{Start: start, Length: 4 * division, Nominal: 4 * division, Beats: 4, BeatUnit: 4})
		for k, r := range b {
			s.Notes = append(s.Notes, note(i, start+score.Tick(division*k), division, int(r-'a')+33))
		}
		s.Notes = append(s.Notes, note(i, start, 4*division, int(b[0]-'a')+19))
	}
	var phrases []Phrase
	for i := 0; 4*i < len(bars); i++ {
		p := Phrase{Span: Span{s.Measures[4*i].Start, s.Measures[4*i+3].End()}, Certainty: 1}
		if i < len(closes) {
			p.Close = closes[i]
		}
		phrases = append(phrases, p)
	}
	return s, phrases
}

func note(measure int, at, length score.Tick, place int) score.Note {
	return score.Note{Onset: at, Duration: length, Measure: measure, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: place % 7, Octave: place / 7}}
}

// The themes are eight bars long and share no bar.
var (
	themeA = []string{"cegh", "gfed", "efga", "agfe", "dfae", "hgfa", "fedc", "cccc"}
	themeB = []string{"jjih", "hhgf", "ijkj", "ihgg", "kkji", "gijk", "hgfh", "eeee"}
	themeC = []string{"acac", "bdbd", "cfcf", "dgdg", "ecgc", "fbab", "gagf", "aaaa"}
)

func join(parts ...[]string) []string {
	var out []string
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

// moved writes a theme so many steps of the staff higher.
func movedBy(theme []string, steps int) []string {
	var out []string
	for _, b := range theme {
		up := []rune(b)
		for i := range up {
			up[i] += rune(steps)
		}
		out = append(out, string(up))
	}
	return out
}

// The large forms by their letters: common practice, no source.
func TestOutline(t *testing.T) {
	for _, c := range []struct {
		want string
		bars []string
	}{
		{"", join(themeA)},
		{"A–B–A", join(themeA, themeB, themeA)},
		{"A–B–A–C–A", join(themeA, themeB, themeA, themeC, themeA)},
		{"A–B–A'", join(themeA, themeB, movedBy(themeA, 4))},
	} {
		closes := make([]Close, len(c.bars)/4)
		for i := range closes {
			closes[i] = OpenClose + Close(i%2)*(FullClose-OpenClose)
		}
		s, phrases := write(c.bars, closes)
		f := hear(s, 0, phrases)
		if f.Outline != c.want {
			t.Errorf("%q: heard %q: %+v", c.want, f.Outline, f.Sections)
		}
		if last := f.Units[len(f.Units)-1]; f.Units[0].Start != 0 || last.End != s.Length() {
			t.Errorf("%q: the units do not cover the piece: %+v", c.want, f.Units)
		}
	}
}

// A return a fifth higher is known, and by how much it moved.
func TestTransposedReturn(t *testing.T) {
	s, _ := write(join(themeA, themeB, movedBy(themeA, 4)), nil)
	list := Read(s, 0).Returns
	if len(list) != 1 {
		t.Fatalf("returns: %+v", list)
	}
	r := list[0]
	if r.FirstBar != 0 || r.Bar != 16 || r.Count != 8 || r.Kind != Transposed || r.Steps != 4 || r.Semitones != 7 {
		t.Errorf("heard %+v", r)
	}
	if at, ok := r.Before(s.Measures[17].Start); !ok || at != s.Measures[1].Start {
		t.Errorf("bar 18 goes back to %d, %v", at, ok)
	}
}

// A theme with a new accompaniment is the theme, varied; other music is none.
func TestVariedReturn(t *testing.T) {
	s, _ := write(join(themeA, themeB, themeA), nil)
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Measure >= 16 && n.Duration > division {
			n.Pitch.Step = (n.Pitch.Step + 2) % 7
		}
	}
	list := Read(s, 0).Returns
	if len(list) != 1 || list[0].Kind != Varied || list[0].Count != 8 || list[0].Likeness > sameNotes {
		t.Errorf("heard %+v", list)
	}
	s, _ = write(join(themeA, themeB, themeC), nil)
	if list := Read(s, 0).Returns; len(list) > 0 {
		t.Errorf("three themes: heard %+v", list)
	}
}

// The period: two phrases start alike, the second closes more firmly. The sentence:
// an idea, the idea again, a continuation. Schoenberg, Fundamentals of Musical
// Composition (1967), chapters V to VIII, from memory; the tunes are ours.
func TestPeriodAndSentence(t *testing.T) {
	period := join(themeA[:4], themeA[:2], themeA[6:])
	for _, c := range []struct {
		closes []Close
		want   [2]Role
	}{
		{[]Close{OpenClose, FullClose}, [2]Role{Antecedent, Consequent}},
		{[]Close{FullClose, OpenClose}, [2]Role{Single, Single}},
	} {
		s, phrases := write(period, c.closes)
		f := hear(s, 0, phrases)
		if got := [2]Role{f.Ideas[0].Role, f.Ideas[1].Role}; got != c.want {
			t.Errorf("closes %v: heard %v, want %v", c.closes, got, c.want)
		}
		if paired := len(f.Units) == 1; paired != (c.want[0] == Antecedent) {
			t.Errorf("closes %v: units %+v", c.closes, f.Units)
		}
	}
	s, phrases := write(join([]string{"cegh", "gfed"}, movedBy([]string{"cegh", "gfed"}, 1), themeB[4:]), nil)
	whole := []Phrase{{Span: Span{0, phrases[1].End}, Close: FullClose, Certainty: 1}}
	if f := hear(s, 0, whole); f.Ideas[0].Role != Sentence {
		t.Errorf("a sentence is heard as %q", f.Ideas[0].Role)
	}
	if s, _ := write(themeB, nil); hear(s, 0, whole).Ideas[0].Role != Single {
		t.Error("a phrase without repetition is called a sentence")
	}
}

// Phrases of one music have one letter.
func TestLetters(t *testing.T) {
	s, phrases := write(join(themeA[:4], themeB[:4], themeA[:4], movedBy(themeA[:4], 2)), nil)
	want := []string{"a", "b", "a", "a'"}
	for i, x := range hear(s, 0, phrases).Ideas {
		if got := prime(x.Letter, x.Prime); got != want[i] {
			t.Errorf("phrase %d is %s, want %s: %s", i+1, got, want[i], x.Why)
		}
	}
}

func TestNothingToHear(t *testing.T) {
	if f := hear(&score.Score{Division: 1}, 0, nil); len(f.Ideas)+len(f.Sections)+len(f.Returns) > 0 {
		t.Errorf("an empty score: %+v", f)
	}
	s, phrases := write(themeA, nil)
	s.Notes = nil
	if f := hear(s, 0, phrases); len(f.Ideas) != 2 || len(f.Returns) > 0 {
		t.Errorf("silence: %+v", f)
	}
	if letter(0, 'a') != "a" || letter(25, 'A') != "Z" || letter(26, 'a') != "a2" {
		t.Error("letters go on after z")
	}
}
