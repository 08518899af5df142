package tension

import (
	"math"
	"slices"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// keyHalf is how long, in quarters, a new local key must last until half of the
// distance is counted from it: before, the ear measures the chord by the key it
// comes from. That keys build up over a few chords is what Krumhansl & Kessler
// (1982) found with chord sequences. Two measures of four are a choice: from two to
// eight quarters the rank correlation with the chord ratings of Krumhansl (1990,
// Cognitive Foundations of Musical Pitch, in a secondary transcription) is .73
// instead of .63; with those of chord pairs of Bharucha & Krumhansl (1983) it grows
// from .43 to .48, and without it is .36.
const keyHalf = 8.0

// leastShare is the share below which a key is forgotten.
const leastShare = 0.02

// keyShare is how much of the distance is counted from a key.
type keyShare struct {
	key   tonal.Key
	share float64
}

// keyMemory holds the keys that are in the ear, the one that governs last. Shares add up to 1.
type keyMemory []keyShare

// enter lets a key govern from now on.
func (m *keyMemory) enter(k tonal.Key) {
	list := *m
	for i, x := range list {
		if x.key == k {
			*m = append(append(list[:i:i], list[i+1:]...), x)
			return
		}
	}
	share := 0.0
	if len(list) == 0 {
		share = 1
	}
	*m = append(list, keyShare{k, share})
}

// pass lets time go by: the governing key gains what the others lose.
func (m *keyMemory) pass(quarters float64) {
	list := *m
	if len(list) < 2 {
		return
	}
	kept, rest := list[:0], 0.0
	for _, x := range list[:len(list)-1] {
		if x.share *= math.Exp2(-quarters / keyHalf); x.share >= leastShare {
			kept = append(kept, x)
			rest += x.share
		}
	}
	*m = append(kept, keyShare{list[len(list)-1].key, 1 - rest})
}

// confirm leaves the governing key alone in the ear: a cadence has closed in it.
func (m *keyMemory) confirm() {
	list := *m
	*m = append(list[:0], keyShare{list[len(list)-1].key, 1})
}

// heard is the distance part of a chord at a moment: from the tonic of each key in
// the ear, and from home. chord is its index.
func (r *rater) heard(chord int) float64 {
	sum := 0.0
	for _, x := range r.ear {
		if x.share > 0 {
			sum += x.share * r.distanceIn(chord, x.key)
		}
	}
	return sum
}

// distanceIn is the distance part of a chord read in a key.
func (r *rater) distanceIn(chord int, k tonal.Key) float64 {
	c := &r.a.Chords[chord]
	if c.Key == k || len(c.Tones) == 0 {
		return r.distance(c)
	}
	id := readIn{chord, k}
	if v, ok := r.reread[id]; ok {
		return v
	}
	d := *c
	d.Key = k
	d.Numeral = r.numeralIn(c, k)
	v := r.distance(&d)
	r.reread[id] = v
	return v
}

// numeralIn names a chord in a key, once for all chords of the same tones.
func (r *rater) numeralIn(c *tonal.Chord, k tonal.Key) tonal.Numeral {
	id := named{len(c.Tones), [mostNamed]score.Class{}, c.Bass, k}
	if len(c.Tones) > mostNamed {
		n, _ := tonal.NameChord(c.Tones, c.Bass, k)
		return n
	}
	copy(id.tones[:], c.Tones)
	n, ok := r.names[id]
	if !ok {
		n, _ = tonal.NameChord(c.Tones, c.Bass, k)
		r.names[id] = n
	}
	return n
}

// leastTold is the share from which an earlier key is told of.
const leastTold = 0.1

// earlierKeys are the keys, but for the governing one, that are in the ear at a moment.
func (r *rater) earlierKeys(at score.Tick) []KeyInEar {
	m := r.remembered(at)
	var out []KeyInEar
	for _, x := range m[:max(len(m)-1, 0)] {
		if x.share >= leastTold {
			out = append(out, KeyInEar{x.key.Name(), x.share})
		}
	}
	return out
}

// recalled is the memory of an explanation: what is in the ear before the chord
// with this index. Moments explained in order of time go on from it.
type recalled struct {
	chord int
	ear   keyMemory
}

// remembered is what is in the ear at a moment.
func (r *rater) remembered(at score.Tick) keyMemory {
	chords, x := r.a.Chords, &r.recalled
	if r.closes == nil {
		r.closes = r.a.closing()
	}
	if x.chord < len(chords) && at < chords[x.chord].Start { // back in time: from the beginning
		x.chord, x.ear = 0, nil
	}
	for ; x.chord+1 < len(chords) && chords[x.chord+1].Start <= at; x.chord++ {
		r.remember(&x.ear, x.chord, chords[x.chord+1].Start)
	}
	m := slices.Clone(x.ear)
	if x.chord < len(chords) && chords[x.chord].Start <= at {
		r.remember(&m, x.chord, at)
	}
	return m
}

// remember lets a chord sound until a moment.
func (r *rater) remember(m *keyMemory, chord int, until score.Tick) {
	c := &r.a.Chords[chord]
	if m.enter(c.Key); r.closes[chord] {
		m.confirm()
	}
	m.pass(r.s.Quarters(max(until-c.Start, 0)))
}

// named is the tones of a chord in a key.
type named struct {
	n     int
	tones [mostNamed]score.Class
	bass  score.Class
	key   tonal.Key
}

// mostNamed is how many tones a chord of the vocabulary has at most.
const mostNamed = 5

// readIn is a chord in a key.
type readIn struct {
	chord int
	key   tonal.Key
}
