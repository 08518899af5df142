package performance

import (
	"bufio"
	"bytes"
	"fmt"
	"io"

	"hairpin/internal/midi"
	"hairpin/performance/sound"
)

// Take is a recording as it was read: keys struck, or sound.
type Take struct {
	Name  string
	Keys  []midi.Stroke // in order of time; nil for sound
	Sound *sound.Sound
}

// mostMIDI is the size of a MIDI file that is read, in bytes.
const mostMIDI = 16 << 20

// Read reads a MIDI file or a recording. Errors begin with the name.
func Read(r io.Reader, name string, limits sound.Limits) (*Take, error) {
	in := bufio.NewReader(r)
	head, _ := in.Peek(4)
	if !bytes.Equal(head, []byte("MThd")) {
		s, err := sound.Read(in, limits)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		return &Take{Name: name, Sound: s}, nil
	}
	keys, err := midi.ReadStrokes(io.LimitReader(in, mostMIDI))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, &sound.Error{Text: err.Error(), Hint: "record or export it again"})
	}
	if k := keys[len(keys)-1]; k.On-keys[0].On > limits.Seconds {
		return nil, fmt.Errorf("%s: %w", name, &sound.Error{Text: fmt.Sprintf("longer than %.0f minutes", limits.Seconds/60), Hint: "cut it into shorter takes"})
	}
	return &Take{Name: name, Keys: keys}, nil
}

// Seconds is how long the take lasts.
func (t *Take) Seconds() float64 {
	if t.Sound != nil {
		return t.Sound.Seconds()
	}
	end := 0.0
	for _, k := range t.Keys {
		end = max(end, k.Off)
	}
	return end
}
