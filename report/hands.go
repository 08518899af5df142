package report

import (
	"fmt"
	"slices"

	"hairpin/score"
)

// handsSentence says which parts of an ensemble take up the tune of the opening, and where:
// what a teacher says first of a quartet. A song is led by its voice, and needs no word.
func (r *Reading) handsSentence() string {
	const most, apart = 3, 4 // parts; measures: an answer that follows at once is no news
	if len(r.Score.Parts) < 2 || len(r.Score.Syllables) > 0 {
		return ""
	}
	tune := r.openingTune()
	if tune == nil {
		return ""
	}
	own := map[score.Tick]bool{}
	first := map[int]score.Tick{}
	var order []int
	for _, l := range r.lines(false) {
		for i := 0; i+motive <= len(l); i++ {
			x := l[i : i+motive]
			if !sameShape(tune, x) {
				continue
			}
			if p := x[0].Part; p == tune[0].Part {
				own[x[0].Onset] = true
			} else if at, ok := first[p]; !ok || x[0].Onset < at {
				if !ok {
					order = append(order, p)
				}
				first[p] = x[0].Onset
			}
		}
	}
	order = slices.DeleteFunc(order, func(p int) bool {
		return own[first[p]] || r.Score.MeasureAt(first[p])-r.Score.MeasureAt(tune[0].Onset) < apart
	})
	slices.SortFunc(order, func(a, b int) int { return int(first[a] - first[b]) })
	if len(order) == 0 || len(order) > most {
		return ""
	}
	var names []string
	for _, p := range order {
		name := spaced(r.Score.Parts[p].Name)
		if name == "" {
			name = fmt.Sprintf("part %d", p+1)
		}
		names = append(names, fmt.Sprintf("%s (m. %s)", name, r.number(first[p])))
	}
	return "the tune of the opening passes to " + join(names) + ": let it be heard there"
}

// openingTune is the motive of the opening that is heard on top, nil if there is none with
// a shape of its own.
func (r *Reading) openingTune() []*score.Note {
	var best []*score.Note
	for _, l := range r.lines(false) {
		if len(l) < motive || l[0].Onset > r.Score.Length()/8 || !varied(l[:motive]) || !r.onTop(l[:motive]) {
			continue
		}
		if best == nil || l[0].Onset < best[0].Onset {
			best = l[:motive]
		}
	}
	return best
}

// onTop reports whether most notes of a line are the highest that sound.
func (r *Reading) onTop(l []*score.Note) bool {
	high := 0
	for _, n := range l {
		if notes := r.soundingAt(n.Onset); len(notes) > 0 && r.Score.Notes[notes[len(notes)-1]].Pitch.Key() == n.Pitch.Key() {
			high++
		}
	}
	return 3*high > 2*len(l)
}

// sameShape reports whether b has the rhythm of a and goes by the same steps of the staff.
func sameShape(a, b []*score.Note) bool {
	step := func(n *score.Note) int { return 7*n.Pitch.Octave + n.Pitch.Step }
	for i := range a {
		if a[i].Onset-a[0].Onset != b[i].Onset-b[0].Onset || step(a[i])-step(a[0]) != step(b[i])-step(b[0]) {
			return false
		}
	}
	return true
}

// respelled names the places in which a held or repeated key changes its name, "Gb" to
// "F#": the music turns to another key by way of it. Where that is often, it is how the
// piece is spelled and no place.
func (r *Reading) respelled() string {
	const most = 2
	var texts []string
	last := -1
	for _, pair := range r.renamed() {
		if pair[1].Measure == last {
			continue
		}
		last = pair[1].Measure
		texts = append(texts, fmt.Sprintf("%s turns into %s %s", pair[0].Pitch.Class(), pair[1].Pitch.Class(), r.at(pair[1].Onset)))
	}
	if len(texts) == 0 || len(texts) > most {
		return ""
	}
	return join(texts) + ": the same key of the piano, another meaning; change the colour on it"
}

// renamed are the notes of a voice that are struck at the height of the one before, for at
// least a beat, under another name, in order of time.
func (r *Reading) renamed() [][2]*score.Note {
	var out [][2]*score.Note
	for _, lowest := range [2]bool{false, true} {
		for _, l := range r.lines(lowest) {
			for i := 1; i < len(l); i++ {
				a, b := l[i-1], l[i]
				beat := r.Score.BeatAt(b.Onset)
				if a.Pitch.Key() == b.Pitch.Key() && a.Pitch.Step != b.Pitch.Step && b.Onset-a.End() < beat && min(a.Duration, b.Duration) >= beat {
					out = append(out, [2]*score.Note{a, b})
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b [2]*score.Note) int { return int(a[1].Onset - b[1].Onset) })
	return slices.CompactFunc(out, func(a, b [2]*score.Note) bool { return a[1].Onset == b[1].Onset })
}
