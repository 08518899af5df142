package sound

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony"
	"hairpin/internal/midi"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/report/practice"
)

func played(t *testing.T, r *report.Reading, how Practising) *midi.Performance {
	t.Helper()
	p, err := performLadder(r, how)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// onePart is a score of our own of one part.
func onePart(t *testing.T, name, measures string) *report.Reading {
	t.Helper()
	f := demo.OnePart(t, name, measures)
	r, err := report.New(f, report.Options{})
	if errors.Is(err, harmony.ErrNoPitch) {
		r, err = report.Printed(f, report.Options{})
	}
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A measure of 6/8 at a dotted quarter of 60, mf: six broken eighths.
func barcarole() string {
	doc := `<measure number="1"><attributes><divisions>2</divisions><key><fifths>0</fifths></key><time><beats>6</beats><beat-type>8</beat-type></time></attributes>` +
		`<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>60</per-minute></metronome></direction-type></direction>` +
		`<direction><direction-type><dynamics><mf/></dynamics></direction-type></direction>`
	for _, step := range []string{"C", "E", "G", "C", "E", "G"} {
		doc += `<note><pitch><step>` + step + `</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice><type>eighth</type></note>`
	}
	return doc + `</measure>`
}

// Every rung is counted in by a measure, sounds at pp, mp, f and as printed, with
// two beats of rest after each, and no rung is slower than the one before. The
// beats of 6/8 are two dotted quarters.
func TestLadderIsPlayed(t *testing.T) {
	r := onePart(t, "Piano", barcarole())
	p := played(t, r, Practising{Plan: practice.Plan{Rest: 2, Hands: practice.OneHand}, Click: true, Steps: true})
	notes, clicks := p.Parts[0].Notes, p.Parts[1].Notes
	beat := p.Quarter * 3 / 2
	for k, c := range clicks {
		if c.Start != midi.Tick(k)*beat {
			t.Fatalf("click %d at %d, want one every %d", k, c.Start, beat)
		}
	}
	levels := []float64{2, 4, 6, 5} // pp, mp, f, the printed mf
	x := sheetOf(t, r).Exercises[0]
	round := midi.Tick(4) * beat // a measure and two beats of rest
	for i, step := range x.Steps {
		start := midi.Tick(i)*(2*beat+4*round) + 2*beat
		if got := perMinAt(p, start); math.Abs(got-step.Tempo) > 1e-9 {
			t.Errorf("rung %d: %.2f a minute, want %.2f", i+1, got, step.Tempo)
		}
		for k, level := range levels {
			from := start + midi.Tick(k)*round
			struck := between(notes, from, from+round)
			if len(struck) == 0 || struck[0].Start != from {
				t.Fatalf("rung %d, time %d: nothing at its start", i+1, k+1)
			}
			for _, n := range struck {
				if math.Abs(n.Level-level) > 0.01 || n.Start >= from+2*beat {
					t.Errorf("rung %d, time %d: a note of level %.2f at %d, want %.0f before %d", i+1, k+1, n.Level, n.Start, level, from+2*beat)
				}
			}
		}
	}
	if k := len(x.Steps); k < 3 || math.Abs(p.Tempos[0].PerMin-60) > 1e-9 || math.Abs(x.Steps[k-1].Tempo-90) > 1e-9 {
		t.Errorf("%d rungs from %.0f to %.0f quarters a minute, want three or more from 60 (a dotted quarter of 40) to 90", k, p.Tempos[0].PerMin, x.Steps[k-1].Tempo)
	}
}

func sheetOf(t *testing.T, r *report.Reading) practice.Practice {
	t.Helper()
	s, err := practice.Sheet(r, practice.Plan{Rest: 2, Hands: practice.OneHand})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func between(notes []midi.Note, from, to midi.Tick) (list []midi.Note) {
	for _, n := range notes {
		if n.Start >= from && n.Start < to {
			list = append(list, n)
		}
	}
	return list
}

func perMinAt(p *midi.Performance, at midi.Tick) (perMin float64) {
	for _, x := range p.Tempos {
		if x.At <= at {
			perMin = x.PerMin
		}
	}
	return perMin
}

// A pickup is counted in by a whole measure and by what it lacks.
func TestPickupIsCountedIn(t *testing.T) {
	pickup := `<measure number="0" implicit="yes"><attributes><divisions>2</divisions><time><beats>6</beats><beat-type>8</beat-type></time></attributes>` +
		`<note><pitch><step>G</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice><type>eighth</type></note></measure>`
	p := played(t, onePart(t, "Piano", pickup+barcarole()), Practising{Click: true, Steps: true})
	eighth := p.Quarter / 2
	start := p.Length - 4*7*eighth // the last rung: four times seven eighths
	var firsts []midi.Tick
	for _, c := range between(p.Parts[1].Notes, start-11*eighth, start) {
		if c.Key == highWood {
			firsts = append(firsts, (start-c.Start)/eighth)
		}
	}
	if !slices.Equal(firsts, []midi.Tick{11, 5}) {
		t.Errorf("measures are counted in %v eighths before the pickup, want 11 and 5", firsts)
	}
}

// The block chords to be heard first are as loud on the mean as the passage, by
// half a decibel, and two beats before it: what is louder is heard as better, so the
// two are compared fairly (common practice, no source).
func TestHearFirst(t *testing.T) {
	for _, name := range []string{"Piano", "Marimba", "Flute"} {
		r := onePart(t, name, barcarole())
		p := played(t, r, Practising{First: true})
		notes := p.Parts[0].Notes
		k := len(notes) - 6 // the passage has six
		chords, passage := notes[:k], notes[k:]
		last := chords[k-1]
		if silent, beat := passage[0].Start-last.End, p.Quarter*3/2; silent < 2*beat || silent > 2*beat+beat/5 {
			t.Errorf("%s: silent for %d before the passage, want two beats of %d", name, silent, beat)
		}
		if d := loudnessOf(p, chords, passage[0].Start-p.Quarter*3) - loudnessOf(p, passage, passage[0].Start+p.Quarter*3); math.Abs(d) > 0.5 {
			t.Errorf("%s: the chords are %.2f dB louder", name, d)
		}
	}
}

// loudnessOf is the loudness of some notes alone, from the first up to a moment.
func loudnessOf(p *midi.Performance, notes []midi.Note, until midi.Tick) float64 {
	alone := *p
	part := p.Parts[0]
	part.Notes = slices.Clone(notes)
	alone.Length = until
	alone.Parts = []midi.Part{part}
	return alone.Loudness()
}

// What has no pitch has no chords to hear first; it says so.
func TestHearFirstNeedsPitch(t *testing.T) {
	doc := `<measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>`
	for range 4 {
		doc += `<note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched><duration>1</duration><voice>1</voice><type>quarter</type></note>`
	}
	_, err := performLadder(onePart(t, "Snare drum", doc+`</measure>`), Practising{First: true})
	if err == nil || !strings.Contains(fmt.Sprint(err), "no pitch") {
		t.Errorf("got %v", err)
	}
}
