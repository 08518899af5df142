package musicxml

import "hairpin/score"

// beams joins neighbouring eighths and shorter notes of one beat, as printed
// music does (common practice, no source). Start and length of the pieces count
// from the start of the measure, in the document's divisions.
func (b *scoreWriter) beams(pieces []piece, segments []segment, m score.Measure) {
	beat, lead := b.beat(m)
	for i := 0; i < len(pieces); {
		j := i
		for j < len(pieces) && flags(pieces[j].typ) > 0 && len(segments[pieces[j].segment].notes) > 0 &&
			(pieces[j].start+lead)/beat == (pieces[i].start+lead)/beat {
			j++
		}
		if j-i > 1 {
			join(pieces[i:j])
		}
		i = max(j, i+1)
	}
}

// beat is how long the notes are that stand under one beam, and how much of a
// full measure lies before its start.
func (b *scoreWriter) beat(m score.Measure) (length, lead score.Tick) {
	length = m.Beat(b.rhythm.quarter)
	if m.Beats == 3 && m.BeatUnit >= 8 { // 3/8 stands under one beam
		length *= 3
	}
	return length, m.Head() * b.factor
}

// flags is how many flags a note value has alone.
func flags(typ string) int {
	for i, t := range [...]string{"eighth", "16th", "32nd", "64th", "128th"} {
		if t == typ {
			return i + 1
		}
	}
	return 0
}

// join puts beams on the notes of one group.
func join(group []piece) {
	for i := range group {
		n := flags(group[i].typ)
		for level := 1; level <= n; level++ {
			before := i > 0 && flags(group[i-1].typ) >= level
			after := i+1 < len(group) && flags(group[i+1].typ) >= level
			group[i].beams = append(group[i].beams, beamKind(before, after, i > 0))
		}
	}
}

func beamKind(before, after, inner bool) string {
	switch {
	case before && after:
		return "continue"
	case before:
		return "end"
	case after:
		return "begin"
	case inner:
		return "backward hook"
	}
	return "forward hook"
}
