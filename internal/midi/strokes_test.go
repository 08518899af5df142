package midi

import (
	"bytes"
	"math"
	"strings"
	"testing"
)

// smfBytes is a Standard MIDI File of format 0 with one track.
func smfBytes(division uint16, track ...byte) []byte {
	b := []byte{'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 0, 0, 1, byte(division >> 8), byte(division)}
	b = append(b, 'M', 'T', 'r', 'k', 0, 0, 0, byte(len(track)+4))
	return append(append(b, track...), 0, 0xff, 0x2f, 0)
}

// The bytes are written by hand after the Standard MIDI Files 1.0 (MIDI Manufacturers
// Association 1996): 96 ticks a quarter, which lasts half a second without a tempo.
func TestReadStrokes(t *testing.T) {
	plain := smfBytes(96,
		0, 0x90, 60, 80, // C, a quarter
		96, 60, 0, // running status; velocity 0 ends it
		0, 0xff, 0x51, 3, 0x0f, 0x42, 0x40, // a second a quarter
		48, 0x90, 64, 100,
		0, 0x99, 38, 70, // a drum, which is left out
		96, 0x80, 64, 0)
	list, err := ReadStrokes(bytes.NewReader(plain))
	if err != nil {
		t.Fatal(err)
	}
	checkStrokes(t, list, []Stroke{{0, 0.5, 60, 80}, {1, 2, 64, 100}})
}

func checkStrokes(t *testing.T, got, want []Stroke) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("got %v, want %v", got, want)
	}
	for i, w := range want {
		g := got[i]
		if math.Abs(g.On-w.On) > 1e-6 || math.Abs(g.Off-w.Off) > 1e-6 || g.Key != w.Key || g.Velocity != w.Velocity {
			t.Errorf("stroke %d: got %v, want %v", i, g, w)
		}
	}
}

func TestReadStrokesRefuses(t *testing.T) {
	for _, x := range []struct {
		data []byte
		want string
	}{
		{[]byte("MThd"), "not a MIDI file"},
		{[]byte("a letter"), "not a MIDI file"},
		{smfBytes(96), "no note"},
		{smfBytes(0xe728, 0, 0x90, 60, 80), "frames of film"},                // 25 frames a second of 40 ticks
		{smfBytes(96, 0, 0xff, 1, 0xff, 0xff, 0xff, 0x7f, 'x'), "cut short"}, // a text of 256 MB
		{smfBytes(96, 0, 0x90, 60), "cut short"},
		{smfBytes(96, 0, 60, 80), "cut short"}, // a note without a status
		{smfBytes(0, 0, 0x90, 60, 80), "not a MIDI file"},
	} {
		if _, err := ReadStrokes(bytes.NewReader(x.data)); err == nil || !strings.Contains(err.Error(), x.want) {
			t.Errorf("% x: got %v, want %q", x.data, err, x.want)
		}
	}
}

func FuzzReadStrokes(f *testing.F) {
	f.Add(smfBytes(96, 0, 0x90, 60, 80, 96, 60, 0, 0, 0xff, 0x51, 3, 0x0f, 0x42, 0x40))
	f.Fuzz(func(t *testing.T, data []byte) {
		if list, err := ReadStrokes(bytes.NewReader(data)); err == nil && len(list) == 0 {
			t.Error("no error and no note")
		}
	})
}

// What WriteSMF writes is read back at the same times.
func TestStrokesReadBack(t *testing.T) {
	f := Perform(line(2, quarterNote(0, 0), quarterNote(12, 2), quarterNote(48, 4)), flat(5))
	var b bytes.Buffer
	if err := f.WriteSMF(&b); err != nil {
		t.Fatal(err)
	}
	list, err := ReadStrokes(&b)
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range f.Parts[0].Notes {
		if math.Abs(list[i].On-f.Seconds(n.Start)) > 0.002 || math.Abs(float64(list[i].Key)-n.Key) > 0.5 {
			t.Errorf("note %d: got %v, want %v at %v s", i, list[i], n.Key, f.Seconds(n.Start))
		}
	}
}
