package midi

import (
	"cmp"
	"slices"
	"sort"

	"hairpin/score"
)

// Perform works out how a score is played. Cue notes are silent, ornaments and
// grace notes are written out, staccato and the like shorten notes, a fermata
// slows down. Only levels depend on the plan's Level and Accent.
func Perform(s *score.Score, plan Plan) *Performance {
	p := performer{s: s, plan: plan, order: s.Once()}
	if plan.Repeats {
		p.s, p.order = score.Unfold(s), s.Order()
	} else if len(p.order) > 1 {
		p.s = score.Along(s, p.order)
	}
	p.grid()
	p.out.Title = s.Title
	p.out.Length = p.tick(p.s.Length())
	p.tempos()
	p.signatures()
	for i := range s.Parts {
		p.part(i)
	}
	return &p.out
}

// performer makes one performance.
type performer struct {
	s     *score.Score // as played
	plan  Plan
	order []score.Stretch // of the page
	out   Performance
}

// The ticks of a quarter note: at least fine enough for grace notes, at most
// what a Standard MIDI File holds with room to spare.
const (
	leastQuarter = 480
	mostQuarter  = 15360
	plainQuarter = 3840
)

// grid chooses the ticks of a quarter so that the score's own are whole, if possible.
func (p *performer) grid() {
	d := int64(p.s.Division)
	q := d
	for q < leastQuarter {
		q *= 2
	}
	for q%8 != 0 && q <= mostQuarter {
		q *= 2
	}
	if q > mostQuarter {
		q = plainQuarter
	}
	p.out.Quarter = Tick(q)
}

// tick is a time of the score in ticks of the performance, rounded.
func (p *performer) tick(t score.Tick) Tick {
	q, d := int64(p.out.Quarter), int64(p.s.Division)
	whole, rest := int64(t)/d, int64(t)%d
	return Tick(whole*q + (rest*q+d/2)/d)
}

// written is the time on the page of a time as played.
func (p *performer) written(t score.Tick) score.Tick {
	at := score.Tick(0)
	for _, w := range p.order {
		if d := w.To - w.From; t < at+d {
			return w.From + t - at
		} else {
			at += d
		}
	}
	return p.order[len(p.order)-1].To
}

func (p *performer) signatures() {
	for _, m := range p.s.Measures {
		t := Time{p.tick(m.Start), m.Beats, m.BeatUnit}
		k := len(p.out.Times)
		if m.Beats > 0 && m.BeatUnit > 0 && (k == 0 || p.out.Times[k-1].Beats != t.Beats || p.out.Times[k-1].Unit != t.Unit) {
			p.out.Times = append(p.out.Times, t)
		}
	}
	for _, k := range p.s.Keys {
		if k.NonStandard == "" && k.Part == p.s.Keys[0].Part {
			p.out.Keys = append(p.out.Keys, Key{p.tick(k.At), min(max(k.Fifths, -7), 7), k.Mode == "minor"})
		}
	}
}

// part plays one part.
func (p *performer) part(i int) {
	program, holds := instrument(p.s.Parts[i].Name)
	part := Part{Name: p.s.Parts[i].Name, Program: program, Sustained: holds}
	if p.plan.Tone != ByName {
		part.Sustained = p.plan.Tone == Sustained
	}
	var notes []played
	slurs := p.slurred(i)
	for k, n := range p.s.Notes {
		if n.Part == i && !n.Cue {
			notes = append(notes, p.play(n, k, slurs))
		}
	}
	p.placeGraces(notes)
	spread(notes, p.out.Quarter)
	for _, n := range notes {
		if !part.Sustained {
			n.End = max(n.End, p.tick(p.pedalled(n.from)))
		}
		part.Notes = append(part.Notes, p.ornament(n)...)
	}
	part.Notes = apart(part.Notes)
	part.Levels = p.levels(i)
	p.out.Parts = append(p.out.Parts, part)
}

// played is a note with the note of the score it comes from.
type played struct {
	Note
	from  score.Note
	index int
}

func (p *performer) play(n score.Note, index int, slurs []stretch) played {
	at := n
	at.Onset = p.written(n.Onset)
	level := p.plan.Level(n.Part, n.Staff, at.Onset)
	if p.plan.Accent != nil && level > 0 {
		level += p.plan.Accent(at)
	}
	out := played{Note{Level: level, Key: n.Pitch.MIDI(), Start: p.tick(n.Onset)}, n, index}
	if n.Unpitched {
		const snare = 38
		out.Key, out.Drum = snare, true
	}
	full := p.tick(n.End()) - out.Start
	out.End = out.Start + max(Tick(float64(full)*length(n, slurs)), min(full, 1))
	return out
}

// pedalled is until when the pedal lets a note ring, 0 without one.
func (p *performer) pedalled(n score.Note) (until score.Tick) {
	for _, d := range p.s.Pedals {
		if d.Part == n.Part && n.Onset < d.End && n.End() > d.Start {
			until = max(until, d.End)
		}
	}
	return until
}

// length is the sounding share of a note's written length (common practice, no
// source).
func length(n score.Note, slurs []stretch) float64 {
	switch s := n.Signs; {
	case s.Has(score.Staccatissimo):
		return 0.3
	case s.Has(score.DetachedLegato), s.Has(score.Staccato) && s.Has(score.Tenuto):
		return 0.75
	case s.Has(score.Staccato):
		return 0.5
	case s.Has(score.Tenuto), inside(slurs, n):
		return 1
	}
	return 0.95
}

// stretch is a slurred stretch.
type stretch struct{ start, end score.Tick }

// slurred lists the slurred stretches of a part, in order, joined where they overlap.
func (p *performer) slurred(part int) (out []stretch) {
	for _, l := range p.s.Slurs {
		if l.Part == part {
			out = append(out, stretch{l.Start, l.End})
		}
	}
	slices.SortFunc(out, func(a, b stretch) int { return cmp.Compare(a.start, b.start) })
	k := 0
	for i, x := range out {
		if i > 0 && x.start < out[k-1].end {
			out[k-1].end = max(out[k-1].end, x.end)
			continue
		}
		out[k] = x
		k++
	}
	return out[:k]
}

// inside reports whether a slur leads on from the note.
func inside(slurs []stretch, n score.Note) bool {
	i := sort.Search(len(slurs), func(i int) bool { return slurs[i].end > n.End() })
	return i < len(slurs) && slurs[i].start <= n.Onset
}

// levels samples a part's running level four times a quarter, where it changes.
func (p *performer) levels(part int) (out []Level) {
	step := max(p.s.Division/4, 1)
	for t := score.Tick(0); t < p.s.Length() || t == 0; t += step {
		l := p.plan.Level(part, 0, p.written(t))
		if k := len(out); k == 0 || out[k-1].Level-l > 0.01 || l-out[k-1].Level > 0.01 {
			out = append(out, Level{p.tick(t), l})
		}
	}
	return out
}

// apart sorts the notes and ends each where the same key is struck again, so
// that an end never silences another note; of two at once the longer stays.
func apart(notes []Note) []Note {
	slices.SortStableFunc(notes, func(a, b Note) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.Key, b.Key), cmp.Compare(b.End, a.End))
	})
	last := map[float64]int{}
	out := notes[:0]
	for _, n := range notes {
		if n.End <= n.Start {
			continue
		}
		if i, ok := last[n.Key]; ok {
			if out[i].Start == n.Start {
				out[i].Level = max(out[i].Level, n.Level)
				continue
			}
			out[i].End = min(out[i].End, n.Start)
		}
		last[n.Key] = len(out)
		out = append(out, n)
	}
	return out
}
