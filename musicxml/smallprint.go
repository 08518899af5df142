package musicxml

import (
	"cmp"
	"slices"

	"hairpin/score"
)

// SmallPrint says whether cue notes sound.
type SmallPrint string

// How cue notes are read.
const (
	SmallWhereNeeded SmallPrint = "auto"  // they sound where their staff's measure is not complete without them
	SmallSounds      SmallPrint = "sound" // all sound
	SmallIsSilent    SmallPrint = "silent"
)

// WithSmallPrint is the file with its cue notes read in another way.
func (f *File) WithSmallPrint(p SmallPrint) (*File, error) {
	g := *f
	g.small = p
	var err error
	if g.Score, err = build(g.sheet, g.tree.root, g.limits, p); err != nil {
		return nil, naming(err, f.Name)
	}
	return &g, nil
}

// smallPrint is what decides about the cue notes of one measure of a part.
type smallPrint struct {
	cues []int     // indices into the part's notes
	full []stretch // what the other notes and the rests fill
}

type stretch struct {
	staff    int
	from, to score.Tick
}

// note takes a note or rest in; i is the place it will have among the notes.
func (p *smallPrint) note(n score.Note, i int, sounding bool) {
	switch {
	case n.Cue && sounding:
		p.cues = append(p.cues, i)
	case !n.Cue && n.Duration > 0:
		p.full = append(p.full, stretch{n.Staff, n.Onset, n.End()})
	}
}

// smallPrint decides which cue notes of the measure sound. Notes in small print
// show a player what others play, or they are played: cadenzas, and what some
// exporters write for every note of a staff. A staff is complete without the
// former; the latter fill what it has not.
func (r *partReader) smallPrint(m score.Measure) {
	p := r.small
	r.small = smallPrint{full: p.full[:0], cues: p.cues[:0]}
	if len(p.cues) == 0 || r.b.small == SmallIsSilent {
		return
	}
	p.join()
	sounding := 0
	for _, i := range p.cues {
		n := &r.notes[i].Note
		if r.b.small == SmallSounds || p.missing(*n, r.b.unseen()) {
			n.Cue = false
			sounding++
		}
	}
	switch {
	case r.b.small == SmallSounds || sounding == 0:
	case sounding == 1:
		r.warn("a note in small print fills a measure that is not complete without it; it was read as sounding")
	default:
		r.warn("%d notes in small print fill a measure that is not complete without them; they were read as sounding", sounding)
	}
}

// join makes one stretch of those of a staff that overlap or touch.
func (p *smallPrint) join() {
	slices.SortFunc(p.full, func(a, b stretch) int { return cmp.Or(cmp.Compare(a.staff, b.staff), cmp.Compare(a.from, b.from)) })
	out := p.full[:0]
	for _, s := range p.full {
		if k := len(out) - 1; k >= 0 && out[k].staff == s.staff && s.from <= out[k].to {
			out[k].to = max(out[k].to, s.to)
		} else {
			out = append(out, s)
		}
	}
	p.full = out
}

// missing reports whether a note begins where the other notes and rests of its
// staff leave a gap.
func (p *smallPrint) missing(n score.Note, tolerance score.Tick) bool {
	i, found := slices.BinarySearchFunc(p.full, n, func(s stretch, n score.Note) int {
		return cmp.Or(cmp.Compare(s.staff, n.Staff), cmp.Compare(s.from, n.Onset))
	})
	if !found {
		i--
	}
	return i < 0 || p.full[i].staff != n.Staff || n.Onset >= p.full[i].to-tolerance
}
