package midi

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"hairpin/score"
)

// readWAV is the left channel of a file of ours, read by the RIFF layout.
func readWAV(t *testing.T, b []byte) []float64 {
	t.Helper()
	if string(b[:4]) != "RIFF" || string(b[8:16]) != "WAVEfmt " || int(binary.LittleEndian.Uint32(b[4:]))+8 != len(b) {
		t.Fatal("not a RIFF WAVE file, or of the wrong size")
	}
	if f, c, r, bits := binary.LittleEndian.Uint16(b[20:]), binary.LittleEndian.Uint16(b[22:]), binary.LittleEndian.Uint32(b[24:]), binary.LittleEndian.Uint16(b[34:]); f != 1 || c != 2 || r != 44100 || bits != 16 {
		t.Fatalf("format %d, %d channels, %d Hz, %d bits", f, c, r, bits)
	}
	var out []float64
	for data := b[44:]; len(data) >= 4; data = data[4:] {
		out = append(out, float64(int16(binary.LittleEndian.Uint16(data)))/32768)
	}
	return out
}

func rms(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(x)))
}

// brightness is the energy of the difference signal over that of the signal: it
// rises with the share of high partials.
func brightness(x []float64) float64 {
	d := make([]float64, len(x)-1)
	for i := range d {
		d[i] = x[i+1] - x[i]
	}
	return rms(d) / rms(x)
}

func chordAt(t *testing.T, level float64, tone Tone) []float64 {
	t.Helper()
	plan := flat(level)
	plan.Tone = tone
	var b bytes.Buffer
	notes := []score.Note{quarterNote(0, 0), quarterNote(0, 2), quarterNote(0, 4)}
	if err := Perform(line(1, notes...), plan).WriteWAV(&b); err != nil {
		t.Fatal(err)
	}
	return readWAV(t, b.Bytes())
}

// Each mark from ppp to fff is louder than the one before by 2 to 5 decibels,
// and brighter; nothing clips.
func TestLoudnessPerMark(t *testing.T) {
	for _, tone := range []Tone{Struck, Sustained} {
		before, bright := 0.0, 0.0
		for level := 1.0; level <= 8; level++ {
			x := chordAt(t, level, tone)
			now, b := rms(x), brightness(x)
			if step := 20 * math.Log10(now/before); level > 1 && (step < 2 || step > 5) {
				t.Errorf("tone %d, level %v: %.1f dB above the one before", tone, level, step)
			}
			if b <= bright {
				t.Errorf("tone %d, level %v: no brighter", tone, level)
			}
			for _, v := range x {
				if math.Abs(v) > 0.999 {
					t.Fatalf("tone %d, level %v clips", tone, level)
				}
			}
			t.Logf("tone %d, level %v: %.1f dB, brightness %.4f", tone, level, 20*math.Log10(now), b)
			before, bright = now, b
		}
	}
}

// A sustained note grows with the running level, a struck one fades.
func TestLongNoteFollowsTheLevel(t *testing.T) {
	n := score.Note{Duration: 48, Pitch: pitch(0, 4)}
	for tone, grows := range map[Tone]bool{Sustained: true, Struck: false} {
		plan := Plan{Tone: tone, Level: func(_, _ int, at score.Tick) float64 { return 2 + float64(at)/10 }}
		var b bytes.Buffer
		if err := Perform(line(1, n), plan).WriteWAV(&b); err != nil {
			t.Fatal(err)
		}
		x := readWAV(t, b.Bytes())
		early, late := rms(x[10000:20000]), rms(x[70000:80000])
		if (late > early) != grows {
			t.Errorf("tone %d: %.4f, later %.4f", tone, early, late)
		}
	}
}

func TestPitchOfTheTone(t *testing.T) {
	a := score.Note{Duration: 24, Pitch: pitch(5, 4)} // A, 440 Hz (ISO 16:1975)
	var b bytes.Buffer
	plan := flat(1)
	plan.Tone = Sustained
	if err := Perform(line(1, a), plan).WriteWAV(&b); err != nil {
		t.Fatal(err)
	}
	x := readWAV(t, b.Bytes())[8820:44100]
	rises := 0
	for i := 1; i < len(x); i++ {
		if x[i-1] < 0 && x[i] >= 0 {
			rises++
		}
	}
	if hz := float64(rises) / (float64(len(x)) / 44100); math.Abs(hz-440) > 3 {
		t.Errorf("A sounds at %.1f Hz", hz)
	}
}

func TestTooLong(t *testing.T) {
	s := line(1, quarterNote(0, 0))
	s.Measures[0].Length = 12 * 60 * 60 * 10
	s.Notes[0].Duration = s.Measures[0].Length
	if err := Perform(s, flat(5)).WriteWAV(&bytes.Buffer{}); err == nil {
		t.Error("a file of many hours was written")
	}
}
