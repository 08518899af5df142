package hearing

import (
	"encoding/binary"
	"slices"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Music that comes again. Choices of ours.
const (
	leastRepeat = 2 // measures that sound as earlier ones do
	mostRepeats = 8 // earlier places that a measure is compared with, the first ones, and runs that it lies in
)

// sounding is what sounds in a measure: equal texts are the same music from another tone.
type sounding struct {
	text string      // "" for silence
	low  score.Class // the first bass, from which the text counts
}

// repeat is so many measures that sound as earlier ones do, moved by so many fifths.
type repeat struct {
	first, again, count int
	moved               score.Class
}

// repeats are the runs of measures that come again, in order of time.
func repeats(bars []sounding) []repeat {
	places := map[string][]int{}
	var out []repeat
	var ends []int // of the runs that go on
	for j, b := range bars {
		if b.text == "" {
			continue
		}
		ends = slices.DeleteFunc(ends, func(end int) bool { return end <= j })
		for _, i := range places[b.text] {
			r := repeat{i, j, 1, b.low - bars[i].low}
			if i > 0 && j-i > 1 && r.holds(bars, -1) || len(ends) == mostRepeats {
				continue // inside a run, or heard often enough
			}
			for j+r.count < len(bars) && r.count < j-i && r.holds(bars, r.count) {
				r.count++
			}
			if r.count >= leastRepeat {
				out, ends = append(out, r), append(ends, j+r.count)
			}
		}
		if len(places[b.text]) < mostRepeats {
			places[b.text] = append(places[b.text], j)
		}
	}
	return out
}

// holds reports whether the measures so far from the start of a repeat sound alike.
func (r repeat) holds(bars []sounding, k int) bool {
	a, b := bars[r.first+k], bars[r.again+k]
	return a.text == b.text && (a.text == "" || b.low-a.low == r.moved)
}

// measureSounds are the measures as they sound: which pitch classes over which bass, from
// when on. What is only struck again, doubled, or set in another octave sounds the same.
func measureSounds(s *score.Score, list []tonal.Slice) []sounding {
	out := make([]sounding, len(s.Measures))
	k := 0
	for i, m := range s.Measures {
		for k < len(list) && list[k].End <= m.Start {
			k++
		}
		out[i] = measureSound(s, m, list[k:])
	}
	return out
}

// measureSound is a measure as it sounds; slices start with its first.
func measureSound(s *score.Score, m score.Measure, list []tonal.Slice) sounding {
	var b sounding
	var text, last []byte
	known := false
	for _, sl := range list {
		if sl.Start >= m.End() {
			break
		}
		if !known && len(sl.Notes) > 0 {
			b.low, known = s.Notes[sl.Notes[0]].Pitch.Class(), true
		}
		now := sliceSound(s, sl, b.low)
		if text == nil || string(now) != string(last) {
			text = binary.AppendVarint(text, int64(max(sl.Start, m.Start)-m.Start))
			text = append(text, now...)
		}
		last = now
	}
	if known {
		b.text = string(binary.AppendVarint(text, int64(m.Length)))
	}
	return b
}

// sliceSound is the bass of a slice and the other tones, each once, counted from a tone.
func sliceSound(s *score.Score, sl tonal.Slice, from score.Class) []byte {
	tones := make([]int, len(sl.Notes))
	for i, n := range sl.Notes {
		tones[i] = int(s.Notes[n].Pitch.Class() - from)
	}
	var out []byte
	if len(tones) > 0 {
		out = binary.AppendVarint(out, int64(tones[0]))
	}
	slices.Sort(tones)
	tones = slices.Compact(tones)
	out = binary.AppendVarint(out, int64(len(tones)))
	for _, t := range tones {
		out = binary.AppendVarint(out, int64(t))
	}
	return out
}
