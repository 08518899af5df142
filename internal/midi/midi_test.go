package midi

import (
	"bytes"
	"math"
	"testing"

	"hairpin/score"
)

// line is a score of one part in 4/4 with twelve ticks to the quarter.
func line(measures int, notes ...score.Note) *score.Score {
	s := &score.Score{Title: "Line", Division: 12, Parts: []score.Part{{ID: "P1", Name: "Violin", Staves: 1}}}
	for i := range measures {
		s.Measures = append(s.Measures, score.Measure{Start: score.Tick(48 * i), Length: 48, Nominal: 48, Beats: 4, BeatUnit: 4})
	}
	for i, n := range notes {
		n.Staff, n.Voice, n.Source = 1, 1, []int{i}
		s.Notes = append(s.Notes, n)
	}
	return s
}

func pitch(step, octave int) score.Pitch { return score.Pitch{Step: step, Octave: octave} }

func quarterNote(onset score.Tick, step int) score.Note {
	return score.Note{Onset: onset, Duration: 12, Pitch: pitch(step, 4)}
}

func flat(level float64) Plan {
	return Plan{Level: func(int, int, score.Tick) float64 { return level }}
}

// starts are the notes' starts and ends in quarters, with their keys.
func times(f *Performance) (out [][3]float64) {
	for _, n := range f.Parts[0].Notes {
		q := float64(f.Quarter)
		out = append(out, [3]float64{float64(n.Start) / q, float64(n.End) / q, n.Key})
	}
	return out
}

func checkTimes(t *testing.T, f *Performance, want [][3]float64) {
	t.Helper()
	got := times(f)
	if len(got) != len(want) {
		t.Fatalf("got %v, want %v", got, want)
	}
	for i := range want {
		for k := range want[i] {
			if math.Abs(got[i][k]-want[i][k]) > 0.01 {
				t.Errorf("note %d: got %v, want %v", i, got[i], want[i])
			}
		}
	}
}

// How signs are played is common practice, no source.
func TestPerformSigns(t *testing.T) {
	with := func(s score.Sign) score.Note {
		n := quarterNote(0, 0)
		n.Signs = s
		return n
	}
	grace := quarterNote(12, 1)
	grace.Duration, grace.Grace = 0, true
	tests := []struct {
		name  string
		notes []score.Note
		want  [][3]float64
	}{
		{"plain", []score.Note{with(0)}, [][3]float64{{0, 0.95, 60}}},
		{"staccato", []score.Note{with(score.Staccato)}, [][3]float64{{0, 0.5, 60}}},
		{"tenuto", []score.Note{with(score.Tenuto)}, [][3]float64{{0, 1, 60}}},
		{"mordent", []score.Note{with(score.Trill | score.Mordent | score.Tenuto)}, [][3]float64{{0, 0.125, 60}, {0.125, 0.25, 59}, {0.25, 1, 60}}},
		{"turn", []score.Note{with(score.Trill | score.Turn | score.Tenuto)}, [][3]float64{{0, 0.125, 62}, {0.125, 0.25, 60}, {0.25, 0.375, 59}, {0.375, 1, 60}}},
		{"trill", []score.Note{with(score.Trill | score.Tenuto)}, [][3]float64{
			{0, .125, 60}, {.125, .25, 62}, {.25, .375, 60}, {.375, .5, 62}, {.5, .625, 60}, {.625, .75, 62}, {.75, 1, 60}}},
		{"grace note before its beat", []score.Note{with(score.Tenuto), grace, quarterNote(12, 2)}, [][3]float64{{0, 0.875, 60}, {0.875, 1, 62}, {1, 1.95, 64}}},
		{"the same key twice", []score.Note{with(score.Tenuto), {Onset: 6, Duration: 12, Pitch: pitch(0, 4)}}, [][3]float64{{0, 0.5, 60}, {0.5, 1.45, 60}}},
		{"a cue note is silent", []score.Note{with(0), {Onset: 12, Duration: 12, Cue: true}}, [][3]float64{{0, 0.95, 60}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { checkTimes(t, Perform(line(1, tt.notes...), flat(5)), tt.want) })
	}
}

func TestNeighbourFollowsTheKeySignature(t *testing.T) {
	n := quarterNote(0, 2) // E: F# above it in G major, F in C major
	for fifths, want := range map[int]float64{1: 66, 0: 65, -2: 65} {
		s := line(1, n)
		s.Keys = []score.KeyMark{{Fifths: fifths}}
		p := performer{s: s}
		if got := p.neighbour(n, 1); math.Abs(got-want) > 0.01 {
			t.Errorf("%d fifths: got %v, want %v", fifths, got, want)
		}
	}
}

func TestTempo(t *testing.T) {
	s := line(2, quarterNote(0, 0), quarterNote(48, 0))
	if f := Perform(s, flat(5)); math.Abs(f.Seconds(f.Quarter*8)-8*60/90.0) > 1e-6 {
		t.Errorf("without a tempo: %v", f.Tempos)
	}
	s.Words = []score.Words{{Text: "Adagio"}}
	if f := Perform(s, flat(5)); math.Abs(f.Tempos[0].PerMin-60) > 1e-6 {
		t.Errorf("Adagio: %v", f.Tempos)
	}
	s.Tempos = []score.Tempo{{At: 0, PerMin: 120}, {At: 48, PerMin: 60}}
	if f := Perform(s, flat(5)); math.Abs(f.Seconds(f.Quarter*8)-6) > 1e-6 {
		t.Errorf("four quarters at 120 and four at 60 last %v s", f.Seconds(f.Quarter*8))
	}
	half := flat(5)
	half.Tempo = 60
	if f := Perform(s, half); math.Abs(f.Seconds(f.Quarter*8)-12) > 1e-6 {
		t.Errorf("at half the tempo: %v", f.Tempos)
	}
	s.Fermatas = []score.Fermata{{Place: score.Place{At: 48, Staff: 1}}}
	if f := Perform(s, flat(5)); math.Abs(f.Seconds(f.Quarter*8)-(6-1+1/0.6)) > 1e-6 {
		t.Errorf("with a fermata: %v", f.Tempos)
	}
}

func TestRepeatsAreUnfolded(t *testing.T) {
	s := line(2, quarterNote(0, 0), quarterNote(48, 1))
	s.Repeats = []score.Repeat{{At: 48, Measure: 0}}
	plan := Plan{Repeats: true, Level: func(_, _ int, at score.Tick) float64 { return 3 + float64(at)/48 }}
	f := Perform(s, plan)
	if len(f.Parts[0].Notes) != 3 || f.Length != 12*f.Quarter {
		t.Fatalf("%d notes, length %d", len(f.Parts[0].Notes), f.Length)
	}
	for i, want := range []float64{3, 3, 4} {
		if got := f.Parts[0].Notes[i].Level; math.Abs(got-want) > 1e-6 {
			t.Errorf("note %d: level %v, want %v", i, got, want)
		}
	}
}

// The velocities of the marks, ppp to fff, are the convention 16 33 49 64 80 96
// 112 126 within two (tables of practice; see the package dynamics).
func TestVelocity(t *testing.T) {
	for i, want := range []int{16, 33, 49, 64, 80, 96, 112, 126} {
		if got := int(velocity(float64(i + 1))); got < want-2 || got > want+2 {
			t.Errorf("level %d: %d, want about %d", i+1, got, want)
		}
	}
	for l := 0.0; l < 9; l += 0.1 {
		if expression(l+0.1) < expression(l) || velocity(l+0.1) < velocity(l) {
			t.Errorf("falls at %v", l)
		}
	}
	if expression(0) != 0 || expression(8) != 127 || velocity(0) != 1 {
		t.Error("ends of the scale")
	}
}

func TestSMFReadBack(t *testing.T) {
	s := line(2, quarterNote(0, 0), quarterNote(12, 2), quarterNote(48, 4))
	s.Tempos = []score.Tempo{{At: 0, PerMin: 75}}
	s.Keys = []score.KeyMark{{Fifths: -3, Mode: "minor"}}
	plan := Plan{Level: func(_, _ int, at score.Tick) float64 { return 3 + float64(at)/16 }}
	var b bytes.Buffer
	if err := Perform(s, plan).WriteSMF(&b); err != nil {
		t.Fatal(err)
	}
	f, err := parseSMF(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if f.format != 1 || len(f.tracks) != 2 || f.division != 768 {
		t.Errorf("format %d, %d tracks, division %d", f.format, len(f.tracks), f.division)
	}
	notes := notesOf(t, f.tracks[1])
	for i, want := range []sounded{{0, 60, 48, 0, 729}, {0, 64, 60, 768, 1497}, {0, 67, 96, 3072, 3801}} {
		if i >= len(notes) || notes[i] != want {
			t.Fatalf("got %v, want %v at %d", notes, want, i)
		}
	}
	checkMeta(t, f.tracks[0], map[byte][]byte{0x51: {0x0c, 0x35, 0x00}, 0x58: {4, 2, 24, 8}, 0x59: {0xfd, 1}, 0x03: []byte("Line")})
	var expressions []byte
	for _, e := range f.tracks[1] {
		if e.status == 0xb0 && e.data[0] == 11 {
			expressions = append(expressions, e.data[1])
		}
	}
	for i := range expressions {
		if i > 0 && expressions[i] <= expressions[i-1] {
			t.Errorf("a crescendo, but the expression goes %v", expressions)
		}
	}
	if len(expressions) < 8 {
		t.Errorf("only %d expression changes in a crescendo of two measures", len(expressions))
	}
}

// checkMeta compares the meta events of a track: 800,000 µs a quarter is 75 a minute.
func checkMeta(t *testing.T, events []midiEvent, want map[byte][]byte) {
	t.Helper()
	for _, e := range events {
		if w, ok := want[e.meta]; ok && e.status == 0xff {
			if !bytes.Equal(e.data, w) {
				t.Errorf("meta %x: % x, want % x", e.meta, e.data, w)
			}
			delete(want, e.meta)
		}
	}
	if len(want) > 0 {
		t.Errorf("not found: %v", want)
	}
}

func TestChannels(t *testing.T) {
	seen := map[uint8]bool{}
	for i := range 15 {
		c := channel(i)
		if c == drumChannel || c > 15 || seen[c] {
			t.Errorf("part %d is on channel %d", i, c)
		}
		seen[c] = true
	}
	if c := channel(15); c > 15 || c == drumChannel {
		t.Errorf("part 15 is on channel %d", c)
	}
}
