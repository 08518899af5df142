package decode

import (
	"bytes"
	"math"
	"math/rand"
	"strings"
	"testing"
)

// close12 compares what was added up.
func close12(a, b float64) bool { return math.Abs(a-b) < 1e-12 }

// The published profiles are relative frequencies of the degrees: they add up to one, in the
// rounding of three places (Albrecht & Shanahan 2013).
func TestProfilesAreFrequencies(t *testing.T) {
	for name, profile := range map[string][12]float64{"major": majorProfile, "minor": minorProfile} {
		sum, most := 0.0, 0
		for i, x := range profile {
			if sum += x; x > profile[most] {
				most = i
			}
		}
		if math.Abs(sum-1) > 0.0031 || most != 0 {
			t.Errorf("%s: %.3f in all, most of degree %d", name, sum, most)
		}
	}
	if minorProfile[3] <= minorProfile[4] || majorProfile[4] <= majorProfile[3] {
		t.Error("the thirds of the modes are taken for each other")
	}
}

// Notes fit best the key whose profile they have, in every key, with a fit of none; others
// lie behind by their correlation (Krumhansl 1990 on correlating profiles; from memory).
func TestKeyFits(t *testing.T) {
	for k := range 24 {
		profile := [2][12]float64{majorProfile, minorProfile}[k/12]
		var from, to histogram
		from.add(3, 2) // what sounded before counts for nothing
		to = from
		for p := range 12 {
			to.add(p, profile[mod12(p-k%12)])
		}
		fits := keyFits(&from, &to)
		for other, x := range fits {
			if other == k && !close12(x, 0) || other != k && x >= -1e-6 || x < -2 {
				t.Errorf("notes of key %d fit key %d by %.4f", k, other, x)
			}
		}
	}
	var even histogram
	for p := range 12 {
		even.add(p, 1)
	}
	if fits := keyFits(&histogram{}, &even); fits != [24]float64{} {
		t.Errorf("twelve tones alike fit %v", fits)
	}
}

// The bass moves by nothing, by step up to a tone, by third, by fourth or fifth, or by more;
// from silence it comes by step.
func TestBassInterval(t *testing.T) {
	for semitones, want := range map[float64]int{1: 1, 2: 1, 3: 2, 4: 2, 5: 3, 7: 3, 8: 4, 11: 4, -2: 1, -3: 2, -5: 3, -8: 4} {
		if got := bassInterval(lowest{0, 48}, lowest{mod12(int(semitones)), 48 + semitones}); got != want {
			t.Errorf("%v semitones: %d, want %d", semitones, got, want)
		}
	}
	if bassInterval(lowest{0, 48}, lowest{0, 60}) != 0 || bassInterval(lowest{pc: -1}, lowest{0, 48}) != 1 {
		t.Error("an octave, or what comes from silence, moves otherwise")
	}
}

// In figuration the bass rings on under a higher note off the beat that it is left for by
// leap; not in block chords, on a beat, in a new phrase, by step or downward.
func TestBassRingsOn(t *testing.T) {
	for _, c := range []struct {
		name    string
		texture int
		metric  Metric
		phrase  bool
		bass    lowest
		low     float64
		want    bool
	}{
		{"a leap up off the beat", 0, HalfBeat, false, lowest{0, 48}, 51, true}, {"a step up", 0, HalfBeat, false, lowest{0, 48}, 50, false}, {"down", 0, HalfBeat, false, lowest{0, 48}, 43, false},
		{"on a beat", 0, Beat, false, lowest{0, 48}, 55, false}, {"in a new phrase", 0, HalfBeat, true, lowest{0, 48}, 55, false}, {"in mixed texture", 1, HalfBeat, false, lowest{0, 48}, 55, false}, {"after silence", 0, HalfBeat, false, lowest{-1, 0}, 55, false},
	} {
		v := &view{Piece: &Piece{Slices: []Slice{{Metric: c.metric, Phrase: c.phrase}}}, texture: []int{c.texture}}
		if got := v.ringsOn(0, c.bass, lowest{7, c.low}); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Beats count in full up to one and half beyond; absurd spellings are taken by twelve fifths
// into the tables, from -20 to 27.
func TestEvidenceAndSpelling(t *testing.T) {
	for beats, want := range map[float64]float64{0: 0, 0.5: 0.5, 1: 1, 2: 1.5, 4: 2.5} {
		if got := evidence(beats); !close12(got, want) {
			t.Errorf("%v beats count %v, want %v", beats, got, want)
		}
	}
	for f, want := range map[int]int{0: 0, -20: -20, -21: -9, 27: 27, 28: 16, 60: 24, -60: -12} {
		if got := clampFifths(f); got != want || pc(got) != pc(f) {
			t.Errorf("%d goes to %d, want %d", f, got, want)
		}
	}
}

// A window reaches from a slice to so many beats before its start and after its end.
func TestWindowOfBeats(t *testing.T) {
	beats := []float64{0, 1, 2, 3, 4, 5, 6}
	for _, c := range []struct {
		i     int
		reach float64
		a, b  int
	}{{3, 2, 1, 6}, {3, 1.5, 1, 6}, {3, 0, 3, 4}, {0, 2, 0, 3}, {5, 2, 3, 6}, {3, 99, 0, 6}} {
		if a, b := window(beats, c.i, c.reach); a != c.a || b != c.b {
			t.Errorf("around %d, %v beats: %d to %d, want %d to %d", c.i, c.reach, a, b, c.a, c.b)
		}
	}
}

// A tonic is spelled so that the notes around lie in its scale: with sharps around C# and F#
// major, with flats Db and Gb.
func TestNearestTonic(t *testing.T) {
	for _, c := range []struct {
		key  int
		mean float64
		want int
	}{{0, 2, 0}, {1, 9, 7}, {1, -3, -5}, {6, 8, 6}, {6, -4, -6}, {12 + 9, 2, 3}, {12 + 3, 8, 9}, {12 + 3, -7, -3}, {12 + 8, -8, -4}} {
		if got := nearestTonic(c.key, c.mean); got != c.want || pc(got) != c.key%12 {
			t.Errorf("key %d among spellings around %v: %d, want %d", c.key, c.mean, got, c.want)
		}
	}
}

// Signatures: a major key has as many sharps as its tonic lies in fifths above C, its
// relative minor the same; the offset counts from the printed one. Any textbook.
func TestSignatureOffset(t *testing.T) {
	for _, c := range []struct{ key, signature, want int }{{0, 0, 0}, {7, 0, 1}, {5, 0, -1}, {12 + 9, 0, 0}, {12 + 0, -3, 0}, {12 + 4, 1, 0}, {2, 2, 0}, {10, 0, -2}, {6, 0, -6}, {6, 6, 0}, {6, -6, 0}, {7, 3, -2}} {
		if got := signatureOffset(c.key, c.signature); got != c.want {
			t.Errorf("key %d under %d sharps: %d, want %d", c.key, c.signature, got, c.want)
		}
	}
}

// How many of the sounding notes are struck, and how many pitch classes are new, in classes
// of a share.
func TestBoundaryClasses(t *testing.T) {
	at := func(onset float64, pcs ...int) (out []entry) {
		for _, p := range pcs {
			out = append(out, entry{pc: p, onset: onset})
		}
		return out
	}
	for _, c := range []struct {
		name          string
		before, now   []entry
		attack, fresh int
	}{
		{"all struck, all new", at(1, 0, 4), at(1, 5, 9), shares - 1, shares - 1}, {"all struck, nothing new", at(1, 0, 4), at(1, 0, 4), shares - 1, 0}, {"half struck, half new", at(1, 0), append(at(0, 0), at(1, 7)...), 3, 3},
		{"a tone doubled", at(1, 0), at(1, 0, 0, 7), shares - 1, 3}, {"a quarter struck", at(1, 0, 4, 7), append(at(0, 0, 4, 7), at(1, 0)...), 2, 0}, {"silence", at(1, 0), nil, 0, 0},
	} {
		v := &view{entries: [][]entry{c.before, c.now}}
		if attack, fresh := v.boundaryClasses(1); attack != c.attack || fresh != c.fresh {
			t.Errorf("%s: %d and %d, want %d and %d", c.name, attack, fresh, c.attack, c.fresh)
		}
	}
	if _, fresh := (&view{entries: [][]entry{at(1, 0)}}).boundaryClasses(0); fresh != shares-1 {
		t.Error("the first notes are not new")
	}
}

// A slice that one note strikes between beats passes; on a beat, on a half, in a new phrase
// or with a second note it does not.
func TestPassingSlice(t *testing.T) {
	for _, c := range []struct {
		struck int
		metric Metric
		phrase bool
		want   bool
	}{{1, QuarterBeat, false, true}, {1, Between, false, true}, {1, HalfBeat, false, false}, {2, QuarterBeat, false, false}, {0, QuarterBeat, false, false}, {1, QuarterBeat, true, false}} {
		v := &view{Piece: &Piece{Slices: []Slice{{Metric: c.metric, Phrase: c.phrase}}}, entries: [][]entry{make([]entry, 3)}}
		for i := range c.struck {
			v.entries[0][i].onset = 1
		}
		if got := v.passing(0); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// What a slice knows of the ends of its phrase: their bass, and how far they lie.
func TestEndsOfPhrases(t *testing.T) {
	v := &view{Piece: &Piece{}}
	for i := range 7 { // a phrase of four beats and one of three
		v.Slices = append(v.Slices, Slice{Beats: 1, Phrase: i == 4})
		v.low = append(v.low, lowest{pc: i})
	}
	v.findPhrases()
	for i, want := range []struct{ origin, goal, back, ahead int }{{0, 3, 0, 1}, {0, 3, 0, 0}, {0, 3, 0, 0}, {0, 3, 1, 0}, {4, 6, 0, 0}, {4, 6, 0, 0}, {4, 6, 0, 0}} {
		if v.origin[i] != (place{want.origin, want.back}) || v.goal[i] != (place{want.goal, want.ahead}) {
			t.Errorf("slice %d: from %+v to %+v, want %+v", i, v.origin[i], v.goal[i], want)
		}
	}
	v.low = []lowest{{pc: 0}, {pc: 0}, {pc: 0}, {pc: 0}, {pc: 7}, {pc: 7}, {pc: 7}}
	v.findPedals()
	for i, want := range []int{1, 1, 1, 1, 0, 0, 0} {
		if v.pedal[i] != want {
			t.Errorf("slice %d: pedal %d, want %d", i, v.pedal[i], want)
		}
	}
}

// The last chord does not stand alone in its key after a chord on its fifth degree, nor after
// a diminished one on its leading tone. Common practice, no source.
func TestStrandedChord(t *testing.T) {
	m := NewModel([]Label{{Text: "V", Root: 1, Tones: []int{0, 4, 1}}, {Text: "I", Tones: []int{0, 4, 1}}, {Text: "vii°", Root: 5, Tones: []int{0, -3, -6}}, {Text: "vii", Root: 5, Tones: []int{0, -3, 1}}}, nil)
	for _, c := range []struct {
		key, label, last int
		want             bool
	}{
		{0, 0, 0, false}, {0, 1, 0, false}, {0, 1, 5, false}, {0, 0, 7, true}, {0, 1, 7, true}, {0, 2, 0, false}, {0, 3, 0, false}, {2, 2, 2, false}, {12, 2, 0, false}, {12, 3, 0, true}, {12, 1, 0, true}, {7, 1, 0, false},
	} {
		if got := m.stranded(c.key, c.label, c.last); got != c.want {
			t.Errorf("%s of key %d before key %d: stranded %v", m.Labels[c.label].Text, c.key, c.last, got)
		}
	}
}

// Chords without a label in their spelling have that of the same chord twelve fifths off.
func TestLabelsRespelled(t *testing.T) {
	m := NewModel([]Label{{Text: "bVI", Root: -4, Tones: []int{0, 4, 1}, Quality: 1}, {Text: "i", Minor: true, Tones: []int{0, -3, 1}, Quality: 2}}, nil)
	for _, c := range []struct{ key, tonic, root, quality, want int }{{0, 0, -4, 1, 0}, {0, 0, 8, 1, 0}, {0, 1, -3, 1, 0}, {0, 0, -3, 1, -1}, {0, 0, -4, 2, -1}, {12, 0, 0, 2, 1}, {12, 0, 12, 2, 1}, {12, 0, -12, 2, 1}, {0, 0, 0, 2, -1}, {0, 0, -40, 1, 0}} {
		got := m.labelsAt(c.key, c.tonic, c.root, c.quality)
		if len(got) != b2i(c.want >= 0) || c.want >= 0 && got[0] != c.want {
			t.Errorf("%+v: labels %v", c, got)
		}
	}
}

// A stored model is the one that was written, in hundredths, whatever stands in its weights.
func TestModelWrittenAndRead(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	labels := triads()
	m := NewModel(labels, nil)
	for i := range m.W {
		if r.Intn(3) == 0 {
			m.W[i] = math.Round(100*r.NormFloat64()) / 100
		}
	}
	m.W[0], m.W[len(m.W)-1] = 0.006, -0.014
	for i := range m.Odds.Chord {
		m.Odds.Chord[i], m.Odds.Key[i] = float64(i)/8, -float64(i)/8
	}
	var b bytes.Buffer
	if err := m.Write(&b, "of our own\nfor a test"); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(b.String(), "# of our own\n# for a test\nlabel major I\n") {
		t.Errorf("begins %q", b.String()[:40])
	}
	back, err := Read(b.String(), func(text string, minor bool) (Label, error) {
		for _, l := range labels {
			if l.Text == text && l.Minor == minor {
				return l, nil
			}
		}
		t.Errorf("label %q, minor %v", text, minor)
		return Label{}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.W {
		if math.Abs(back.W[i]-math.Round(100*m.W[i])/100) > 1e-9 {
			t.Fatalf("%s was %.3f and is %.3f", m.Fact(i), m.W[i], back.W[i])
		}
	}
	for i := range m.Odds.Chord {
		if math.Abs(back.Odds.Chord[i]-m.Odds.Chord[i])+math.Abs(back.Odds.Key[i]-m.Odds.Key[i]) > 1e-9 {
			t.Errorf("odds %d: %v", i, back.Odds)
		}
	}
	for x, want := range map[float64]float64{0.006: 1, 0.004: 0, -0.006: -1, -0.004: 0, 1.234: 123} {
		if got := roundHundredth(x); !close12(got, want) {
			t.Errorf("%v is %v hundredths", x, got)
		}
	}
}

// A bad model is refused with its line.
func TestBadModels(t *testing.T) {
	label := func(text string, minor bool) (Label, error) {
		return Label{Text: text, Minor: minor, Tones: []int{0, 4, 1}}, nil
	}
	for text, line := range map[string]string{
		"0 5": "line 1", "label major I\nlabel minor i\nfact nothing": "line 3", "label major I\nlabel minor i\nfact home\n0 1": "", "label major I\nlabel minor i\nfact home\n47 1": "", "label major I\nlabel minor i\nfact home\n47 1 1": "line 4", "label major I\nlabel minor i\nfact home\n0 x": "line 4",
		"label major I\nlabel minor i\nfact home\nodds key 1 2 3 4 5 6": "", "label major I\nlabel minor i\nfact home\nodds key 1 2 3 4 5 6 7": "line 4", "label major I\nlabel minor i\nfact home\nodds chord x": "line 4", "label major I": "no weights", "label major I\nfact home": "line 2", "label minor i\n\nfact home": "line 3", "odds key 1": "line 1", "# a remark\n\nlabel major I\nlabel minor i\nfact home": "",
	} {
		_, err := Read(text, label)
		if (err == nil) != (line == "") || err != nil && !strings.Contains(err.Error(), line) {
			t.Errorf("%q: %v, want %q", text, err, line)
		}
	}
}
