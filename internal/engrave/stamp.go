package engrave

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// stampedScore is a score ready for the engraver: every measure and note
// carries an id of ours, what would disturb the drawing is gone, and the time
// of every note is known.
type stampedScore struct {
	xml      []byte
	measures []float64  // length in quarters, the furthest point any part reaches
	notes    []noteTime // one per note element, rests included, in document order
	parts    int
	from     int     // the first measure that is drawn
	drawn    int     // note elements that are
	bounds   [][]int // per part, where each drawn measure begins in xml, and where the last ends
}

// head is the first n of the drawn measures, or the first half if that is less; nil
// if they are so few that nobody waits for the whole.
func (s *stampedScore) head(n int) []byte {
	const short = 16
	drawn := len(s.measures) - s.from
	if drawn < short {
		return nil
	}
	return s.first(min(n, drawn/2))
}

// first is the first n of the drawn measures.
func (s *stampedScore) first(n int) []byte {
	var out []byte
	from := 0
	for _, b := range s.bounds {
		if len(b) > n {
			out = append(out, s.xml[from:b[n]]...)
			from = b[len(b)-1]
		}
	}
	return append(out, s.xml[from:]...)
}

// noteTime is when a note element sounds.
type noteTime struct {
	part, measure int
	onset         float64 // quarters from the start of the measure
	grace, rest   bool
	wholeRest     bool // a rest of the measure, drawn in its middle
}

const (
	maxBytes = 64 << 20
	maxDepth = 48
	maxStaff = 16
)

// dropped are the elements that are not handed on: chord symbols and page
// text, which this program places itself, and the layout of other page sizes.
var dropped = map[string]bool{
	"harmony": true, "credit": true, "defaults": true, "print": true, "multiple-rest": true,
}

// stamper copies a score token by token. It reads bytes, not a document: what
// it does not touch stays as it was.
type stamper struct {
	src   []byte
	out   bytes.Buffer
	stack []string
	text  []byte // character data since the last tag
	solo  bool   // one part: its name is not drawn, the page has it
	limit int    // note elements allowed in the measures that are drawn
	gone  []leftOut
	score stampedScore
	clock clock
	note  noteTime
	chord bool
	torn  bool // a chord's note behind a backup or forward
	dur   int64
}

// clock is the reading position within a measure, in divisions of a quarter.
type clock struct {
	divisions, at, last int64
	measure             int  // in the part
	first, left         bool // no note of the measure yet; a backup or forward since the last one
}

// stamp checks that the bytes are a well-formed partwise score and readies those
// measures of it that are drawn; no more than maxNotes notes are allowed in them.
func stamp(src []byte, maxNotes int, drawn stretch) (*stampedScore, error) {
	if len(src) > maxBytes {
		return nil, fmt.Errorf("%w: %d MB of MusicXML, at most %d", ErrTooLarge, len(src)>>20, maxBytes>>20)
	}
	src, err := utf8Bytes(src)
	if err != nil {
		return nil, err
	}
	s := &stamper{limit: maxNotes, solo: bytes.Count(src, []byte("<score-part ")) == 1}
	s.src, s.gone, s.score.from = cut(src, drawn)
	s.score.measures = make([]float64, s.score.from)
	s.out.Grow(len(s.src) + len(s.src)/8)
	if err := s.copyAll(); err != nil {
		return nil, s.locate(err)
	}
	if s.score.drawn == 0 {
		return nil, errors.New("the score has no notes")
	}
	s.score.xml = s.out.Bytes()
	return &s.score, nil
}

func (s *stamper) locate(err error) error {
	if s.score.parts == 0 {
		return err
	}
	return fmt.Errorf("part %d, measure %d: %w", s.score.parts, s.clock.measure+1, err)
}

func (s *stamper) copyAll() error {
	d := xml.NewDecoder(bytes.NewReader(s.src))
	for roots := 0; ; {
		from := d.InputOffset()
		token, err := d.RawToken()
		if err == io.EOF {
			break
		}
		if err != nil {
			return fmt.Errorf("not well-formed XML: %w", err)
		}
		raw := s.src[from:d.InputOffset()]
		if start, ok := token.(xml.StartElement); ok && len(s.stack) == 0 {
			if roots++; roots > 1 || start.Name.Local != "score-partwise" {
				return fmt.Errorf("the document is %q, not a MusicXML score-partwise", start.Name.Local)
			}
		}
		if err := s.copyToken(token, raw); err != nil {
			return err
		}
	}
	if len(s.stack) > 0 {
		return fmt.Errorf("the score ends inside the element %q", s.stack[len(s.stack)-1])
	}
	if s.out.Len() == 0 {
		return errors.New("the score is empty")
	}
	return nil
}

func (s *stamper) copyToken(token xml.Token, raw []byte) error {
	switch t := token.(type) {
	case xml.StartElement:
		return s.open(t, raw)
	case xml.EndElement:
		return s.close(t.Name.Local, raw)
	case xml.CharData:
		if len(s.stack) == 0 {
			if len(bytes.TrimSpace(t)) > 0 {
				return errors.New("not well-formed XML: text outside the score")
			}
			return nil
		}
		s.text = append(s.text, t...)
		s.emit(raw)
	}
	return nil // comments, instructions and the document type stay behind
}

// skipping reports whether the reader is inside a dropped element.
func (s *stamper) skipping() bool {
	for _, name := range s.stack {
		if dropped[name] {
			return true
		}
		if s.solo && strings.HasPrefix(name, "part-name") || s.solo && strings.HasPrefix(name, "part-abbreviation") {
			return true
		}
		if name == "note" {
			return false // nothing within a note is dropped
		}
	}
	return false
}

func (s *stamper) emit(raw []byte) {
	if !s.skipping() {
		s.out.Write(raw)
	}
}

func (s *stamper) open(t xml.StartElement, raw []byte) error {
	name := t.Name.Local
	if t.Name.Space != "" {
		name = t.Name.Space + ":" + name
	}
	if len(s.stack) >= maxDepth {
		return fmt.Errorf("elements lie more than %d deep", maxDepth)
	}
	s.stack = append(s.stack, name)
	s.text = s.text[:0]
	if s.skipping() {
		return nil
	}
	return s.enter(name, t, raw)
}

// enter starts an element: part, measure, note and what a note says by its mere presence.
func (s *stamper) enter(name string, t xml.StartElement, raw []byte) error {
	switch name {
	case "part":
		s.score.parts++
		s.score.bounds = append(s.score.bounds, nil)
		s.clock = clock{divisions: 1, measure: s.score.from - 1}
		s.pass(func(g leftOut) int { return g.before })
	case "measure":
		s.clock.measure++
		s.clock.at, s.clock.last, s.clock.first = 0, 0, true
		s.bound()
		if s.clock.measure >= len(s.score.measures) {
			s.score.measures = append(s.score.measures, 0)
		}
		s.writeStart(t, raw, measureID(s.clock.measure, s.score.parts-1))
		return nil
	case "note":
		if s.score.drawn++; s.score.drawn > s.limit {
			return fmt.Errorf("%w: more than %d notes", ErrTooLarge, s.limit)
		}
		s.note, s.chord, s.torn, s.dur = noteTime{part: s.score.parts - 1, measure: max(s.clock.measure, 0)}, false, false, 0
		s.writeStart(t, raw, noteID(len(s.score.notes)))
		return nil
	case "backup", "forward":
		s.dur = 0
	case "chord":
		s.torn = s.clock.left && !s.clock.first
		s.chord = !s.torn && !s.clock.first
		if !s.chord {
			return nil // the engraver breaks down at a chord without a first note
		}
	case "grace":
		s.note.grace = true
	case "rest":
		s.note.rest = true
		s.note.wholeRest = attribute(t, "measure") == "yes"
	}
	s.out.Write(raw)
	return nil
}

// pass counts notes of the part that are cut out.
func (s *stamper) pass(count func(leftOut) int) {
	if n := s.score.parts; n > 0 && n <= len(s.gone) {
		s.score.notes = append(s.score.notes, make([]noteTime, count(s.gone[n-1]))...)
	}
}

// bound notes that a measure begins, or the last one has ended.
func (s *stamper) bound() {
	if n := len(s.score.bounds); n > 0 {
		s.score.bounds[n-1] = append(s.score.bounds[n-1], s.out.Len())
	}
}

func (s *stamper) close(name string, raw []byte) error {
	if len(s.stack) == 0 || s.stack[len(s.stack)-1] != name && !strings.HasSuffix(s.stack[len(s.stack)-1], ":"+name) {
		return fmt.Errorf("not well-formed XML: unexpected end of element %q", name)
	}
	if name == "part" {
		s.bound()
		s.pass(func(g leftOut) int { return g.after })
	}
	if name != "chord" || s.chord {
		s.emit(raw)
	}
	skipped := s.skipping()
	s.stack = s.stack[:len(s.stack)-1]
	if skipped {
		return nil
	}
	err := s.leave(name)
	s.text = s.text[:0]
	return err
}

// leave ends an element: numbers are checked and the clock moves.
func (s *stamper) leave(name string) error {
	switch name {
	case "divisions":
		return s.setDivisions()
	case "duration":
		n, err := s.number(name, 0, 1<<30)
		s.dur = n
		return err
	case "octave":
		_, err := s.number(name, -1, 10)
		return err
	case "alter":
		_, err := s.number(name, -4, 4)
		return err
	case "fifths":
		_, err := s.number(name, -14, 14)
		return err
	case "staves", "staff":
		_, err := s.number(name, 0, maxStaff)
		return err
	case "step":
		if t := strings.TrimSpace(string(s.text)); len(t) != 1 || !strings.Contains("ABCDEFG", t) {
			return fmt.Errorf("pitch step %q: must be one of A to G", t)
		}
	case "note":
		s.endNote()
	case "backup":
		s.clock.left = true
		s.move(-s.dur)
	case "forward":
		s.clock.left = true
		s.move(s.dur)
	}
	return nil
}

// number reads the element's text; decimals are rounded.
func (s *stamper) number(name string, low, high int64) (int64, error) {
	t := strings.TrimSpace(string(s.text))
	f, err := strconv.ParseFloat(t, 64)
	if err != nil || !(f >= float64(low) && f <= float64(high)) {
		return 0, fmt.Errorf("%s %q: must be a number between %d and %d", name, t, low, high)
	}
	if f < 0 {
		return int64(f - 0.5), nil
	}
	return int64(f + 0.5), nil
}

func (s *stamper) setDivisions() error {
	n, err := s.number("divisions", 1, 1<<24)
	if err != nil {
		return err
	}
	s.clock.at, s.clock.last = s.clock.at*n/s.clock.divisions, s.clock.last*n/s.clock.divisions
	s.clock.divisions = n
	return nil
}

func (s *stamper) endNote() {
	at := s.clock.at
	if s.chord && !s.note.grace {
		at = s.clock.last
	}
	s.note.onset = float64(at) / float64(max(s.clock.divisions, 1))
	s.score.notes = append(s.score.notes, s.note)
	if !s.chord && !s.note.grace {
		s.clock.last = s.clock.at
		s.move(s.dur)
	}
	if s.torn && !s.note.grace { // as a chord's note it does not move the clock
		fmt.Fprintf(&s.out, "<backup><duration>%d</duration></backup>", s.dur)
		s.move(-s.dur)
	}
	s.clock.first, s.clock.left = false, false
}

func (s *stamper) move(n int64) {
	s.clock.at = max(s.clock.at+n, 0)
	m := s.clock.measure
	if m < 0 {
		return
	}
	reached := float64(s.clock.at) / float64(max(s.clock.divisions, 1))
	s.score.measures[m] = max(s.score.measures[m], reached)
}

// writeStart writes a start tag with our id in place of its own.
func (s *stamper) writeStart(t xml.StartElement, raw []byte, id string) {
	end := len("<") + len(t.Name.Local)
	s.out.Write(raw[:end])
	s.out.WriteString(` id="` + id + `"`)
	if attribute(t, "id") == "" {
		s.out.Write(raw[end:])
		return
	}
	for _, a := range t.Attr {
		if a.Name.Local == "id" && a.Name.Space == "" {
			continue
		}
		name := a.Name.Local
		if a.Name.Space != "" {
			name = a.Name.Space + ":" + name
		}
		s.out.WriteString(" " + name + `="`)
		xml.EscapeText(&s.out, []byte(a.Value))
		s.out.WriteByte('"')
	}
	if bytes.HasSuffix(raw, []byte("/>")) {
		s.out.WriteByte('/')
	}
	s.out.WriteByte('>')
}

func attribute(t xml.StartElement, name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// The ids hold a hyphen: the engraver's own never do.

func measureID(measure, part int) string {
	return "M-" + strconv.Itoa(measure) + "-" + strconv.Itoa(part)
}

func noteID(i int) string { return "N-" + strconv.Itoa(i) }

// parseID reads an id made by measureID or noteID.
func parseID(id, kind string) (int, bool) {
	rest, ok := strings.CutPrefix(id, kind+"-")
	if !ok {
		return 0, false
	}
	first, _, _ := strings.Cut(rest, "-")
	n, err := strconv.Atoi(first)
	return n, err == nil && n >= 0
}
