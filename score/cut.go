package score

import "sort"

// Cut is a stretch of the page as a score of its own that starts at 0. What a
// player reads before it and that still holds (key, time signature, tempo,
// printed level) is stated again; notes, hairpins and dashes that reach into it
// begin with it. Repeats, endings and jumps are left out.
func Cut(s *Score, p Stretch) *Score {
	u := &Score{Title: s.Title, Composer: s.Composer, Division: s.Division, Parts: s.Parts}
	c := copier{reaching(s, p), u, p, -p.From, 0, s.LongestNote()}
	c.measures()
	if p.From > 0 {
		c.restate()
	}
	c.notes()
	c.marks()
	c.spans()
	sort.SliceStable(u.Notes, func(i, j int) bool { return u.Notes[i].Onset < u.Notes[j].Onset })
	return u
}

// reaching is the score with the lines that reach into the stretch begun at its start.
func reaching(s *Score, p Stretch) *Score {
	t := *s
	t.Hairpins, t.Dashes = nil, nil
	into := func(start, end Tick) bool { return start < p.From && end > p.From }
	for _, h := range s.Hairpins {
		if into(h.Start, h.End) {
			h.Start, h.WrittenStart = p.From, p.From
		}
		t.Hairpins = append(t.Hairpins, h)
	}
	for _, d := range s.Dashes {
		if into(d.Start, d.End) {
			d.Start, d.WrittenStart = p.From, p.From
		}
		t.Dashes = append(t.Dashes, d)
	}
	return &t
}
