package phrasing

import (
	"slices"

	"hairpin/harmony/form"
	"hairpin/score"
)

// A fugue has no phrases that all voices share: it is cut where its parts begin, and a long
// free part as other music is.

// framed is what a boundary weighs where a part of a fugue begins: more than all marks.
const framed = 1000

// frame makes the parts of a fugue begin phrases, and takes out what would cut them.
func (v *surface) frame(list []boundary) []boundary {
	return slices.DeleteFunc(list, func(b boundary) bool {
		p := v.fugue.PartAt(b.at)
		return p != nil && p.Kind != form.FreePart && b.at != p.Start && b.at != v.first && b.at != v.end
	})
}

// fugueVoices is how many voices must arrive together for a close in a fugue: where fewer
// do, the music goes on (common practice, no source).
const fugueVoices = 3

// arriveTogether reports whether a formula of a fugue is a close: dominant and tonic with their
// roots below, and so many voices that strike the tonic together.
func (a *piece) arriveTogether(v *surface, f formula) bool {
	if !f.kind.Authentic() || !f.roots() || v.sounds(a.Chords[f.i].Start-1) < fugueVoices {
		return false
	}
	at := a.Chords[f.i].Start
	struck := 0
	for i := v.firstSounding(at); i < len(v.s.Notes) && v.s.Notes[i].Onset <= at; i++ {
		if n := v.s.Notes[i]; n.Pitched() && n.Onset == at && slices.Contains(a.Chords[f.i].Tones, n.Pitch.Class()) {
			struck++
		}
	}
	return struck >= fugueVoices
}

// sounds is how many notes sound at a moment.
func (v *surface) sounds(t score.Tick) (count int) {
	for i := v.firstSounding(t); i < len(v.s.Notes) && v.s.Notes[i].Onset <= t; i++ {
		if n := v.s.Notes[i]; n.Pitched() && n.End() > t {
			count++
		}
	}
	return count
}
