package form

import "hairpin/score"

// FuguePart is a stretch of a fugue that a player would name.
type FuguePart struct {
	Span
	Kind        FugueKind
	First, Last int  // of Fugue.Entries, both included; -1 without one
	Closes      bool // the piece ends with it
}

// PartAt is the part of a fugue that holds a moment, nil if none does or there is no fugue.
func (f *Fugue) PartAt(t score.Tick) *FuguePart {
	if f == nil {
		return nil
	}
	for i := range f.Parts {
		if p := &f.Parts[i]; p.Start <= t && t < p.End {
			return p
		}
	}
	return nil
}

// FugueKind says what a part of a fugue is. The words are the trade's.
type FugueKind string

// The parts.
const (
	ExpositionPart FugueKind = "exposition"
	EntryPart      FugueKind = "entry"   // one, or several that follow each other
	StrettoPart    FugueKind = "stretto" // several, of which one starts well before another has ended
	EpisodePart    FugueKind = "episode"
	ClosePart      FugueKind = "close" // after the last entry
	FreePart       FugueKind = ""      // long, without the subject: entries may hide there
)

// How a fugue is parted. Choices of ours.
const (
	mostExposition = 16 // bars: a longer one is told entry by entry
	mostTogether   = 8  // bars of entries in a row, or after the last, that are told as one part
	leastClose     = 4  // bars after the last entry that are a part by themselves
)

// fugueParts are the parts of a fugue, in order and touching, so that no entry is cut.
func (p *page) fugueParts(f *Fugue) (out []FuguePart) {
	for i, last := 0, 0; i < len(f.Entries); i = last + 1 {
		last = p.together(f, i)
		next, least := p.bars[len(p.bars)-1].span.End, leastClose
		if last+1 < len(f.Entries) {
			next, least = p.partStart(f, last+1), leastEpisode
		}
		part := FuguePart{Span{p.partStart(f, i), next}, f.kind(i, last), i, last, last == len(f.Entries)-1}
		after := p.barLine(f.endOf(i, last))
		if p.barsBetween(after, next) < least || last+1 < f.Voices { // a link of the exposition is no episode
			out = append(out, part)
			continue
		}
		closes := part.Closes
		part.End, part.Closes = after, false
		out = append(out, part, FuguePart{Span{after, next}, p.without(f, after, next, closes), -1, -1, closes})
	}
	return out
}

// together is the last entry of the part that starts with entry i: those that overlap, those
// of the exposition if it is short, and those in a row.
func (p *page) together(f *Fugue, i int) int {
	start, last := f.Entries[i].Start, i
	short := p.barsBetween(start, p.barLine(f.endOf(0, f.Voices-1))) <= mostExposition
	if i == 0 && short {
		last = f.Voices - 1
	}
	for last+1 < len(f.Entries) {
		e, end := f.Entries[last+1], f.endOf(i, last)
		row := i >= f.Voices && p.barsBetween(p.barLine(end), e.Start) < leastEpisode && p.barsBetween(p.bars[p.opening(start)].span.Start, p.barLine(e.End)) <= mostTogether
		if !row && e.Start >= end-f.lastNote() {
			break
		}
		last++
	}
	return last
}

// partStart is where the part begins that starts with entry i: with its bar, where the entry
// starts in the first half of it and no other entry ends there.
func (p *page) partStart(f *Fugue, i int) score.Tick {
	at := f.Entries[i].Start
	line := p.bars[p.barAt(at)].span.Start
	if i == 0 || p.opening(at) != p.barAt(at) || f.endOf(0, i-1) > line {
		return at
	}
	return line
}

// kind is that of a part with the entries from i to last.
func (f *Fugue) kind(i, last int) FugueKind {
	if i == 0 && last >= f.Voices-1 {
		return ExpositionPart
	}
	for _, e := range f.Entries[i+1 : last+1] {
		if e.Stretto {
			return StrettoPart
		}
	}
	return EntryPart
}

// without is what a stretch without the subject is.
func (p *page) without(f *Fugue, start, end score.Tick, closes bool) FugueKind {
	switch {
	case closes && p.barsBetween(start, end) <= mostTogether:
		return ClosePart
	case closes || float64(end-start) > mostEpisode*float64(f.Subject.End-f.Subject.Start):
		return FreePart
	}
	return EpisodePart
}

// endOf is where the last of the entries from i to last ends.
func (f *Fugue) endOf(i, last int) score.Tick {
	end := f.Entries[i].End
	for _, e := range f.Entries[i : last+1] {
		end = max(end, e.End)
	}
	return end
}

// lastNote is how long the subject's last note is: an entry may start with it.
func (f *Fugue) lastNote() score.Tick {
	list := f.Entries[0].notes
	return f.Entries[0].End - list[len(list)-1].at
}

// barLine is the first bar line from a moment on.
func (p *page) barLine(t score.Tick) score.Tick {
	if i := p.barsBefore(t); i < len(p.bars) {
		return p.bars[i].span.Start
	}
	return p.bars[len(p.bars)-1].span.End
}

// barsBefore is how many bars start before a moment.
func (p *page) barsBefore(t score.Tick) int {
	i := p.barAt(t)
	if p.bars[i].span.Start < t {
		i++
	}
	return i
}

// barsBetween is how many full bars there are between a bar line and a moment.
func (p *page) barsBetween(line, t score.Tick) int {
	to := p.barAt(t)
	if t >= p.bars[len(p.bars)-1].span.End {
		to = len(p.bars)
	}
	return to - p.barsBefore(line)
}
