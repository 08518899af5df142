package midi

import (
	"bytes"
	"testing"
)

// Pieces put together are the whole, and the whole is that of the wave file.
func TestPiecesOfSoundAreTheWhole(t *testing.T) {
	p := Perform(line(2, quarterNote(0, 0), quarterNote(4, 2)), flat(5))
	var file, pieces bytes.Buffer
	if err := p.WriteWAV(&file); err != nil {
		t.Fatal(err)
	}
	s := p.Sound(1)
	samples := int(s.Seconds() * SampleRate)
	const piece = 40 * block
	for at := 0; at < samples; at += piece {
		if err := s.WritePCM(&pieces, at, min(at+piece, samples)); err != nil {
			t.Fatal(err)
		}
	}
	const head = 44
	if !bytes.Equal(file.Bytes()[head:], pieces.Bytes()) {
		t.Errorf("%d bytes of sound in pieces, %d in the file, or not the same", pieces.Len(), file.Len()-head)
	}
	if slow := p.Sound(0.5); slow.Seconds() < 1.9*s.Seconds()-2 {
		t.Errorf("at half the speed %g s, at full speed %g s", slow.Seconds(), s.Seconds())
	}
}
