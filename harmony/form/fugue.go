package form

import (
	"cmp"
	"slices"

	"hairpin/score"
)

// Fugue is what is heard of a piece that begins as one: a subject alone, the answer at
// the fifth or the fourth in another voice, the other voices after them, and the subject
// again in later keys. After Laitz, The Complete Musician, and Mann, The Study of Fugue
// (1958), both from memory.
type Fugue struct {
	Voices   int
	Subject  Span
	Entries  []Entry // in order; the first is the subject, the second the answer
	Episodes []Span  // full bars without the subject, between entries after the exposition
	Parts    []FuguePart
}

// Entry is the subject once.
type Entry struct {
	Span
	Steps, Semitones int    // of the staff, upward, from the subject
	Voice            string // "soprano", "alto", "tenor", "bass", "upper", "lower"; "" where it is not plain
	Inverted         bool   // upside down: Steps and Semitones then say nothing
	Stretto          bool   // it starts well before the entry before it has ended
	likeness         float64
	notes            []tone
}

// What makes a fugue. Choices of ours.
const (
	leastSubject  = 5    // notes …
	mostSubject   = 60   // … and that many at most
	leastEntries  = 4    // of the subject in all
	entryAlike    = 0.84 // of the notes of an entry stand where the subject has them
	headAlike     = 0.75 // of the notes of its opening at least
	longAlike     = 0.8  // of a long one
	shortSubject  = 9    // notes: below, all must
	longSubject   = 20   // notes
	entryCovers   = 0.25 // of the piece, at least, has the subject
	overlapLeast  = 0.25 // of the subject's length, for a stretto
	leastEpisode  = 2    // bars …
	mostEpisode   = 4    // … and lengths of the subject at most: longer ones hide entries that were not found
	mostWait      = 3.5  // lengths of the subject from one entry of the exposition to the next
	sustainedPart = 0.04 // of the piece has so many voices at once
)

// tone is a note by time, place of the staff and key.
type tone struct {
	at, end    score.Tick
	place, key int
}

// tones are the notes in the order of time, then place, a unison once.
func (p *page) tones() []tone {
	var out []tone
	for _, b := range p.bars {
		for _, d := range b.dots {
			at := b.span.Start - b.head + d.at
			out = append(out, tone{at, at + d.length, d.place, d.key})
		}
	}
	return out
}

// fugue hears whether the piece is a fugue, nil if it is none.
func (p *page) fugue() *Fugue {
	g := gridOf(p.tones())
	subject, answer, ok := g.opening()
	if !ok || answer.Start-subject[0].at < p.bars[p.firstBar()].full*3/4 {
		return nil
	}
	subject, entries := g.entries(subject, p.beat())
	f := &Fugue{Subject: spanOf(subject), Entries: entries}
	if !p.isFugue(f, g, answer) {
		return nil
	}
	f.nameVoices(g)
	f.Episodes, f.Parts = p.episodes(f), p.fugueParts(f)
	return f
}

// beat is the shortest beat of the first measure that an entry may start on.
func (p *page) beat() score.Tick {
	m := p.s.Measures[0]
	return max(p.s.Division*4/score.Tick(max(m.BeatUnit, 4)), 1)
}

// isFugue reports whether the entries are those of a fugue: subject and answer, the other
// voices soon after, the subject at home and on the fifth in turn, and up to the last
// third of the piece.
func (p *page) isFugue(f *Fugue, g grid, answer Entry) bool {
	if len(f.Entries) < leastEntries || f.Entries[0].Start != f.Subject.Start {
		return false
	}
	length := f.Subject.End - f.Subject.Start
	if k := slices.IndexFunc(f.Entries, func(e Entry) bool { return e.Start == answer.Start && e.Steps == answer.Steps }); k != 1 {
		return false
	}
	f.Voices = min(g.voices(), f.leading(length))
	last := f.Entries[len(f.Entries)-1].End
	covered, upTo := score.Tick(0), score.Tick(0)
	for _, e := range f.Entries {
		covered += max(0, e.End-max(e.Start, upTo))
		upTo = max(upTo, e.End)
	}
	all := p.bars[len(p.bars)-1].span.End - f.Subject.Start
	return f.Voices >= 2 && 3*(last-f.Subject.Start) >= 2*all && float64(covered) >= entryCovers*float64(all)
}

// leading is how many entries follow each other at home and on the fifth.
func (f *Fugue) leading(length score.Tick) int {
	n := 1
	for n < len(f.Entries) {
		e, before := f.Entries[n], f.Entries[n-1]
		if e.Inverted || !(home(e.Steps) || fifth(e.Steps)) || float64(e.Start-before.Start) > mostWait*float64(length) {
			break
		}
		n++
	}
	return n
}

func home(steps int) bool { return steps%7 == 0 }

// fifth reports a move of a fifth up or a fourth down, or of a fourth up as in an answer from
// the subdominant, in any octave.
func fifth(steps int) bool { k := ((steps % 7) + 7) % 7; return k == 4 || k == 3 }

func spanOf(list []tone) Span { return Span{list[0].at, list[len(list)-1].end} }

// grid finds notes by their time.
type grid struct {
	all []tone
	at  map[score.Tick][]tone
}

func gridOf(all []tone) grid {
	g := grid{all: all, at: make(map[score.Tick][]tone, len(all))}
	for _, t := range all {
		g.at[t.at] = append(g.at[t.at], t)
	}
	return g
}

// opening is the subject, the notes that one voice has alone at the start, as far as the
// answer takes it up, and that answer.
func (g grid) opening() (subject []tone, answer Entry, ok bool) {
	n, end := 0, score.Tick(0)
	for n < len(g.all) && n <= mostSubject && g.all[n].at >= end && (n+1 == len(g.all) || g.all[n+1].at > g.all[n].at) {
		end = g.all[n].end
		n++
	}
	if n < leastSubject || n > mostSubject {
		return nil, answer, false
	}
	for k := max(leastSubject, n-2); k < min(n+2, len(g.all)); k++ {
		start := g.all[k]
		alone := g.all[:min(n, k)]
		for tail := -1; tail <= 1; tail++ {
			steps := start.place - alone[0].place
			if !fifth(steps + tail) {
				continue
			}
			hits := g.hits(alone, start.at, steps, steps+tail, 1)
			if m := prefix(hits); m >= leastSubject && m > len(subject) {
				subject, answer, ok = alone[:m], Entry{Span: Span{Start: start.at}, Steps: steps + tail}, true
			}
		}
	}
	return subject, answer, ok
}

// prefix is how many notes agree from the first on, up to where more and more do not.
func prefix(hits []bool) int {
	best, at, sum := 0, 0, 0
	for i, h := range hits {
		sum += 3*btoi(h) - 2
		if h && sum >= best {
			best, at = sum, i+1
		}
	}
	return at
}

// hits says which notes of the subject sound from a moment on, moved by head steps up to
// a note, by tail steps from it on: the tonal answer. The note is the one at which most agree.
func (g grid) hits(subject []tone, at score.Tick, head, tail, sign int) []bool {
	n := len(subject)
	first, second := make([]bool, n), make([]bool, n)
	for i, t := range subject {
		rise := sign * (t.place - subject[0].place)
		for _, x := range g.at[at+t.at-subject[0].at] {
			first[i] = first[i] || x.place == subject[0].place+rise+head
			second[i] = second[i] || x.place == subject[0].place+rise+tail
		}
	}
	if head == tail {
		return first
	}
	sum, best, split := 0, 0, 0
	for i := 0; i < n/2; i++ {
		if sum += btoi(first[i]) - btoi(second[i]); sum > best {
			best, split = sum, i+1
		}
	}
	return append(first[:split:split], second[split:]...)
}

// place is where the subject may sound, and which of its notes do.
type place struct {
	at         score.Tick
	head, tail int // steps: see hits
	sign       int // -1 upside down
	hits       []bool
}

// like is the share of the first n notes of the subject that sound there.
func (x place) like(n int) float64 {
	sum := 0
	for _, h := range x.hits[:n] {
		sum += btoi(h)
	}
	return float64(sum) / float64(n)
}

// enters reports whether the first n notes of the subject are an entry there.
func (x place) enters(n int) bool {
	least := entryAlike
	switch {
	case n < shortSubject:
		least = 1
	case n >= longSubject:
		least = longAlike
	}
	if x.sign < 0 && n < longSubject { // few notes turn up upside down by chance
		least = (1 + least) / 2
	}
	return x.like(n) >= least
}

// places are the moments and steps at which the opening of the subject sounds.
func (g grid) places(subject []tone, beat score.Tick) (out []place) {
	const anchors = 2 // notes by which a place is found
	opening := subject[:ownPart(len(subject))]
	for _, x := range g.all {
		for k := range anchors {
			at := x.at - (subject[k].at - subject[0].at)
			if (at-subject[0].at)%beat != 0 {
				continue
			}
			for _, sign := range [...]int{1, -1} {
				steps := x.place - subject[0].place - sign*(subject[k].place-subject[0].place)
				for tail := -1; tail <= 1; tail++ {
					y := place{at: at, head: steps, tail: steps + tail, sign: sign}
					if sign < 0 && tail != 0 {
						continue
					}
					if y.hits = g.hits(opening, at, y.head, y.tail, sign); y.like(len(opening)) < headAlike {
						continue
					}
					y.hits = g.hits(subject, at, y.head, y.tail, sign)
					out = append(out, y)
				}
			}
		}
	}
	return out
}

// ownPart is how many of the notes that the first voice has alone are the subject's at
// least; what follows may lead to the answer.
func ownPart(n int) int { return max(leastSubject, (3*n+3)/4) }

// cutSubject is how many notes the subject has: those that come back most, long ones before many.
func cutSubject(list []place, n int) int {
	best, most := n, 0
	for k := n; k >= ownPart(n); k-- {
		sum := 0
		for _, x := range list {
			sum += btoi(x.enters(k)) * k * k
		}
		if sum > most {
			best, most = k, sum
		}
	}
	return best
}

// entries are the places where the subject sounds, and as much of it as comes back.
func (g grid) entries(subject []tone, beat score.Tick) ([]tone, []Entry) {
	list := g.places(subject, beat)
	subject = subject[:cutSubject(list, len(subject))]
	var found []Entry
	for _, x := range list {
		if !x.enters(len(subject)) {
			continue
		}
		e := Entry{Steps: x.tail, Inverted: x.sign < 0, likeness: x.like(len(subject))}
		e.Span = Span{x.at, x.at + subject[len(subject)-1].end - subject[0].at}
		e.notes = g.sounding(subject, x)
		e.Semitones = semitones(subject, e)
		found = append(found, e)
	}
	return subject, chosen(found, subject)
}

// sounding are the notes of an entry.
func (g grid) sounding(subject []tone, x place) (out []tone) {
	for _, t := range subject {
		height := subject[0].place + x.sign*(t.place-subject[0].place)
		for _, y := range g.at[x.at+t.at-subject[0].at] {
			if y.place == height+x.head || y.place == height+x.tail {
				out = append(out, y)
				break
			}
		}
	}
	return out
}

// semitones is by how many most notes of an entry have moved that moved by its steps.
func semitones(subject []tone, e Entry) int {
	count := map[int]int{}
	best := 0
	for _, x := range e.notes {
		for _, t := range subject {
			if t.at-subject[0].at == x.at-e.Start && x.place-t.place == e.Steps {
				d := x.key - t.key
				if count[d]++; count[d] > count[best] || count[d] == count[best] && d < best {
					best = d
				}
			}
		}
	}
	return best
}

// chosen leaves, of entries on the same notes, the one that is most like the subject.
func chosen(found []Entry, subject []tone) []Entry {
	slices.SortStableFunc(found, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(b.likeness, a.likeness), cmp.Compare(btoi(a.Inverted), btoi(b.Inverted)), cmp.Compare(a.Start, b.Start))
	})
	var out []Entry
	for _, e := range found {
		if !slices.ContainsFunc(out, func(o Entry) bool { return o.shares(e) }) {
			out = append(out, e)
		}
	}
	slices.SortFunc(out, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.Steps, b.Steps))
	})
	length := subject[len(subject)-1].end - subject[0].at
	for i := 1; i < len(out); i++ {
		out[i].Stretto = float64(out[i-1].End-out[i].Start) >= overlapLeast*float64(length)
	}
	return out
}

// shares reports whether two entries have a third of their notes in common.
func (e Entry) shares(o Entry) bool {
	n := 0
	for _, x := range o.notes {
		if slices.Contains(e.notes, x) {
			n++
		}
	}
	return 3*n >= min(len(e.notes), len(o.notes))
}

// voices is how many notes sound at once for a good part of the piece, at most six.
func (g grid) voices() int {
	const most = 6
	var long [most + 1]score.Tick
	for i, t := range g.all {
		if i+1 == len(g.all) || g.all[i+1].at == t.at {
			continue
		}
		n := len(g.soundingAt(i))
		long[min(n, most)] += g.all[i+1].at - t.at
	}
	all, sum := g.all[len(g.all)-1].end-g.all[0].at, score.Tick(0)
	for n := most; n > 1; n-- {
		if sum += long[n]; float64(sum) >= sustainedPart*float64(all) {
			return n
		}
	}
	return 1
}

// soundingAt are the notes that sound when note i starts, the lowest first.
func (g grid) soundingAt(i int) (out []tone) {
	const back = 48 // notes: what is held longer than so many others is a pedal point
	for k := min(i+back/4, len(g.all)-1); k >= max(0, i-back); k-- {
		if t := g.all[k]; t.at <= g.all[i].at && t.end > g.all[i].at {
			out = append(out, t)
		}
	}
	slices.SortFunc(out, func(a, b tone) int { return cmp.Compare(a.place, b.place) })
	return out
}

// nameVoices names the voice of each entry: of the exposition's by their height, of the
// later ones by what sounds above and below them, where their height agrees.
func (f *Fugue) nameVoices(g grid) {
	names := map[int][]string{2: {"lower", "upper"}, 3: {"bass", "alto", "soprano"}, 4: {"bass", "tenor", "alto", "soprano"}}[f.Voices]
	if names == nil {
		return
	}
	height := make([]float64, f.Voices)
	order := make([]int, f.Voices)
	for i := range order {
		order[i], height[i] = i, f.Entries[i].height()
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(height[a], height[b]) })
	slices.Sort(height)
	for rank, i := range order {
		f.Entries[i].Voice = names[rank]
	}
	for i := f.Voices; i < len(f.Entries); i++ {
		if rank := g.rank(f.Entries[i], height); rank >= 0 {
			f.Entries[i].Voice = names[rank]
		}
	}
}

func (e Entry) height() float64 {
	sum := 0
	for _, x := range e.notes {
		sum += x.place
	}
	return float64(sum) / float64(max(len(e.notes), 1))
}

// rank is which voice an entry is in, from the lowest, -1 where it is not plain.
func (g grid) rank(e Entry, height []float64) int {
	top, low, n := 0, 0, 0
	for _, x := range e.notes {
		i, _ := slices.BinarySearchFunc(g.all, x, func(a, b tone) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.place, b.place)) })
		s := g.soundingAt(i)
		if len(s) < 2 {
			continue
		}
		n++
		top += btoi(s[len(s)-1].place == x.place)
		low += btoi(s[0].place == x.place)
	}
	nearest := 0
	for k := range height {
		if d, b := e.height()-height[k], e.height()-height[nearest]; d*d < b*b {
			nearest = k
		}
	}
	most, last := 4*n, len(height)-1
	switch isTop, isLow := 5*top >= most, 5*low >= most; {
	case n == 0 || isTop && isLow:
		return -1
	case isTop && nearest == last, isLow && nearest == 0:
		return nearest
	case !isTop && !isLow && last == 2:
		return 1
	case !isTop && !isLow && nearest > 0 && nearest < last:
		return nearest
	}
	return -1
}

// episodes are the stretches of full bars, after the exposition and before the last entry,
// that have no entry; a long one may hide some.
func (p *page) episodes(f *Fugue) (out []Span) {
	upTo := f.Entries[f.Voices-1].End
	for _, e := range f.Entries[f.Voices:] {
		first := p.barAt(max(upTo-1, 0)) + 1
		last := p.barAt(e.Start) - 1
		if e.Start > upTo && last-first+1 >= leastEpisode && float64(e.Start-upTo) <= mostEpisode*float64(f.Subject.End-f.Subject.Start) {
			out = append(out, Span{p.bars[first].span.Start, p.bars[last].span.End})
		}
		upTo = max(upTo, e.End)
	}
	return out
}
