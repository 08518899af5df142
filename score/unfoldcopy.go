package score

import "slices"

// copier copies what stands in one stretch of the page.
type copier struct {
	s, u  *Score
	p     Stretch
	shift Tick // from the time on the page to the time played
	first int  // index in u of the stretch's first measure

	longest Tick // no note of s is longer
}

func (c copier) has(t Tick) bool { return t >= c.p.From && t < c.p.To }

// until carries the end of something over, cut off where the stretch ends.
func (c copier) until(t Tick) Tick { return min(t, c.p.To) + c.shift }

func (c copier) measures() {
	for _, m := range c.s.Measures {
		start, end := max(m.Start, c.p.From), min(m.End(), c.p.To)
		if end < start || end == start && (m.Length > 0 || !c.has(m.Start)) {
			continue
		}
		m.Offset = m.Head() + start - m.Start
		whole := end-start == m.Length
		m.Start, m.Length = start+c.shift, end-start
		m.Pickup = m.Pickup && whole && len(c.u.Measures) == 0
		if m.Pickup {
			m.Offset = 0
		}
		c.u.Measures = append(c.u.Measures, m)
	}
	for _, t := range c.s.DoubleBar {
		if t > c.p.From && t <= c.p.To {
			c.u.DoubleBar = append(c.u.DoubleBar, t+c.shift)
		}
	}
}

func (c copier) notes() {
	for _, n := range c.s.Notes[c.s.FirstNote(c.p.From-c.longest):] {
		if n.Onset >= c.p.To {
			return
		}
		if held := n.Onset < c.p.From && n.End() > c.p.From; held {
			n.Duration -= c.p.From - n.Onset
			n.Onset = c.p.From
			n.Signs = 0 // they stood at its start
		} else if !c.has(n.Onset) {
			continue
		}
		n.Duration = min(n.End(), c.p.To) - n.Onset
		n.Onset += c.shift
		n.Later = c.later(n.Later)
		n.Measure = max(c.u.MeasureAt(n.Onset), c.first)
		c.u.Notes = append(c.u.Notes, n)
	}
}

// later carries the signs over that stand in the stretch.
func (c copier) later(list []LaterSign) (out []LaterSign) {
	for _, l := range list {
		if c.has(l.At) {
			l.At += c.shift
			out = append(out, l)
		}
	}
	return out
}

func (c copier) marks() {
	u, s := c.u, c.s
	u.Keys = copyMarks(u.Keys, s.Keys, c, func(k *KeyMark) *Tick { return &k.At })
	u.Times = copyMarks(u.Times, s.Times, c, func(t *TimeMark) *Tick { return &t.At })
	u.Tempos = copyMarks(u.Tempos, s.Tempos, c, func(t *Tempo) *Tick { return &t.At })
	u.Sounds = copyMarks(u.Sounds, s.Sounds, c, func(l *SoundLevel) *Tick { return &l.At })
	u.Fermatas = copyMarks(u.Fermatas, s.Fermatas, c, func(f *Fermata) *Tick { return &f.At })
	u.Syllables = copyMarks(u.Syllables, s.Syllables, c, func(y *Syllable) *Tick { return &y.At })
	u.Symbols = copyMarks(u.Symbols, s.Symbols, c, func(y *ChordSymbol) *Tick { return &y.At })
	from := len(u.Dynamics)
	u.Dynamics = copyMarks(u.Dynamics, s.Dynamics, c, func(d *Dynamic) *Tick { return &d.At })
	for i := from; i < len(u.Dynamics); i++ {
		u.Dynamics[i].Written += c.shift
	}
	from = len(u.Words)
	u.Words = copyMarks(u.Words, s.Words, c, func(w *Words) *Tick { return &w.At })
	for i := from; i < len(u.Words); i++ {
		u.Words[i].Written += c.shift
	}
}

// copyMarks appends the marks that stand in the stretch.
func copyMarks[T any](out, list []T, c copier, at func(*T) *Tick) []T {
	for _, m := range list {
		if t := at(&m); c.has(*t) {
			*t += c.shift
			out = append(out, m)
		}
	}
	return out
}

func (c copier) spans() {
	for _, h := range c.s.Hairpins {
		if c.has(h.Start) {
			h.Start, h.End = h.Start+c.shift, c.until(h.End)
			h.WrittenStart, h.WrittenEnd = h.WrittenStart+c.shift, c.until(h.WrittenEnd)
			c.u.Hairpins = append(c.u.Hairpins, h)
		}
	}
	for _, d := range c.s.Dashes {
		if c.has(d.Start) {
			d.Start, d.End = d.Start+c.shift, c.until(d.End)
			d.WrittenStart, d.WrittenEnd = d.WrittenStart+c.shift, c.until(d.WrittenEnd)
			c.u.Dashes = append(c.u.Dashes, d)
		}
	}
	for _, d := range c.s.Pedals {
		if d.Start < c.p.To && d.End > c.p.From {
			d.Start, d.End = max(d.Start, c.p.From)+c.shift, c.until(d.End)
			c.u.Pedals = append(c.u.Pedals, d)
		}
	}
	for _, l := range c.s.Slurs {
		if c.has(l.Start) {
			l.Start, l.End = l.Start+c.shift, c.until(l.End)
			c.u.Slurs = append(c.u.Slurs, l)
		}
	}
}

// restate states again what is in force on the page where the stretch begins.
func (c copier) restate() {
	type place struct{ part, staff int }
	keys, times, levels := map[place]KeyMark{}, map[place]TimeMark{}, map[place]Dynamic{}
	for _, k := range c.s.Keys {
		if k.At < c.p.From {
			keys[place{k.Part, k.Staff}] = k
		}
	}
	for _, t := range c.s.Times {
		if t.At < c.p.From {
			times[place{t.Part, t.Staff}] = t
		}
	}
	for _, d := range c.s.Dynamics {
		if d.At < c.p.From && IsLevel(d.Mark) {
			levels[place{d.Part, d.Staff}] = d
		}
	}
	for part := range c.s.Parts {
		for staff := 0; staff <= c.s.Parts[part].Staves; staff++ {
			at := place{part, staff}
			if k, ok := keys[at]; ok {
				k.At = c.p.From + c.shift
				c.u.Keys = append(c.u.Keys, k)
			}
			if t, ok := times[at]; ok {
				t.At = c.p.From + c.shift
				c.u.Times = append(c.u.Times, t)
			}
			if d, ok := levels[at]; ok && !c.opens(d) {
				d.At = c.p.From + c.shift
				d.Written = d.At
				c.u.Dynamics = append(c.u.Dynamics, d)
			}
		}
	}
	c.restateTempo()
}

// opens reports whether the stretch itself begins with a level that replaces d.
func (c copier) opens(d Dynamic) bool {
	return slices.ContainsFunc(c.s.Dynamics, func(x Dynamic) bool {
		return x.At == c.p.From && x.Part == d.Part && (x.Staff == d.Staff || x.Staff == 0) && IsLevel(x.Mark)
	})
}

func (c copier) restateTempo() {
	last := -1
	for i, t := range c.s.Tempos {
		if t.At < c.p.From {
			last = i
		}
	}
	if last >= 0 {
		t := c.s.Tempos[last]
		t.At = c.p.From + c.shift
		c.u.Tempos = append(c.u.Tempos, t)
	}
}

// IsLevel reports whether a mark states a level that holds until the next one:
// pppp … p, mp, mf, f … ffff.
func IsLevel(mark string) bool {
	if mark == "mp" || mark == "mf" {
		return true
	}
	for i := range mark {
		if mark[i] != mark[0] || mark[0] != 'p' && mark[0] != 'f' {
			return false
		}
	}
	return mark != ""
}
