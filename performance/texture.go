package performance

import (
	"math"

	"hairpin/score"
)

// ringing is a note that sounds on.
type ringing struct {
	key   int
	since float64
	end   score.Tick
}

// How struck tones fade, after measures of our own on pianos and marimbas: to a
// third in 0.35 s at c” (MIDI key 72), half as fast an octave and two semitones
// lower; what is left of a note after its written end, since a pedal may hold it.
const (
	fadeAt72   = 0.35 // seconds
	fadeKeys   = 14.0 // that double the time
	afterEnd   = 0.3
	longestKey = 4.0 // seconds after which a note is forgotten
)

// expected is the level that notes struck all alike would have at a place, in
// decibels over one note alone: those struck now and those that ring on.
func expected(now []ringing, ring []ringing, time float64, at score.Tick) float64 {
	power := float64(len(now))
	for _, r := range ring {
		p := math.Exp(-(time - r.since) / fade(r.key))
		if at >= r.end {
			p *= afterEnd
		}
		power += p
	}
	return 10 * math.Log10(max(power, 1e-3))
}

// fade is the time in which a tone's power falls to a third.
func fade(key int) float64 { return fadeAt72 * math.Exp2(-float64(key-72)/fadeKeys) }

// texture is the expected level of each place of a run.
func texture(s *score.Score, places []heard) []float64 {
	out := make([]float64, len(places))
	var ring []ringing
	for i, h := range places {
		kept := ring[:0]
		for _, r := range ring {
			if h.time-r.since < longestKey {
				kept = append(kept, r)
			}
		}
		ring = kept
		var now []ringing
		for _, n := range h.notes {
			now = append(now, ringing{s.Notes[n].Pitch.Key(), h.time, s.Notes[n].End()})
		}
		out[i] = expected(now, ring, h.time, h.at)
		ring = append(ring, now...)
	}
	return out
}
