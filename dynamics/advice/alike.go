package advice

import "hairpin/score"

// sameNotes is the share of the top notes that two phrases have alike where they are
// the same music: a choice of ours.
const sameNotes = 0.85

// struck is a top note by its distance from the phrase's start.
type struck struct {
	after score.Tick
	key   int // MIDI key
}

// pool gives phrases of the same notes the same values, the mean of theirs: the same
// music goes to the same place, however loud it is printed (common practice, no source).
func (m Material) pool(ways []Way) {
	lines := make([][]struck, len(ways))
	for i, w := range ways {
		lines[i] = m.topLine(w.Start, w.End)
	}
	done := make([]bool, len(ways))
	for i := range ways {
		if done[i] {
			continue
		}
		same := []int{i}
		for j := i + 1; j < len(ways); j++ {
			if !done[j] && len(ways[i].Beats) == len(ways[j].Beats) && alike(lines[i], lines[j]) {
				same, done[j] = append(same, j), true
			}
		}
		mean(ways, same)
	}
}

// mean makes the values of some phrases their mean.
func mean(ways []Way, same []int) {
	if len(same) < 2 {
		return
	}
	for k := range ways[same[0]].Values {
		for b := range ways[same[0]].Values[k] {
			sum := 0.0
			for _, i := range same {
				sum += ways[i].Values[k][b]
			}
			for _, i := range same {
				ways[i].Values[k][b] = sum / float64(len(same))
			}
		}
	}
}

// topLine is the highest note struck at each moment of a stretch, in order.
func (m Material) topLine(start, end score.Tick) []struck {
	var out []struck
	notes := m.Score.Notes
	for i := m.Score.FirstNote(start); i < len(notes) && notes[i].Onset < end; i++ {
		n := notes[i]
		if !n.Pitched() {
			continue
		}
		after, key := n.Onset-start, n.Pitch.Key()
		if last := len(out) - 1; last < 0 || out[last].after < after {
			out = append(out, struck{after, key})
		} else if key > out[last].key {
			out[last].key = key
		}
	}
	return out
}

// alike reports whether two lines have most of their notes in common.
func alike(a, b []struck) bool {
	least := sameNotes * float64(max(len(a), len(b)))
	both, j := 0, 0
	for i, x := range a {
		if float64(both+min(len(a)-i, len(b)-j)) < least {
			return false
		}
		for j < len(b) && b[j].after < x.after {
			j++
		}
		if j < len(b) && b[j] == x {
			both++
		}
	}
	return both > 0 && float64(both) >= least
}
