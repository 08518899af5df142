package musicxml

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"

	"hairpin/score"
)

// Write writes a score as a new MusicXML 4.0 document, partwise and in UTF-8.
// It is meant for scores of our own making: a reduction, a test. Pitches are
// written as they sound. Notes are split at bar lines and into printable
// values, with ties and tuplets; notes of one voice that overlap are given
// voices of their own. Clefs are those of the treble and the bass, and change
// at a bar line where a staff's notes leave them for long. Ornaments, tremolos and slurs from grace notes are left
// out, because score does not keep what they need. To add to a document that was read, use [File.Apply].
//
// The score must have measures and divisions that, with note values down to the 128th, are no
// more than [DefaultLimits] lets be read again, and every note a part, a staff and a positive
// duration unless it is a grace note.
func Write(w io.Writer, s *score.Score) error {
	b, err := newScoreWriter(s)
	if err != nil {
		return err
	}
	b.document()
	_, err = w.Write(b.out.Bytes())
	return err
}

// scoreWriter writes one score.
type scoreWriter struct {
	xmlWriter
	s      *score.Score
	factor score.Tick // from the score's ticks to the document's divisions
	rhythm rhythm
	part   *partWriter
}

func newScoreWriter(s *score.Score) (*scoreWriter, error) {
	if s.Division < 1 || len(s.Measures) == 0 || len(s.Parts) == 0 {
		return nil, fmt.Errorf("a score without division, measures or parts cannot be written")
	}
	for _, n := range s.Notes {
		p := s.At(n.Onset)
		switch {
		case n.Part < 0 || n.Part >= len(s.Parts):
			return nil, fmt.Errorf("measure %s: a note has no part", p.Number)
		case n.Onset < 0 || n.End() > s.Length() || n.Duration < 0 || n.Duration == 0 && !n.Grace:
			return nil, fmt.Errorf("measure %s: a note lies outside the measures or has no length", p.Number)
		}
	}
	const grid = 96
	factor := score.Tick(grid / gcd(grid, int64(s.Division)))
	if most := DefaultLimits().Divisions; int64(s.Division) > most/int64(factor) { // it could not be read again
		return nil, fmt.Errorf("a quarter note of %d divisions is too fine to be written: with note values down to the 128th it needs more than %d; quantise the score first", s.Division, most)
	}
	return &scoreWriter{s: s, factor: factor, rhythm: rhythm{quarter: s.Division * factor}}, nil
}

func (b *scoreWriter) document() {
	b.out.WriteString(`<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
`)
	b.open("score-partwise", "version", "4.0")
	if b.s.Title != "" {
		b.open("work")
		b.leaf("work-title", b.s.Title)
		b.close()
	}
	b.open("identification")
	if b.s.Composer != "" {
		b.leaf("creator", b.s.Composer, "type", "composer")
	}
	b.open("encoding")
	b.leaf("software", "hairpin")
	b.close()
	b.close()
	b.open("part-list")
	for i, p := range b.s.Parts {
		b.open("score-part", "id", partID(i))
		b.leaf("part-name", p.Name)
		b.close()
	}
	b.close()
	for i := range b.s.Parts {
		b.writePart(i)
	}
	b.close()
}

// partID is a part's identifier in the document; the source's own need not be an XML name.
func partID(i int) string { return "P" + strconv.Itoa(i+1) }

// partWriter is the part being written.
type partWriter struct {
	index  int
	lanes  []lane
	marks  []outMark
	slurs  map[int][]slurEnd // by index into Score.Notes
	keys   []int             // fifths in force, by staff
	staves int
	clefs  [][]clef // by staff from 0, then measure
}

func (b *scoreWriter) writePart(i int) {
	b.part = &partWriter{index: i, staves: max(b.s.Parts[i].Staves, 1)}
	b.part.lanes = b.lanes(i)
	for _, l := range b.part.lanes {
		b.part.staves = max(b.part.staves, l.staff)
	}
	b.part.keys = make([]int, b.part.staves+1)
	b.part.slurs = b.slurEnds(i)
	b.chooseClefs()
	b.part.marks = b.collectMarks(i)
	b.open("part", "id", partID(i))
	for m := range b.s.Measures {
		b.writeMeasure(m)
	}
	b.close()
}

func (b *scoreWriter) writeMeasure(i int) {
	m := b.s.Measures[i]
	number := m.Number
	if number == "" {
		number = strconv.Itoa(i + 1)
	}
	attrs := []string{"number", number}
	if m.Offset > 0 {
		attrs[1] = "X" + strconv.Itoa(i+1)
	}
	if m.Pickup || m.Offset > 0 {
		attrs = append(attrs, "implicit", "yes")
	}
	b.open("measure", attrs...)
	b.barline(i, true)
	b.attributes(i)
	wrote := false
	for k := range b.part.lanes {
		l := &b.part.lanes[k]
		segments := l.measure(m)
		if len(segments) == 0 {
			continue
		}
		if wrote {
			b.open("backup")
			b.leaf("duration", b.divs(m.Length))
			b.close()
		}
		b.writeLane(l, i, segments)
		wrote = true
	}
	b.barline(i, false)
	b.close()
}

func (b *scoreWriter) divs(t score.Tick) string { return strconv.FormatInt(int64(t*b.factor), 10) }

// writeLane writes one voice of a measure, and with the first voice of each
// staff the marks that stand there.
func (b *scoreWriter) writeLane(l *lane, measure int, segments []segment) {
	m := b.s.Measures[measure]
	acc := newAccidentals(b.part.keys[l.staff])
	if len(segments) == 1 && len(segments[0].notes) == 0 {
		b.marks(l, m.Start, m.End(), measure)
		b.graces(l, m.Start, m.End(), acc)
		b.wholeRest(l, m)
		b.marks(l, m.End(), m.End(), measure)
		return
	}
	for k := range segments {
		segments[k].start *= b.factor
		segments[k].end *= b.factor
	}
	pieces := b.rhythm.pieces(segments)
	b.beams(pieces, segments, m)
	for _, p := range pieces {
		seg := segments[p.segment]
		start, end := m.Start+p.start/b.factor, m.Start+(p.start+p.length)/b.factor
		b.marks(l, start, end, measure)
		b.graces(l, start, end, acc)
		b.writePiece(l, p, seg, acc)
	}
	if m.End() == b.s.Length() {
		b.graces(l, m.End(), m.End()+1, acc)
	}
	b.marks(l, m.End(), m.End(), measure)
}

func (b *scoreWriter) wholeRest(l *lane, m score.Measure) {
	b.open("note")
	b.empty("rest", "measure", "yes")
	b.leaf("duration", b.divs(m.Length))
	b.leaf("voice", strconv.Itoa(l.voice))
	b.staff(l)
	b.close()
}

func (b *scoreWriter) staff(l *lane) {
	if b.part.staves > 1 {
		b.leaf("staff", strconv.Itoa(l.staff))
	}
}

// writePiece writes a chord, or the part of it that is one printed value.
func (b *scoreWriter) writePiece(l *lane, p piece, seg segment, acc accidentals) {
	if len(seg.notes) == 0 {
		b.open("note")
		b.empty("rest")
		b.leaf("duration", strconv.FormatInt(int64(p.length), 10))
		b.value(l, p, "")
		b.staff(l)
		b.tuplet(p)
		b.close()
		return
	}
	for k, n := range seg.notes {
		b.open("note")
		if k > 0 {
			b.empty("chord")
		}
		b.pitch(n)
		b.leaf("duration", strconv.FormatInt(int64(p.length), 10))
		tieStop, tieStart := !p.first || seg.from, !p.last || seg.to
		if tieStop {
			b.empty("tie", "type", "stop")
		}
		if tieStart {
			b.empty("tie", "type", "start")
		}
		accidental := ""
		if !n.Unpitched {
			accidental = acc.need(n.Pitch, tieStop)
		}
		b.value(l, p, accidental)
		b.staff(l)
		if k == 0 {
			for i, kind := range p.beams {
				b.leaf("beam", kind, "number", strconv.Itoa(i+1))
			}
		}
		b.notations(n, p, seg, k == 0)
		b.close()
	}
}

// value writes voice, type, dots, accidental and time modification.
func (b *scoreWriter) value(l *lane, p piece, accidental string) {
	b.leaf("voice", strconv.Itoa(l.voice))
	if p.typ != "" {
		b.leaf("type", p.typ)
		for range p.dots {
			b.empty("dot")
		}
	}
	if accidental != "" {
		b.leaf("accidental", accidental)
	}
	if p.normal > 0 {
		b.open("time-modification")
		b.leaf("actual-notes", strconv.Itoa(p.actual))
		b.leaf("normal-notes", strconv.Itoa(p.normal))
		b.close()
	}
}

func (b *scoreWriter) pitch(n score.Note) {
	if n.Unpitched {
		b.empty("unpitched")
		return
	}
	b.open("pitch")
	b.leaf("step", "CDEFGAB"[n.Pitch.Step:n.Pitch.Step+1])
	if n.Pitch.Alter != 0 {
		b.leaf("alter", strconv.FormatFloat(n.Pitch.Alter, 'f', -1, 64))
	}
	b.leaf("octave", strconv.Itoa(n.Pitch.Octave))
	b.close()
}

// graces writes the grace notes of a stretch before it, as eighths with a stroke.
func (b *scoreWriter) graces(l *lane, from, to score.Tick, acc accidentals) {
	i, _ := slices.BinarySearchFunc(l.graces, from, func(n score.Note, t score.Tick) int { return cmp.Compare(n.Onset, t) })
	for k := i; k < len(l.graces) && l.graces[k].Onset < to; k++ {
		n := l.graces[k]
		b.open("note")
		b.empty("grace", "slash", "yes")
		if n.Chord && k > i {
			b.empty("chord")
		}
		b.pitch(n)
		accidental := ""
		if !n.Unpitched {
			accidental = acc.need(n.Pitch, false)
		}
		b.value(l, piece{typ: "eighth"}, accidental)
		b.staff(l)
		b.close()
	}
}

func (b *scoreWriter) notations(n score.Note, p piece, seg segment, first bool) {
	tieStop, tieStart := !p.first || seg.from, !p.last || seg.to
	var x xmlWriter
	x.depth = b.depth + 1
	if tieStop {
		x.empty("tied", "type", "stop")
	}
	if tieStart {
		x.empty("tied", "type", "start")
	}
	for _, s := range b.part.slurs[n.Source[0]] {
		if s.start && !tieStop || !s.start && !tieStart {
			x.empty("slur", "type", startStop(s.start), "number", strconv.Itoa(s.number))
		}
	}
	if first {
		tupletMarks(&x, p)
	}
	if !tieStop {
		signNotations(&x, n.Signs, first)
	}
	if x.out.Len() > 0 {
		b.open("notations")
		b.out.Write(x.out.Bytes())
		b.close()
	}
}

func startStop(start bool) string {
	if start {
		return "start"
	}
	return "stop"
}

func (b *scoreWriter) tuplet(p piece) {
	if p.opens || p.closes {
		b.open("notations")
		tupletMarks(&b.xmlWriter, p)
		b.close()
	}
}

func tupletMarks(x *xmlWriter, p piece) {
	if p.opens {
		x.empty("tuplet", "type", "start")
	}
	if p.closes {
		x.empty("tuplet", "type", "stop")
	}
}

// signNotations writes the signs that have one plain element; the others
// (ornaments, tremolos) are not written, as score does not know which they were.
func signNotations(x *xmlWriter, s score.Sign, first bool) {
	var names []string
	for _, a := range []struct {
		sign score.Sign
		name string
	}{
		{score.Accent, "accent"}, {score.StrongAccent, "strong-accent"}, {score.Staccato, "staccato"},
		{score.Tenuto, "tenuto"}, {score.DetachedLegato, "detached-legato"}, {score.Staccatissimo, "staccatissimo"},
		{score.Stress, "stress"}, {score.Unstress, "unstress"}, {score.SoftAccent, "soft-accent"},
	} {
		if s.Has(a.sign) {
			names = append(names, a.name)
		}
	}
	if len(names) > 0 {
		x.open("articulations")
		for _, n := range names {
			x.empty(n)
		}
		x.close()
	}
	if s.Has(score.FermataSign) && first {
		x.empty("fermata", "type", "upright")
	}
	if s.Has(score.Arpeggio) {
		x.empty("arpeggiate")
	}
}

// xmlWriter writes indented XML.
type xmlWriter struct {
	out   bytes.Buffer
	depth int
	names []string
}

func (x *xmlWriter) tag(name string, attrs []string) {
	for range x.depth {
		x.out.WriteString("  ")
	}
	x.out.WriteString("<" + name)
	for i := 0; i+1 < len(attrs); i += 2 {
		x.out.WriteString(" " + attrs[i] + `="` + Escape(attrs[i+1]) + `"`)
	}
}

func (x *xmlWriter) open(name string, attrs ...string) {
	x.tag(name, attrs)
	x.out.WriteString(">\n")
	x.names = append(x.names, name)
	x.depth++
}

func (x *xmlWriter) close() {
	x.depth--
	for range x.depth {
		x.out.WriteString("  ")
	}
	x.out.WriteString("</" + x.names[len(x.names)-1] + ">\n")
	x.names = x.names[:len(x.names)-1]
}

func (x *xmlWriter) empty(name string, attrs ...string) {
	x.tag(name, attrs)
	x.out.WriteString("/>\n")
}

func (x *xmlWriter) leaf(name, text string, attrs ...string) {
	x.tag(name, attrs)
	x.out.WriteString(">" + Escape(text) + "</" + name + ">\n")
}
