package performance_test

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"hairpin/internal/midi"
	"hairpin/performance"
	"hairpin/performance/sound"
	"hairpin/score"
	"hairpin/tools/scoregen"
)

// piece is an invention without ornaments, at 96 quarters a minute.
func piece(measures int, seed uint64) *score.Score {
	s := scoregen.Piano(measures, seed)
	s.Tempos = []score.Tempo{{PerMin: 96, Printed: true}}
	s.Hairpins, s.Dynamics = nil, nil
	for i := range s.Notes {
		s.Notes[i].Signs = 0
	}
	return s
}

const quarterSecond = 60.0 / 96 / 12 // of a tick

// keysTake is a score as a keyboard would send it, at a level in steps.
func keysTake(t *testing.T, s *score.Score, level func(at score.Tick) float64) *performance.Take {
	t.Helper()
	var b bytes.Buffer
	if err := perform(s, level).WriteSMF(&b); err != nil {
		t.Fatal(err)
	}
	return read(t, &b)
}

func soundTake(t *testing.T, s *score.Score, level func(at score.Tick) float64) *performance.Take {
	t.Helper()
	var b bytes.Buffer
	if err := perform(s, level).WriteWAV(&b); err != nil {
		t.Fatal(err)
	}
	return read(t, &b)
}

func perform(s *score.Score, level func(at score.Tick) float64) *midi.Performance {
	return midi.Perform(s, midi.Plan{Level: func(_, _ int, at score.Tick) float64 { return level(at) }})
}

func read(t *testing.T, b *bytes.Buffer) *performance.Take {
	t.Helper()
	take, err := performance.Read(b, "take", sound.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	return take
}

func follow(t *testing.T, s *score.Score, take *performance.Take) *performance.Playing {
	t.Helper()
	p, err := performance.Follow(s, take)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func plain(score.Tick) float64 { return 5 }

// swell grows by so many steps from one tick to another and stays there.
func swell(from, to score.Tick, steps float64) func(score.Tick) float64 {
	return func(at score.Tick) float64 {
		return 4 + steps*min(1, max(0, float64(at-from)/float64(to-from)))
	}
}

// hairpin adds a crescendo over some measures.
func hairpin(s *score.Score, first, last int) score.Hairpin {
	h := score.Hairpin{Span: score.Span{Start: s.Measures[first].Start, End: s.Measures[last].End()}}
	s.Hairpins = append(s.Hairpins, h)
	return h
}

// Two steps of level are 32 of velocity and seven decibels of our synthesiser; both
// are clear. See internal/midi.
func TestHairpins(t *testing.T) {
	s := piece(10, 7)
	h := hairpin(s, 3, 5)
	for _, x := range []struct {
		name  string
		steps float64
		want  performance.Verdict
		clear bool
	}{
		{"followed", 2.5, performance.Followed, true},
		{"flat", 0, performance.Flat, false},
		{"contrary", -2.5, performance.Contrary, true},
	} {
		for kind, take := range map[string]*performance.Take{
			"keys":  keysTake(t, s, swell(h.Start, h.End, x.steps)),
			"sound": soundTake(t, s, swell(h.Start, h.End, x.steps)),
		} {
			p := follow(t, s, take)
			if len(p.Hairpins) != 1 {
				t.Fatalf("%s, %s: %d verdicts", x.name, kind, len(p.Hairpins))
			}
			if got := p.Hairpins[0]; got.Verdict != x.want || got.Clear != x.clear {
				t.Errorf("%s, %s: got %+v", x.name, kind, got)
			}
		}
	}
}

// Ninety-six quarters a minute from the start: every beat within 50 ms.
func TestBeatsOfSound(t *testing.T) {
	s := piece(10, 8)
	p := follow(t, s, soundTake(t, s, plain))
	if p.Sure < 0.35 || len(p.Runs) != 1 || len(p.Beats) < 38 {
		t.Fatalf("sure %v, %d runs, %d beats", p.Sure, len(p.Runs), len(p.Beats))
	}
	for _, b := range p.Beats {
		if d := b.Time - quarterSecond*float64(b.At); math.Abs(d) > 0.05 {
			t.Errorf("tick %d is %v s off", b.At, d)
		}
		if b.Tempo > 0 && math.Abs(b.Tempo-96) > 6 {
			t.Errorf("tick %d at %v a minute", b.At, b.Tempo)
		}
	}
}

// A stop in the middle, two seconds of silence, and on from a measure earlier.
func TestRestartOfSound(t *testing.T) {
	s := piece(12, 9)
	one := soundTake(t, s, plain)
	per := func(tick score.Tick) int { return int(quarterSecond * float64(tick) * sound.Rate) }
	stop, again := s.Measures[6].Start+24, s.Measures[5].Start
	x := one.Sound.Samples
	joined := append(append([]float32{}, x[:per(stop)]...), make([]float32, 2*sound.Rate)...)
	one.Sound.Samples = append(joined, x[per(again):]...)
	p := follow(t, s, one)
	if len(p.Runs) != 2 {
		t.Fatalf("%d runs", len(p.Runs))
	}
	if d := p.Runs[1].Points[0].At - again; d < 0 || d > 12 {
		t.Errorf("goes on %d ticks after measure 6", d)
	}
	if len(p.Lost) != 1 || !p.Lost[0].Pause {
		t.Errorf("lost: %v; %v to %v", p.Lost, p.Runs[0].Points[len(p.Runs[0].Points)-3:], p.Runs[1].Points[:3])
	}
}

func TestAnotherPiece(t *testing.T) {
	s, other := piece(12, 3), piece(12, 3)
	for i := range other.Notes { // turned upside down, a tritone off
		k := 2*64 - other.Notes[i].Pitch.Key() + 6
		other.Notes[i].Pitch = score.Pitch{Alter: float64(k % 12), Octave: k/12 - 1}
	}
	for kind, take := range map[string]*performance.Take{"keys": keysTake(t, other, plain), "sound": soundTake(t, other, plain)} {
		_, err := performance.Follow(s, take)
		var known *sound.Error
		if !errors.As(err, &known) || !strings.HasPrefix(err.Error(), "take: ") || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", kind, err)
		}
	}
}

// Three notes missing, two beside.
func TestFaults(t *testing.T) {
	s := piece(8, 10)
	take := keysTake(t, s, plain)
	missing := map[int]bool{20: true, 50: true, 80: true}
	var keys []midi.Stroke
	for i, k := range take.Keys {
		if !missing[i] {
			keys = append(keys, k)
		}
		if i == 30 || i == 60 {
			keys = append(keys, midi.Stroke{On: k.On + 0.11, Off: k.On + 0.2, Key: 23, Velocity: 50})
		}
	}
	take.Keys = keys
	p := follow(t, s, take)
	if len(p.Missed) != 3 || len(p.Wrong) != 2 || p.Counts.Struck != len(keys) {
		t.Errorf("%d missed, %d beside, of %d struck", len(p.Missed), len(p.Wrong), p.Counts.Struck)
	}
}

// strokes is a line of sixteenths on changing pitches.
func strokes(count int) *score.Score {
	s := &score.Score{Division: 12, Parts: []score.Part{{ID: "P1", Name: "Marimba", Staves: 1}}}
	for m := range count/16 + 1 {
		s.Measures = append(s.Measures, score.Measure{Number: "1", Start: score.Tick(48 * m), Length: 48, Nominal: 48, Beats: 4, BeatUnit: 4})
	}
	steps := [...]int{0, 2, 4, 1, 3, 5, 2, 4, 6}
	for i := range count {
		p := score.Pitch{Step: steps[i%len(steps)], Octave: 4 + i/7%2}
		s.Notes = append(s.Notes, score.Note{Onset: score.Tick(3 * i), Duration: 3, Staff: 1, Voice: 1, Pitch: p, Measure: i / 16})
	}
	return s
}

// The second hand is softer by the ratio of two velocities and late by 20 ms.
func TestEvenness(t *testing.T) {
	s := strokes(64)
	take := &performance.Take{Name: "take"}
	for i, n := range s.Notes {
		k := midi.Stroke{On: 0.15 * float64(i), Key: n.Pitch.Key(), Velocity: 80}
		if i%2 == 1 {
			k.On, k.Velocity = k.On+0.02, 70
		}
		k.Off = k.On + 0.1
		take.Keys = append(take.Keys, k)
	}
	p := follow(t, s, take)
	if len(p.Uneven) != 1 {
		t.Fatalf("%d passages", len(p.Uneven))
	}
	want := 40 * math.Log10(80.0/70)
	if e := p.Uneven[0]; math.Abs(e.Level-want) > 0.01 || math.Abs(e.Late-20) > 0.1 || e.Withheld || e.Strokes != 64 {
		t.Errorf("got %+v, want %v dB and 20 ms", e, want)
	}
}

// Hands that play different registers are not compared in loudness.
func TestEvennessTiedToPitch(t *testing.T) {
	s := strokes(64)
	take := &performance.Take{Name: "take"}
	for i := range s.Notes {
		s.Notes[i].Pitch.Octave = 3 + i%2*2
		take.Keys = append(take.Keys, midi.Stroke{On: 0.15 * float64(i), Off: 0.15*float64(i) + 0.1, Key: s.Notes[i].Pitch.Key(), Velocity: 80})
	}
	if p := follow(t, s, take); len(p.Uneven) != 1 || !p.Uneven[0].Withheld {
		t.Errorf("got %+v", p.Uneven)
	}
}

// The level jumps by two steps in the middle: the printed step up is followed, a
// build there is played with, and a goal there is reached.
func TestAsked(t *testing.T) {
	s := piece(10, 11)
	at := s.Measures[5].Start
	jump := func(t score.Tick) float64 {
		if t >= at && t < s.Measures[6].End() {
			return 6
		}
		return 4
	}
	p := follow(t, s, keysTake(t, s, jump))
	asked := performance.Asked{
		Steps: []performance.Step{{At: at, Up: true}, {At: s.Measures[7].Start, Up: true}},
		Moves: []performance.Move{{From: s.Measures[4].Start, To: s.Measures[6].Start, Builds: true}},
		Goals: []performance.Goal{{From: s.Measures[3].Start, To: s.Measures[9].Start, At: s.Measures[6].Start}, {From: s.Measures[3].Start, To: s.Measures[9].Start, At: s.Measures[8].Start + 12}},
	}
	steps := p.Stepped(s, asked)
	if len(steps) != 2 || steps[0].Verdict != performance.Followed || steps[1].Verdict != performance.Contrary {
		t.Errorf("steps %+v", steps)
	}
	if m := p.Moved(asked); len(m) != 1 || m[0].Verdict != performance.Followed {
		t.Errorf("moves %+v", m)
	}
	if g := p.Reached(asked); len(g) != 2 || !g[0].Reached || g[1].Reached {
		t.Errorf("goals %+v", g)
	}
}

// Beats of compound time are three eighths; a pickup counts from the end of the
// measure it would be. Common practice, no source.
func TestBeats(t *testing.T) {
	s := &score.Score{Division: 2, Measures: []score.Measure{
		{Length: 1, Nominal: 6, Beats: 6, BeatUnit: 8, Pickup: true},
		{Start: 1, Length: 6, Nominal: 6, Beats: 6, BeatUnit: 8},
		{Start: 7, Length: 4, Nominal: 4, Beats: 2, BeatUnit: 4},
	}}
	got, want := performance.Beats(s), []score.Tick{0, 1, 4, 7, 9}
	if len(got) != len(want) {
		t.Fatalf("got %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("got %v, want %v", got, want)
		}
	}
}
