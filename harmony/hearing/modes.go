package hearing

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// What turns a minor key to major. Choices of ours.
const (
	fewestTonics = 2 // major triads on the tonic, and no minor one between
	leastTonics  = 8 // their least share of the stretch: an eighth
)

// hearModes reads a stretch in a minor key in major, where its tonic is heard as a major
// triad time and again and never as a minor one: the third of the tonic makes the mode
// (common practice, no source). That key must rule more of the piece than
// the minor one, and every chord of the stretch have a name in it. A
// single major triad at the end of a stretch is a raised third and stays.
func hearModes(chords []tonal.Chord) {
	ruled := map[tonal.Key]score.Tick{}
	for _, c := range chords {
		ruled[c.Key] += c.Duration()
	}
	for i := 0; i < len(chords); {
		j := i + 1
		for j < len(chords) && chords[j].Key == chords[i].Key {
			j++
		}
		if k := chords[i].Key; k.Minor && ruled[tonal.Key{Tonic: k.Tonic}] > ruled[k] {
			for _, s := range majorStretches(chords[i:j]) {
				readAll(chords[i+s[0]:i+s[1]], tonal.Key{Tonic: chords[i].Key.Tonic})
			}
		}
		i = j
	}
}

// majorStretches are the stretches, as indices, from after one minor tonic to the last of
// the major ones before the next that have enough major ones.
func majorStretches(run []tonal.Chord) [][2]int {
	var out [][2]int
	from, last, count := 0, 0, 0
	var time score.Tick
	close := func() {
		if count >= fewestTonics && leastTonics*time >= run[last-1].End-run[from].Start {
			out = append(out, [2]int{from, last})
		}
	}
	for i, c := range run {
		if c.Root != run[0].Key.Tonic || c.Numeral.Target != 0 || c.Given {
			continue
		}
		switch c.Quality {
		case tonal.Major:
			count, last, time = count+1, i+1, time+c.Duration()
		case tonal.Minor:
			close()
			from, last, count, time = i+1, i+1, 0, 0
		}
	}
	if count > 0 && from == 0 {
		last = len(run)
	}
	close()
	return out
}
