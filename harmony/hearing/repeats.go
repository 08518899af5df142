package hearing

import (
	"slices"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Music written out again is heard alike. Choices of ours, tried on the scores that the
// chords were fitted on.
const (
	leastMoved  = 4    // measures of music on another tone that take the keys along: shorter is a sequence inside one key
	clearlySure = 0.03 // by how much the later place must be heard more surely to be the model of the first
	repeatTurns = 2    // a third time may be surer than the first two
)

// hearRepeats gives music that comes again, on whatever tone, the chords of the place
// where they are surer.
func hearRepeats(s *score.Score, list []tonal.Slice, chords []tonal.Chord) []tonal.Chord {
	runs := repeats(measureSounds(s, list))
	for range repeatTurns {
		for _, r := range runs {
			first, last := s.Measures[r.first], s.Measures[r.first+r.count-1]
			p := twin{first.Start, last.End(), s.Measures[r.again].Start - first.Start, r.moved}
			chords = p.hear(chords, r.moved == 0 || r.count >= leastMoved)
		}
	}
	return chords
}

// twin is a stretch that comes again so much later, so many fifths higher.
type twin struct {
	from, to, apart score.Tick
	moved           score.Class
}

// hear makes both places be heard alike from the first chord that starts in both at once
// to the last that ends so, with its keys if they are taken along. A chord that reaches over
// an edge in one place only is cut there: it is heard as in the other.
func (p twin) hear(chords []tonal.Chord, keys bool) []tonal.Chord {
	if p.alike(chords) {
		return chords
	}
	start, end := p.shared(chords)
	if start >= end {
		return chords
	}
	a, b := p.both(chords)
	chords = p.part(start, end).copy(chords, sure(b) > sure(a)+clearlySure, false)
	if keys {
		a, b = p.both(chords)
		chords = p.part(start, end).copy(chords, sureOfKey(b) > sureOfKey(a), true)
	}
	if first, again := startsAt(chords, p.from), startsAt(chords, p.from+p.apart); first != again {
		chords = p.part(p.from, start).copy(chords, again, false)
	}
	if first, again := endsAt(chords, p.to), endsAt(chords, p.to+p.apart); first != again {
		chords = p.part(end, p.to).copy(chords, again, false)
	}
	return chords
}

func (p twin) part(from, to score.Tick) twin { return twin{from, to, p.apart, p.moved} }

// both are the chords of the two places, cut at the edges.
func (p twin) both(chords []tonal.Chord) (first, again []tonal.Chord) {
	return clip(chords, p.from, p.to), clip(chords, p.from+p.apart, p.to+p.apart)
}

// alike reports whether both places are heard alike, their keys too.
func (p twin) alike(chords []tonal.Chord) bool {
	a, b := p.both(chords)
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		c, d := p.move(a[i]), b[i]
		if c.Start != d.Start || c.End != d.End || c.Key != d.Key || !sameChord(c, d) {
			return false
		}
	}
	return true
}

// shared is the stretch, by the first place, from the first chord that starts in both at
// once to the last that ends so; empty if there is none.
func (p twin) shared(chords []tonal.Chord) (start, end score.Tick) {
	start, end = p.to, p.from
	first, _ := p.both(chords)
	for _, c := range first {
		if startsAt(chords, c.Start) && startsAt(chords, c.Start+p.apart) {
			start = min(start, c.Start)
		}
		if endsAt(chords, c.End) && endsAt(chords, c.End+p.apart) {
			end = max(end, c.End)
		}
	}
	return start, end
}

// copy makes the second place be heard as the first, or, back, the first as the second.
// Without keys every chord is named in the key of its own place; if one has no name there,
// all stay as they are.
func (p twin) copy(chords []tonal.Chord, back, keys bool) []tonal.Chord {
	if p.from >= p.to {
		return chords
	}
	if back {
		p = twin{p.from + p.apart, p.to + p.apart, -p.apart, -p.moved}
	}
	model, old := p.both(chords)
	if len(model) == 0 || len(old) == 0 {
		return chords
	}
	for i, c := range model {
		c = p.move(c)
		own := nearest(old, c)
		if !keys && !nameIn(&c, own) {
			return chords
		}
		model[i] = c
	}
	return splice(chords, model)
}

// move is a chord as it stands at the other place.
func (p twin) move(c tonal.Chord) tonal.Chord {
	c.Start, c.End = c.Start+p.apart, c.End+p.apart
	if p.moved == 0 {
		return c
	}
	c.Root, c.Bass, c.Key.Tonic = c.Root+p.moved, c.Bass+p.moved, c.Key.Tonic+p.moved
	tones := make([]score.Class, len(c.Tones))
	for i, t := range c.Tones {
		tones[i] = t + p.moved
	}
	c.Tones, c.Rival, c.RivalClose = tones, "", false
	c.Why = toneNames(tones) + ", as where this music stands on another tone"
	return c
}

// nameIn names a chord in the key of another one in its place; false if it has no name there.
func nameIn(c *tonal.Chord, own tonal.Chord) bool {
	switch {
	case sameChord(*c, own):
		c.Numeral, c.Why, c.Rival, c.RivalClose = own.Numeral, own.Why, own.Rival, own.RivalClose
	case c.Key != own.Key:
		n, ok := tonal.NameChord(c.Tones, c.Bass, own.Key)
		if !ok {
			return false
		}
		c.Numeral = n
	}
	c.Key, c.KeyConfidence, c.Inversion = own.Key, own.KeyConfidence, c.Numeral.Inversion
	return true
}

func sameChord(a, b tonal.Chord) bool {
	return a.Root == b.Root && a.Quality == b.Quality && a.Bass == b.Bass
}

// nearest is the chord of a list, in order and not empty, that shares the most time with another.
func nearest(list []tonal.Chord, c tonal.Chord) tonal.Chord {
	best, most := list[0], score.Tick(-1)
	for _, d := range list[endsAfter(list, c.Start-1):] { // the others do not even touch it
		if d.Start > c.End {
			break
		}
		if n := min(c.End, d.End) - max(c.Start, d.Start); n > most {
			best, most = d, n
		}
	}
	return best
}

// endsAfter is the index of the first chord that ends after a moment.
func endsAfter(chords []tonal.Chord, t score.Tick) int {
	return sort.Search(len(chords), func(i int) bool { return chords[i].End > t })
}

func startsAt(chords []tonal.Chord, t score.Tick) bool {
	i := endsAfter(chords, t)
	return i < len(chords) && chords[i].Start == t
}

func endsAt(chords []tonal.Chord, t score.Tick) bool {
	i := endsAfter(chords, t-1)
	return i < len(chords) && chords[i].End == t
}

// clip are the chords of a stretch, cut at its edges.
func clip(chords []tonal.Chord, from, to score.Tick) []tonal.Chord {
	var out []tonal.Chord
	for i := endsAfter(chords, from); i < len(chords) && chords[i].Start < to; i++ {
		c := chords[i]
		c.Start, c.End = max(c.Start, from), min(c.End, to)
		out = append(out, c)
	}
	return out
}

// splice puts chords in the place of what is heard in their time, joined with their
// neighbours where these go on. It works in place.
func splice(chords, put []tonal.Chord) []tonal.Chord {
	from, to := put[0].Start, put[len(put)-1].End
	i, j := endsAfter(chords, from), endsAfter(chords, to)
	all := clip(chords, min(from, chords[i].Start), from)
	all = append(all, put...)
	if j < len(chords) && chords[j].Start < to {
		all = append(all, clip(chords, to, chords[j].End)...)
		j++
	}
	if i > 0 {
		i--
		all = append([]tonal.Chord{chords[i]}, all...)
	}
	if j < len(chords) {
		all = append(all, chords[j])
		j++
	}
	n := 1
	for _, c := range all[1:] {
		if goesOn(all[n-1], c) {
			join(&all[n-1], c)
			continue
		}
		all[n] = c
		n++
	}
	return slices.Replace(chords, i, j, all[:n]...)
}

// sure is the mean confidence of chords over their time.
func sure(chords []tonal.Chord) float64 {
	return overTime(chords, func(c tonal.Chord) float64 { return c.Confidence })
}

// sureOfKey is the same of their keys.
func sureOfKey(chords []tonal.Chord) float64 {
	return overTime(chords, func(c tonal.Chord) float64 { return c.KeyConfidence })
}

func overTime(chords []tonal.Chord, of func(tonal.Chord) float64) float64 {
	sum, time := 0.0, score.Tick(0)
	for _, c := range chords {
		sum += of(c) * float64(c.Duration())
		time += c.Duration()
	}
	return sum / float64(max(time, 1))
}
