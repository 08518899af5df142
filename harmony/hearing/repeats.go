package hearing

import (
	"encoding/binary"
	"slices"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Music written out twice is heard alike. Choices of ours.
const (
	leastRepeat = 4 // measures: shorter repeats may stand in another context
	mostRepeats = 8 // earlier places that a measure is compared with, the first ones, and runs that it lies in
	repeatTurns = 2 // a third time may be surer than the first two
)

// repeat is so many measures that sound as earlier ones do, note by note.
type repeat struct{ first, again, count int }

// hearRepeats gives music that is written out again, note by note, the chords of the
// place where they are surer. Chords that reach over its edges stay as they are.
func hearRepeats(s *score.Score, chords []tonal.Chord) []tonal.Chord {
	runs := repeats(s)
	for range repeatTurns {
		for _, r := range runs {
			chords = r.hear(s, chords)
		}
	}
	return chords
}

// repeats are the runs of measures that come again, in order of time.
func repeats(s *score.Score) []repeat {
	prints := measurePrints(s)
	places := map[string][]int{}
	var out []repeat
	var ends []int // of the runs that go on
	for j, text := range prints {
		ends = slices.DeleteFunc(ends, func(end int) bool { return end <= j })
		for _, i := range places[text] {
			if text == "" || i > 0 && prints[i-1] == prints[j-1] && j-i > 1 || len(ends) == mostRepeats {
				continue // silence, inside a run, or heard often enough
			}
			n := 1
			for j+n < len(prints) && n < j-i && prints[i+n] == prints[j+n] {
				n++
			}
			if n >= leastRepeat {
				out, ends = append(out, repeat{i, j, n}), append(ends, j+n)
			}
		}
		if len(places[text]) < mostRepeats {
			places[text] = append(places[text], j)
		}
	}
	return out
}

// measurePrints are texts that are the same for measures with the same notes at the same
// places, "" for silence.
func measurePrints(s *score.Score) []string {
	notes := make([][]string, len(s.Measures))
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.Pitched() || n.Cue {
			continue
		}
		text := binary.AppendVarint(nil, int64(n.Onset-s.Measures[n.Measure].Start))
		for _, x := range [...]int{int(n.Duration), n.Part, int(n.Pitch.Class()), n.Pitch.Key()} {
			text = binary.AppendVarint(text, int64(x))
		}
		notes[n.Measure] = append(notes[n.Measure], string(text))
	}
	out := make([]string, len(notes))
	for i, list := range notes {
		slices.Sort(list)
		var all []byte
		for _, t := range list {
			all = append(all, t...)
		}
		out[i] = string(all)
	}
	return out
}

// hear makes the two stretches of a repeat have the chords of the surer one, from the
// first chord that starts in both at once and in one key to the last that ends so: what
// comes before and after may put the edges into other keys.
func (r repeat) hear(s *score.Score, chords []tonal.Chord) []tonal.Chord {
	from, length := s.Measures[r.first].Start, s.Measures[r.first+r.count-1].End()-s.Measures[r.first].Start
	apart := s.Measures[r.again].Start - from
	starts, ends := map[score.Tick]tonal.Key{}, map[score.Tick]tonal.Key{}
	for _, c := range within(chords, from, from+length) {
		starts[c.Start], ends[c.End] = c.Key, c.Key
	}
	start, end := from+length, from
	for _, c := range within(chords, from+apart, from+apart+length) {
		if k, ok := starts[c.Start-apart]; ok && k == c.Key {
			start = min(start, c.Start-apart)
		}
		if k, ok := ends[c.End-apart]; ok && k == c.Key {
			end = max(end, c.End-apart)
		}
	}
	if start >= end {
		return chords
	}
	old, again := within(chords, start, end), within(chords, start+apart, end+apart)
	if sure(again) > sure(old) {
		return replace(chords, old, again, -apart)
	}
	return replace(chords, again, old, apart)
}

// within are the chords that lie whole in a stretch.
func within(chords []tonal.Chord, from, to score.Tick) []tonal.Chord {
	i := sort.Search(len(chords), func(i int) bool { return chords[i].Start >= from })
	j := i
	for j < len(chords) && chords[j].End <= to {
		j++
	}
	return chords[i:j]
}

// sure is the mean confidence of chords over their time.
func sure(chords []tonal.Chord) float64 {
	sum, time := 0.0, score.Tick(0)
	for _, c := range chords {
		sum += c.Confidence * float64(c.Duration())
		time += c.Duration()
	}
	return sum / float64(max(time, 1))
}

// replace puts chords moved by a time in the place of others, which are part of the list.
func replace(chords, others, by []tonal.Chord, apart score.Tick) []tonal.Chord {
	if len(others) == 0 {
		return chords
	}
	i := sort.Search(len(chords), func(i int) bool { return chords[i].Start >= others[0].Start })
	moved := slices.Clone(by)
	for k := range moved {
		moved[k].Start += apart
		moved[k].End += apart
	}
	return slices.Replace(chords, i, i+len(others), moved...)
}
