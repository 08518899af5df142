package advice

import (
	"sort"

	"hairpin/score"
)

// sung are the parts that sing a phrase, and by beat whether they rest: its goal is
// theirs (common practice, no source). They are nil where nobody sings or the voices rest
// for more than half of it, as in an interlude.
func (m Material) sung(w Way) (parts map[int]bool, rests []bool) {
	parts = map[int]bool{}
	words := m.Score.Syllables
	for i := sort.Search(len(words), func(i int) bool { return words[i].At >= w.Start }); i < len(words) && words[i].At < w.End; i++ {
		parts[words[i].Part] = true
	}
	sounds := make([]bool, len(w.Beats))
	for i := m.Score.FirstNote(w.Start); len(parts) > 0 && i < len(m.Score.Notes) && m.Score.Notes[i].Onset < w.End; i++ {
		x := m.Score.Notes[i]
		if !parts[x.Part] || !x.Pitched() {
			continue
		}
		for b := w.within(x.Onset); b < len(w.Beats) && w.Beats[b] < max(x.End(), x.Onset+1); b++ {
			sounds[b] = true
		}
	}
	n := 0
	for _, x := range sounds {
		rests = append(rests, !x)
		if x {
			n++
		}
	}
	if n == 0 || 2*n < len(sounds) {
		return nil, nil
	}
	return parts, rests
}

// crowned is the top of the voice in the measure of a goal, if a sung phrase has it there:
// whatever the accompaniment accents beside it.
func (w Way) crowned(at int) int {
	for i, top := range w.Tops {
		if w.Sung != nil && top && w.Bars[i] == w.Bars[at] && !w.barred(i) && !w.softer(i) {
			return i
		}
	}
	return at
}

// hasTune reports whether a note is of a part that has the tune: in a sung phrase a voice.
func (w Way) hasTune(n score.Note) bool { return w.Sung == nil || w.Sung[n.Part] }
