package follow

import (
	"cmp"
	"slices"
	"sort"

	"hairpin/score"
)

// page is the score as a follower reads it.
type page struct {
	s      *score.Score
	places []place
	bars   []int // places where a measure begins, rising
	signs  []leap
}

// place is a written onset.
type place struct {
	at       score.Tick
	keys     []int // struck here, without repetition
	graces   []int
	ornament []int // keys around the notes that are trilled while this place lasts
	notes    []int // indices into Score.Notes, grace notes too
}

// leap is a way that the signs of the page allow: from the place played last to
// the one played next.
type leap struct{ from, to int }

// playable reports whether a follower listens for the note.
func playable(n score.Note) bool {
	k := n.Pitch.Key()
	return !n.Cue && !n.Unpitched && k >= 0 && k < keys
}

const keys = 128 // of MIDI

func readPage(s *score.Score) *page {
	p := &page{s: s}
	p.findPlaces()
	if len(p.places) == 0 {
		return p
	}
	p.ornaments()
	for _, m := range s.Measures {
		if k := p.from(m.Start); k < len(p.places) && (len(p.bars) == 0 || p.bars[len(p.bars)-1] != k) {
			p.bars = append(p.bars, k)
		}
	}
	p.findSigns()
	return p
}

// findPlaces gathers the onsets of notes that take time; a grace note belongs to
// the place it leads to.
func (p *page) findPlaces() {
	for _, n := range p.s.Notes {
		if k := len(p.places); playable(n) && !n.Grace && (k == 0 || p.places[k-1].at != n.Onset) {
			p.places = append(p.places, place{at: n.Onset})
		}
	}
	if len(p.places) == 0 {
		return
	}
	for i, n := range p.s.Notes {
		if !playable(n) {
			continue
		}
		x := &p.places[min(p.from(n.Onset), len(p.places)-1)]
		x.notes = append(x.notes, i)
		list := &x.keys
		if n.Grace {
			list = &x.graces
		}
		if !slices.Contains(*list, n.Pitch.Key()) {
			*list = append(*list, n.Pitch.Key())
		}
	}
}

// ornaments notes the neighbours of trilled notes at every place under them.
func (p *page) ornaments() {
	for _, n := range p.s.Notes {
		if !playable(n) || !n.Signs.Has(score.Trill) {
			continue
		}
		for k := p.from(n.Onset); k < len(p.places) && p.places[k].at < max(n.End(), n.Onset+1); k++ {
			for d := -2; d <= 2; d++ {
				p.places[k].ornament = append(p.places[k].ornament, n.Pitch.Key()+d)
			}
		}
	}
}

// from is the first place at or after a tick; len(places) if there is none.
func (p *page) from(t score.Tick) int {
	return sort.Search(len(p.places), func(k int) bool { return p.places[k].at >= t })
}

// findSigns lists what repeats, endings and jumps allow, whether taken as
// printed or not.
func (p *page) findSigns() {
	order := p.s.Order()
	for i := 1; i < len(order); i++ {
		p.sign(order[i-1].To, order[i].From)
	}
	begin := score.Tick(0)
	for _, r := range p.s.Repeats {
		if r.Forward {
			begin = r.At
		} else {
			p.sign(r.At, begin)
		}
	}
	for _, a := range p.s.Endings {
		for _, b := range p.s.Endings {
			if a.End == b.Start { // the first ending left out
				p.sign(a.Start, b.Start)
			}
		}
	}
	slices.SortFunc(p.signs, func(a, b leap) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	p.signs = slices.Compact(p.signs)
	if len(p.signs) > mostSigns {
		p.signs = p.signs[:mostSigns]
	}
}

// mostSigns is what one byte of a path can tell apart beside the other moves.
const mostSigns = 240

func (p *page) sign(from, to score.Tick) {
	a, b := p.from(from)-1, p.from(to)
	if a >= 0 && b < len(p.places) && a+1 != b {
		p.signs = append(p.signs, leap{a, b})
	}
}

// quarters is a place in quarter notes from the start.
func (p *page) quarters(k int) float64 { return p.s.Quarters(p.places[k].at) }
