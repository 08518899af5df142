package midi

import (
	"bufio"
	"io"
	"slices"
	"sync"
)

// SampleRate is the samples a second of all sound this package makes.
const SampleRate = sampleRate

// Sound is a performance as sound that can be had in pieces, in any order, for a
// page that plays while it fetches. It is the sound of [Performance.WriteWAV].
// It may be used by several goroutines at once.
type Sound struct {
	mu    sync.Mutex // over the tones, which remember what they last worked out
	tones []*tone
	gain  float64
	end   float64
}

// Sound readies the performance at a speed: 1 as it is, 0.5 half as fast.
func (f *Performance) Sound(speed float64) *Sound {
	g := *f
	g.Tempos = slices.Clone(f.Tempos)
	for i := range g.Tempos {
		g.Tempos[i].PerMin *= speed
	}
	tones, end := g.tones()
	return &Sound{tones: tones, end: end, gain: gain(tones)}
}

// Seconds is how long it sounds, the last tone's end included.
func (s *Sound) Seconds() float64 { return s.end + tail }

// WritePCM writes samples [from, to) as 16 bit stereo, low byte first; from is
// rounded down to a multiple of 256. Silence follows the end.
func (s *Sound) WritePCM(w io.Writer, from, to int) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	from = max(from, 0) / block * block
	out := bufio.NewWriter(w)
	m := mixer{tones: s.tones, gain: s.gain}
	for at := from; at < to; at += block {
		m.render(at)
		if err := m.write(out, min(block, to-at)); err != nil {
			return err
		}
	}
	return out.Flush()
}
