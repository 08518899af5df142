package midi

import (
	"bytes"
	"testing"
	"time"
)

// A file whose header is longer than its six bytes, a track without an end and one that goes
// on past it are refused at once: the library would read on where nothing was checked, and
// make room for a gigabyte that a few bytes ask for. Standard MIDI Files 1.0 (MIDI
// Manufacturers Association 1996); the first file was found by fuzzing.
func TestLengthsThatLie(t *testing.T) {
	whole := smfBytes(96, 0, 0x90, 60, 80, 96, 60, 0)
	noEnd := bytes.Clone(whole[:len(whole)-4])
	noEnd[21] -= 4
	past := append(bytes.Clone(whole), 0, 0x90, 60, 80)
	past[21] += 4
	for name, data := range map[string][]byte{
		"long header":  []byte("MThd\x00\x00\x00 \x00\x000000MTrk00000\x90000000\xff0\xbe\xbe\xbe\xbe0000"),
		"no end":       noEnd,
		"past its end": past,
	} {
		start := time.Now()
		if soundLengths(data) {
			t.Errorf("%s: passes", name)
		}
		if _, err := ReadStrokes(bytes.NewReader(data)); err == nil || time.Since(start) > time.Second {
			t.Errorf("%s: %v after %v", name, err, time.Since(start))
		}
	}
	if list, err := ReadStrokes(bytes.NewReader(whole)); err != nil || len(list) != 1 {
		t.Errorf("the whole file: %v, %v", list, err)
	}
}
