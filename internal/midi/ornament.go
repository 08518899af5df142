package midi

import (
	"cmp"
	"slices"

	"hairpin/score"
)

// How ornaments are played is common practice (no source): grace notes before
// the beat, each a thirty-second note; a trill from the main note and back to it.

// placeGraces gives grace notes their time: just before the note they lead to,
// taken from what sounds before it, or on the beat at the start of the piece.
func (p *performer) placeGraces(notes []played) {
	type lead struct {
		onset        score.Tick
		staff, voice int
	}
	groups := map[lead][]int{}
	for i, n := range notes {
		if n.from.Grace {
			k := lead{n.from.Onset, n.from.Staff, n.from.Voice}
			groups[k] = append(groups[k], i)
		}
	}
	for k, group := range groups {
		slices.SortFunc(group, func(a, b int) int { return cmp.Compare(source(notes[a]), source(notes[b])) })
		at, slot := p.graceStart(notes, group, k.onset)
		place := -1
		for _, i := range group {
			if place < 0 || !notes[i].from.Chord {
				place++
			}
			notes[i].Start = at + Tick(place)*slot
			notes[i].End = notes[i].Start + slot
		}
	}
}

func source(n played) int {
	if len(n.from.Source) > 0 {
		return n.from.Source[0]
	}
	return n.index
}

// graceStart is where a group of grace notes starts, and how long each lasts.
// Notes of its voice that sound until then are cut short.
func (p *performer) graceStart(notes []played, group []int, onset score.Tick) (at, slot Tick) {
	count := Tick(0)
	for k, i := range group {
		if k == 0 || !notes[i].from.Chord {
			count++
		}
	}
	beat := p.tick(onset)
	slot = p.out.Quarter / 8
	if beat == 0 {
		return 0, slot
	}
	first := notes[group[0]].from
	room := beat
	for i := range notes {
		n := &notes[i]
		if !n.from.Grace && n.from.Voice == first.Voice && n.from.Staff == first.Staff && n.from.End() == onset {
			room = min(room, (beat-n.Start)/2)
		}
	}
	slot = max(min(slot, room/count), 1)
	at = beat - count*slot
	for i := range notes {
		n := &notes[i]
		if !n.from.Grace && n.from.Voice == first.Voice && n.from.Staff == first.Staff && n.from.End() == onset {
			n.End = min(n.End, max(at, n.Start+1))
		}
	}
	return max(at, 0), slot
}

// spread rolls arpeggios upward, a sixty-fourth note from each to the next.
func spread(notes []played, quarter Tick) {
	rolled := map[score.Tick][]int{}
	for i, n := range notes {
		if n.from.Signs.Has(score.Arpeggio) && !n.from.Grace {
			rolled[n.from.Onset] = append(rolled[n.from.Onset], i)
		}
	}
	for _, group := range rolled {
		slices.SortFunc(group, func(a, b int) int { return cmp.Compare(notes[a].Key, notes[b].Key) })
		for k, i := range group {
			n := &notes[i]
			n.Start += min(Tick(k)*quarter/16, (n.End-n.Start)/2)
		}
	}
}

// ornament writes a note out if it has a sign that asks for it.
func (p *performer) ornament(n played) []Note {
	signs := n.from.Signs
	unit := p.out.Quarter / 8
	count := int((n.End - n.Start) / unit)
	switch {
	case n.from.Grace || count < 3:
	case signs.Has(score.Tremolo):
		return n.figure([]float64{n.Key}, unit, count)
	case !signs.Has(score.Trill) || n.Drum:
	case signs.Has(score.Turn):
		return n.figure([]float64{p.neighbour(n.from, 1), n.Key, p.neighbour(n.from, -1)}, unit, 3)
	case signs.Has(score.Mordent):
		return n.figure([]float64{n.Key, p.neighbour(n.from, -1)}, unit, 2)
	case signs.Has(score.Shake):
		return n.figure([]float64{n.Key, p.neighbour(n.from, 1)}, unit, 2)
	default:
		return n.figure([]float64{n.Key, p.neighbour(n.from, 1)}, unit, (count-1)/2*2)
	}
	return []Note{n.Note}
}

// figure plays so many short notes from the keys in turn, then the note itself
// for what is left.
func (n played) figure(keys []float64, unit Tick, count int) (out []Note) {
	x := n.Note
	for i := range count {
		x.Key = keys[i%len(keys)]
		x.End = x.Start + unit
		out = append(out, x)
		x.Start = x.End
	}
	x.Key, x.End = n.Key, n.End
	return append(out, x)
}

// neighbour is the MIDI key a step of the key signature above or below a note.
func (p *performer) neighbour(n score.Note, up int) float64 {
	fifths := 0
	for _, k := range p.s.Keys {
		if k.Part == n.Part && k.At <= n.Onset {
			fifths = k.Fifths
		}
	}
	q := n.Pitch
	q.Step += up
	if q.Step > 6 {
		q.Step, q.Octave = 0, q.Octave+1
	} else if q.Step < 0 {
		q.Step, q.Octave = 6, q.Octave-1
	}
	q.Alter = signature(q.Step, fifths)
	return q.MIDI()
}

// signature is the alteration that a key signature puts on a step.
func signature(step, fifths int) float64 {
	place := int(score.Pitch{Step: step}.Class()) + 1 // F 0, C 1 … B 6
	switch {
	case fifths > place:
		return 1
	case -fifths > 6-place:
		return -1
	}
	return 0
}
