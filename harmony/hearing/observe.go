package hearing

import (
	"sort"

	"hairpin/harmony/decode"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Observe turns the slices of a score into what the decoder looks at.
func Observe(s *score.Score, slices []tonal.Slice, signature bool) *decode.Piece {
	p := &decode.Piece{Slices: make([]decode.Slice, len(slices)), Signature: signature}
	at := make([]int, len(s.Notes)) // score note → decoder note, -1 for those that no slice holds
	room := 0
	for i := range at {
		at[i] = -1
	}
	for _, sl := range slices {
		room += len(sl.Notes)
	}
	all := make([]int, room)
	for i, sl := range slices {
		d := &p.Slices[i]
		d.Metric, d.Beats = place(s, sl.Start, sl.End)
		d.Quarters = s.Quarters(sl.End - sl.Start)
		d.Notes, all = all[:len(sl.Notes):len(sl.Notes)], all[len(sl.Notes):]
		for m, n := range sl.Notes {
			k := at[n]
			if k < 0 {
				k = len(p.Notes)
				at[n] = k
				pitch := s.Notes[n].Pitch
				p.Notes = append(p.Notes, decode.Note{Fifths: int(pitch.Class()), MIDI: pitch.MIDI(), Start: i})
				d.Change = true
			}
			p.Notes[k].End = i + 1
			d.Notes[m] = k
		}
	}
	markPhrases(s, slices, p)
	markChanges(p)
	markSignatures(s, slices, p)
	joinVoices(s, at, p)
	return p
}

// place is the metric place of a slice's start and its length in beats.
func place(s *score.Score, start, end score.Tick) (decode.Metric, float64) {
	if len(s.Measures) == 0 {
		return decode.Beat, s.Quarters(end - start)
	}
	m := s.Measures[s.MeasureAt(start)]
	beat, off := m.Beat(s.Division), m.Into(start)
	beats := float64(end-start) / float64(beat)
	switch {
	case off == 0:
		return decode.Downbeat, beats
	case m.Nominal > 0 && 2*off == m.Nominal && off%beat == 0:
		return decode.HalfBar, beats
	case off%beat == 0:
		return decode.Beat, beats
	case m.Compound() && (3*off)%beat == 0, (2*off)%beat == 0:
		return decode.HalfBeat, beats
	case (4*off)%beat == 0 || (3*off)%beat == 0:
		return decode.QuarterBeat, beats
	}
	return decode.Between, beats
}

// markPhrases marks the slices before which the music stops or a section ends.
func markPhrases(s *score.Score, slices []tonal.Slice, p *decode.Piece) {
	section, stop := sectionEnds(s), map[score.Tick]bool{}
	for _, n := range s.Notes {
		if n.Signs.Has(score.FermataSign) {
			stop[n.End()] = true
		}
	}
	for i := range slices {
		d := &p.Slices[i]
		d.Section = section[slices[i].Start]
		d.Phrase = d.Section || stop[slices[i].Start] || i > 0 && len(slices[i-1].Notes) == 0 && len(slices[i].Notes) > 0
	}
}

// sectionEnds are the double bars and repeats of a score.
func sectionEnds(s *score.Score) map[score.Tick]bool {
	out := map[score.Tick]bool{}
	for _, t := range s.DoubleBar {
		out[t] = true
	}
	for _, r := range s.Repeats {
		out[r.At] = true
	}
	return out
}

// markChanges marks the slices at which a chord may change: where notes are
// struck, and something is new: a pitch class, the bass, a measure, a phrase.
func markChanges(p *decode.Piece) {
	var before [12]bool
	bass := -1
	for i := range p.Slices {
		d := &p.Slices[i]
		var now [12]bool
		fresh := i == 0 || d.Phrase || d.Metric == decode.Downbeat
		for _, n := range d.Notes {
			pc := score.Class(p.Notes[n].Fifths).PC()
			fresh = fresh || !before[pc]
			now[pc] = true
		}
		if len(d.Notes) > 0 {
			low := score.Class(p.Notes[d.Notes[0]].Fifths).PC()
			fresh = fresh || low != bass
			before, bass = now, low
		}
		d.Change = d.Change && fresh
	}
}

// markSignatures notes the printed signature in force at each slice: that of
// the first part that has one there.
func markSignatures(s *score.Score, slices []tonal.Slice, p *decode.Piece) {
	k, now, part := 0, 0, -1
	for i := range slices {
		for k < len(s.Keys) && s.Keys[k].At <= slices[i].Start {
			if m := s.Keys[k]; m.NonStandard == "" && (part < 0 || m.Part <= part) {
				now, part = m.Fifths, m.Part
			}
			k++
		}
		p.Slices[i].Signature = now
	}
}

// joinVoices finds how every note is approached and left in its own voice.
func joinVoices(s *score.Score, at []int, p *decode.Piece) {
	type voice struct{ part, number int }
	lines := map[voice][]int{}
	for i := range s.Notes {
		n := &s.Notes[i]
		if at[i] >= 0 {
			lines[voice{n.Part, n.Voice}] = append(lines[voice{n.Part, n.Voice}], i)
		}
	}
	for _, line := range lines {
		sort.SliceStable(line, func(a, b int) bool { return s.Notes[line[a]].Onset < s.Notes[line[b]].Onset })
		joinLine(s, line, at, p)
	}
}

// joinLine joins the notes of one voice; notes struck together form a group.
func joinLine(s *score.Score, line []int, at []int, p *decode.Piece) {
	for a := 0; a < len(line); {
		b := a
		for b < len(line) && s.Notes[line[b]].Onset == s.Notes[line[a]].Onset {
			b++
		}
		c := b
		for c < len(line) && s.Notes[line[c]].Onset == s.Notes[line[min(b, len(line)-1)]].Onset {
			c++
		}
		for _, i := range line[a:b] {
			joinNote(s, i, line[b:c], at, p, true)
		}
		for _, i := range line[b:c] {
			joinNote(s, i, line[a:b], at, p, false)
		}
		a = b
	}
}

// joinNote sets how note i goes to (or comes from) the nearest note of a neighbouring group.
func joinNote(s *score.Score, i int, group []int, at []int, p *decode.Piece, forward bool) {
	if len(group) == 0 {
		return
	}
	n, near := &s.Notes[i], &s.Notes[group[0]]
	for _, g := range group {
		if distance(n, &s.Notes[g]) < distance(n, near) {
			near = &s.Notes[g]
		}
	}
	first, second := n, near
	if !forward {
		first, second = near, n
	}
	step := decode.Leap
	switch d := distance(n, near); {
	case second.Onset-first.End() > s.Division:
		step = decode.Alone
	case d < 0.5:
		step = decode.Same
	case d < 2.5:
		step = decode.Stepwise
	}
	d := &p.Notes[at[i]]
	if forward {
		d.Departure, d.To = step, int(near.Pitch.Class())
		d.Accented = s.Weight(n.Onset) > s.Weight(near.Onset)
	} else {
		d.Approach, d.From = step, int(near.Pitch.Class())
	}
}

func distance(a, b *score.Note) float64 {
	d := a.Pitch.MIDI() - b.Pitch.MIDI()
	if d < 0 {
		return -d
	}
	return d
}
