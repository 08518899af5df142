package midi

import (
	"bytes"
	"math"
	"testing"

	"hairpin/score"
)

// strength is the amplitude of a frequency in a sound.
func strength(x []float64, frequency float64) float64 {
	re, im := 0.0, 0.0
	for i, v := range x {
		s, c := math.Sincos(2 * math.Pi * frequency * float64(i) / sampleRate)
		re, im = re+v*c, im+v*s
	}
	return math.Hypot(re, im) / float64(len(x))
}

func struckBar(t *testing.T, name string, level float64) []float64 {
	t.Helper()
	s := &score.Score{Division: 1, Parts: []score.Part{{Name: name, Staves: 1}},
		Measures: []score.Measure{{Length: 4, Beats: 4, BeatUnit: 4}},
		Notes:    []score.Note{{Duration: 4, Staff: 1, Voice: 1, Pitch: score.Pitch{Octave: 4}}}}
	var b bytes.Buffer
	if err := Perform(s, flat(level)).WriteWAV(&b); err != nil {
		t.Fatal(err)
	}
	return readWAV(t, b.Bytes())
}

// Tuned bars have their second partial two octaves above the lowest on marimba
// and vibraphone, a twelfth on the xylophone, and wood dies away before metal
// (Fletcher and Rossing 1998, The Physics of Musical Instruments, ch. 19; from memory).
func TestBarsSoundStruck(t *testing.T) {
	const c4 = 261.6256
	for name, ratio := range map[string]float64{"Marimba": 3.98, "Vibraphone": 3.98, "Xylophone": 3} {
		x := struckBar(t, name, 5)[:8820]
		if strength(x, c4*ratio) < 5*strength(x, c4*2) {
			t.Errorf("%s: the partial at %.2f does not stand out", name, ratio)
		}
		soft, loud := struckBar(t, name, 3)[:8820], struckBar(t, name, 7)[:8820]
		if brightness(loud) < 1.1*brightness(soft) {
			t.Errorf("%s: a loud stroke is no brighter", name)
		}
	}
	left := func(name string) float64 {
		x := struckBar(t, name, 5)
		return rms(x[44100:52920]) / rms(x[:8820])
	}
	if x, m, v := left("Xylophone"), left("Marimba"), left("Vibraphone"); x >= m || m >= v {
		t.Errorf("after a second xylophone %.3f, marimba %.3f, vibraphone %.3f are left", x, m, v)
	}
}

// A vibraphone's bars ring on while the pedal is down.
func TestPedalLetsNotesRing(t *testing.T) {
	s := &score.Score{Division: 1, Parts: []score.Part{{Name: "Vibraphone", Staves: 1}},
		Measures: []score.Measure{{Length: 4, Beats: 4, BeatUnit: 4}},
		Notes:    []score.Note{{Duration: 1, Staff: 1, Voice: 1, Pitch: score.Pitch{Octave: 4}}},
		Pedals:   []score.Span{{Start: 0, End: 3}}}
	p := Perform(s, flat(5))
	if end := p.Parts[0].Notes[0].End; end != 3*p.Quarter {
		t.Errorf("the note ends after %d ticks, the pedal after %d", end, 3*p.Quarter)
	}
}
