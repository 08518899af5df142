package score

import (
	"cmp"
	"slices"
)

// Stretch is a part of the written page that is played through, From to To.
type Stretch struct {
	From, To Tick
}

// Unfold is the score in the order in which it is played: repeats taken, each
// with its endings, and jumps followed. What a player reads from the page
// before a repeated passage (key, time signature, tempo, printed level) is
// stated again where the passage is entered, and a note that is tied over into
// it from elsewhere on the page is struck there. The result has no repeats,
// endings and jumps; its notes keep their Source and its measures their printed
// numbers.
func Unfold(s *Score) *Score {
	order, cut := s.play()
	u := Along(s, order)
	if cut {
		u.Warnings = append(u.Warnings, Warning{Text: "repeats and jumps go on without end; the rest was left out"})
	}
	return u
}

// Along is the score in a given order of its stretches, as Unfold says.
func Along(s *Score, order []Stretch) *Score {
	u := &Score{
		Title: s.Title, Composer: s.Composer, Division: s.Division,
		Parts: slices.Clone(s.Parts), Rests: s.Rests, Warnings: slices.Clone(s.Warnings),
	}
	at, longest := Tick(0), s.LongestNote()
	for i, p := range order {
		c := copier{s, u, p, at - p.From, len(u.Measures), longest}
		c.measures()
		if i > 0 {
			c.restate()
		}
		c.notes()
		c.marks()
		c.spans()
		at += p.To - p.From
	}
	slices.SortStableFunc(u.Notes, func(a, b Note) int {
		return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.Part, b.Part), cmp.Compare(a.Pitch.MIDI(), b.Pitch.MIDI()))
	})
	return u
}

// Where more than this would be played, the file is mistaken, and the rest is
// left out.
const (
	maxStretches = 1000
	maxPlayed    = 300_000 // notes, once the whole page was played twice
	maxQuarters  = 50_000  // quarter notes, likewise; some seven hours at 120 a minute
)

// Order is the order in which the page is played, as stretches of it. By
// common practice a repeat without a number is played twice, a jump is taken
// once, and after it no repeat is taken and the last ending is played.
func (s *Score) Order() []Stretch {
	order, _ := s.play()
	return order
}

// Once is the order of the page played once, without repeats and jumps: of the
// endings of a repeat only the last (common practice, no source).
func (s *Score) Once() (order []Stretch) {
	at := Tick(0)
	for _, e := range s.Endings {
		if e.Start >= at && e.End > e.Start && s.leadsBack(e) {
			order = append(order, Stretch{at, e.Start})
			at = e.End
		}
	}
	return join(append(order, Stretch{at, s.Length()}))
}

// leadsBack reports whether an ending closes with a repeat and another way goes
// on behind it.
func (s *Score) leadsBack(e Ending) bool {
	touches := func(f func(Ending) bool) bool { return slices.ContainsFunc(s.Endings, f) }
	next := touches(func(x Ending) bool { return x.Start == e.End })
	before := touches(func(x Ending) bool { return x.End == e.Start })
	back := slices.ContainsFunc(s.Repeats, func(r Repeat) bool { return !r.Forward && r.At == e.End })
	return back && e.End < s.Length() && (next || !before)
}

// play is the order, and whether it was cut off.
func (s *Score) play() (order []Stretch, cut bool) {
	p := player{s: s, end: s.Length(), pass: 1}
	for p.step() {
		if len(p.out) >= maxStretches || p.notes > max(maxPlayed, 2*len(s.Notes)) || p.length > max(maxQuarters*s.Division, 2*s.Length()) {
			return join(p.out), true
		}
	}
	return join(p.out), false
}

// player goes over the page.
type player struct {
	s       *Score
	end     Tick
	at      Tick
	section Tick // where a backward repeat goes back to
	pass    int  // how often the section is being played
	jumped  bool // after a da capo or dal segno
	out     []Stretch
	notes   int  // that begin in out
	length  Tick // of out
}

// step plays up to the next sign and obeys it; false at the end.
func (p *player) step() bool {
	if p.at >= p.end {
		return false
	}
	if e, ok := p.endingHere(); ok && !p.plays(e) {
		p.at = e.End
		return true
	}
	next := p.next()
	p.out = append(p.out, Stretch{p.at, next})
	p.notes += p.s.FirstNote(next) - p.s.FirstNote(p.at)
	p.length += next - p.at
	p.at = next
	return p.obey()
}

func (p *player) endingHere() (Ending, bool) {
	for _, e := range p.s.Endings {
		if e.Start == p.at && e.End > e.Start {
			return e, true
		}
	}
	return Ending{}, false
}

// plays reports whether an ending is played on this pass. Without numbers its
// place among its neighbours counts.
func (p *player) plays(e Ending) bool {
	if p.jumped {
		return !p.goesBack(e)
	}
	return slices.Contains(p.numbers(e), p.pass)
}

func (p *player) goesBack(e Ending) bool {
	return slices.ContainsFunc(p.s.Repeats, func(r Repeat) bool { return !r.Forward && r.At == e.End })
}

func (p *player) numbers(e Ending) []int {
	if len(e.Numbers) > 0 {
		return e.Numbers
	}
	n := 1
	for at := e.Start; ; n++ {
		i := slices.IndexFunc(p.s.Endings, func(b Ending) bool { return b.End == at && b.Start < at })
		if i < 0 {
			return []int{n}
		}
		at = p.s.Endings[i].Start
	}
}

// next is the next moment at which something may happen.
func (p *player) next() Tick {
	next := p.end
	consider := func(t Tick) {
		if t > p.at && t < next {
			next = t
		}
	}
	for _, r := range p.s.Repeats {
		consider(r.At)
	}
	for _, e := range p.s.Endings {
		consider(e.Start)
		consider(e.End)
	}
	for _, j := range p.s.Jumps {
		consider(p.moment(j))
	}
	return next
}

// obey does what the signs at the moment ask for; false if the piece ends there.
func (p *player) obey() bool {
	for _, r := range p.s.Repeats {
		if r.At == p.at && !r.Forward && p.goBack(r) {
			return true
		}
	}
	for _, j := range p.s.Jumps {
		if p.moment(j) != p.at {
			continue
		}
		if done, ended := p.jump(j); done {
			return !ended
		}
	}
	for _, r := range p.s.Repeats {
		if r.At == p.at && r.Forward {
			p.section, p.pass = r.At, 1
		}
	}
	if p.endingEnds() && !p.endingFollows() {
		p.section, p.pass = p.at, 1
	}
	return true
}

func (p *player) endingEnds() bool {
	return slices.ContainsFunc(p.s.Endings, func(e Ending) bool { return e.End == p.at && e.Start < p.at })
}

// moment is when a sign is obeyed. Words that send the player away hold for
// the end of the measure they stand in.
func (p *player) moment(j Jump) Tick {
	if j.Kind == "segno" || j.Kind == "coda" || j.Measure < 0 || j.Measure >= len(p.s.Measures) {
		return j.At
	}
	return p.s.Measures[j.Measure].End()
}

// goBack takes a repeat that has not been played often enough.
func (p *player) goBack(r Repeat) bool {
	if p.jumped {
		return false
	}
	if p.pass < p.times(r) {
		p.pass++
		p.at = p.section
		return true
	}
	if !p.endingFollows() {
		p.section, p.pass = r.At, 1
	}
	return false
}

func (p *player) endingFollows() bool {
	_, ok := p.endingHere()
	return ok
}

// times is how often the passage before a backward repeat is played. A repeat
// at the end of an ending leads to the pass after that ending's last.
func (p *player) times(r Repeat) int {
	times := max(r.Times, 2)
	if r.Times == 1 {
		times = 1
	}
	for _, e := range p.s.Endings {
		if e.End == r.At && e.End > e.Start {
			times = max(slices.Max(p.numbers(e))+1, r.Times)
		}
	}
	return times
}

// jump follows a sign that sends the player elsewhere.
func (p *player) jump(j Jump) (done, ended bool) {
	switch j.Kind {
	case "fine":
		return p.jumped, p.jumped
	case "coda": // printed without words at the place to leave and again at the place to arrive
		for _, k := range p.s.Jumps {
			if p.jumped && k.Kind == "coda" && k.At > p.at && !p.has("tocoda") {
				p.at = k.At
				return true, false
			}
		}
	case "tocoda":
		if to, ok := p.find("coda", j.Label); p.jumped && ok && to > p.at {
			p.at = to
			return true, false
		}
	case "dacapo", "dalsegno":
		to, ok := Tick(0), true
		if j.Kind == "dalsegno" {
			to, ok = p.find("segno", j.Label)
		}
		if !p.jumped && ok && to < p.at {
			p.jumped, p.at = true, to
			return true, false
		}
	}
	return false, false
}

func (p *player) has(kind string) bool {
	return slices.ContainsFunc(p.s.Jumps, func(j Jump) bool { return j.Kind == kind })
}

// find is where a sign stands: the one of that label, or else the first.
func (p *player) find(kind, label string) (Tick, bool) {
	first := -1
	for i, j := range p.s.Jumps {
		if j.Kind != kind {
			continue
		}
		if label != "" && j.Label == label {
			return j.At, true
		}
		if first < 0 {
			first = i
		}
	}
	if first < 0 {
		return 0, false
	}
	return p.s.Jumps[first].At, true
}

// join makes one stretch of neighbours that follow each other.
func join(list []Stretch) (out []Stretch) {
	for _, p := range list {
		if k := len(out); k > 0 && out[k-1].To == p.From {
			out[k-1].To = p.To
		} else if p.To > p.From {
			out = append(out, p)
		}
	}
	return out
}
