package advice

import (
	"slices"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// sameNotes is the share of the top notes that two phrases have alike where they are
// the same music: a choice of ours.
const sameNotes = 0.85

// struck is a top note by its distance from the first full measure of its phrase.
type struck struct {
	after score.Tick
	key   int // MIDI key
}

// pool gives phrases of the same notes, transposed or not, the same values, the mean of
// theirs: the same music goes to the same place, however loud it is printed (common
// practice, no source).
func (m Material) pool(ways []Way) {
	lines := make([][]struck, len(ways))
	for i, w := range ways {
		lines[i], ways[i].Like = m.topLine(w), -1
	}
	for i := range ways {
		if ways[i].Like >= 0 {
			continue
		}
		ways[i].Like = i
		same := []int{i}
		for j := i + 1; j < len(ways); j++ {
			if ways[j].Like < 0 && alike(lines[i], lines[j]) {
				same, ways[j].Like = append(same, j), i
			}
		}
		mean(ways, same)
	}
}

// downbeat is the index of the beat from which the beats of a phrase are counted where
// two are laid side by side: that of the first full measure.
func (w Way) downbeat() int { return w.Upbeat }

// mean makes the values of some phrases their mean, beat by beat from the first full
// measure; beats that not all have stay as they are.
func mean(ways []Way, same []int) {
	before, after := len(ways[same[0]].Beats), len(ways[same[0]].Beats)
	for _, i := range same {
		w := ways[i]
		before, after = min(before, w.downbeat()), min(after, len(w.Beats)-w.downbeat())
	}
	for k := range ways[same[0]].Values {
		for b := -before; b < after; b++ {
			sum := 0.0
			for _, i := range same {
				sum += ways[i].Values[k][b+ways[i].downbeat()]
			}
			for _, i := range same {
				ways[i].Values[k][b+ways[i].downbeat()] = sum / float64(len(same))
			}
		}
	}
}

// share gives phrases of the same notes one goal, that of the first of them and no surer
// than there, save where the print or the phrase itself bars it.
func (t *Table) share(ways []Way, goals []Goal) {
	for i, w := range ways {
		first := ways[w.Like]
		g := goals[w.Like]
		if w.Like == i || !g.open() || !goals[i].open() {
			continue
		}
		at := first.index(g.At) - first.downbeat() + w.downbeat()
		if at < 0 || at >= len(w.Beats) || w.barred(at) || w.softer(at) {
			continue
		}
		sure := min(g.Confidence, t.Confidence(w.Within(w.Chances(t.Weights))[at]))
		goals[i].At, goals[i].Confidence, goals[i].Certainty, goals[i].Lack = w.Beats[at], sure, tonal.CertaintyOf(sure), g.Lack
	}
}

// open reports whether nothing but doubt speaks against telling a goal.
func (g Goal) open() bool { return g.Told() || g.Lack == Vague }

// index is that of a beat.
func (w Way) index(t score.Tick) int { return slices.Index(w.Beats, t) }

// within is the index of the beat that holds a moment, of the first one if it comes before.
func (w Way) within(t score.Tick) int {
	return max(sort.Search(len(w.Beats), func(i int) bool { return w.Beats[i] > t })-1, 0)
}

// topLine is the highest note struck at each moment of a phrase, in order.
func (m Material) topLine(w Way) []struck {
	var out []struck
	from := w.Beats[min(w.downbeat(), len(w.Beats)-1)]
	notes := m.Score.Notes
	for i := m.Score.FirstNote(w.Start); i < len(notes) && notes[i].Onset < w.End; i++ {
		n := notes[i]
		if !n.Pitched() || !w.hasTune(n) {
			continue
		}
		after, key := n.Onset-from, n.Pitch.Key()
		if last := len(out) - 1; last < 0 || out[last].after < after {
			out = append(out, struck{after, key})
		} else if key > out[last].key {
			out[last].key = key
		}
	}
	return out
}

// tops is 1 at the beats in which the top line of a phrase has its highest note, else 0.
func (m Material) tops(w Way) []float64 {
	out, highest, from := make([]float64, len(w.Beats)), 0, w.Beats[min(w.downbeat(), len(w.Beats)-1)]
	for _, x := range m.topLine(w) {
		if x.key > highest {
			highest = x.key
			clear(out)
		}
		if x.key == highest {
			out[w.within(from+x.after)] = 1
		}
	}
	return out
}

// alike reports whether two lines have most of their notes in common, one of them
// perhaps transposed as a whole.
func alike(a, b []struck) bool {
	least := sameNotes * float64(max(len(a), len(b)))
	if float64(min(len(a), len(b))) < least {
		return false
	}
	by, j, most := map[int]int{}, 0, 0 // most: by the commonest interval so far
	for i, x := range a {
		if float64(most+min(len(a)-i, len(b)-j)) < least {
			return false
		}
		for j < len(b) && b[j].after < x.after {
			j++
		}
		if j < len(b) && b[j].after == x.after {
			apart := b[j].key - x.key
			by[apart]++
			most = max(most, by[apart])
		}
	}
	return most > 0 && float64(most) >= least
}
