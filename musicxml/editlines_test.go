package musicxml

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"hairpin/score"
)

// inOrder pairs the lines of one kind as the simplest reader does: by part and
// number, in the order of the document. It lists what it cannot pair.
func inOrder(f *File, element string) (pairs, trouble []string) {
	for i, p := range f.sheet.parts {
		open := map[string]string{}
		for k, c := range p.cells {
			for d := c.node.child; d != nil; d = d.next {
				for t := d.child; t != nil; t = t.next {
					e := t.find(element)
					if e == nil {
						continue
					}
					n, here := e.attr("number"), fmt.Sprintf("part %d measure %d number %s", i, k, e.attr("number"))
					switch from, known := open[n]; {
					case e.attr("type") != "stop" && known:
						trouble = append(trouble, here+" starts while one from "+from+" is open")
					case e.attr("type") != "stop":
						open[n] = here
					case !known:
						trouble = append(trouble, here+" stops and never started")
					default:
						pairs = append(pairs, from+" to "+here)
						delete(open, n)
					}
				}
			}
		}
		for _, from := range open {
			trouble = append(trouble, from+" never stops")
		}
	}
	return pairs, trouble
}

// twoVoices is a measure whose second voice is written behind the first and has
// the only note on the fourth quarter.
const twoVoices = `<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration><voice>1</voice></note>
<note><pitch><step>D</step><octave>5</octave></pitch><duration>4</duration><voice>1</voice></note>
<backup><duration>8</duration></backup>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>2</duration><voice>2</voice></note>
<note><pitch><step>E</step><octave>4</octave></pitch><duration>4</duration><voice>2</voice></note>
<note><pitch><step>G</step><octave>4</octave></pitch><duration>2</duration><voice>2</voice></note>`

// Lines whose ends suit different voices best: in the document every stop
// stands behind its start, and no number is begun twice.
func TestApplyLinesPairInDocumentOrder(t *testing.T) {
	for _, taken := range []int{0, 14, 15} { // numbers that the document itself uses
		doc := twoVoices
		for n := range taken {
			doc = fmt.Sprintf(`<direction><direction-type><wedge type="crescendo" number="%d"/></direction-type></direction>`+
				`<direction><direction-type><wedge type="stop" number="%d"/></direction-type></direction>`, n+1, n+1) + doc
		}
		f := mustRead(t, inMeasure(doc))
		q, at := f.Score.Division, f.Score.Measures[1].Start
		var edits []Edit
		for _, s := range [][2]score.Tick{{0, q}, {q, 2 * q}, {2 * q, 3 * q}, {3 * q, 4 * q}} {
			edits = append(edits, Edit{At: at + s[0], Layer: "a", XML: pin("crescendo"), Line: &Line{"wedge", at + s[1], pin("stop")}})
		}
		g, err := f.Apply(edits)
		if err != nil {
			t.Fatal(err)
		}
		pairs, trouble := inOrder(g, "wedge")
		if len(pairs) != taken+4 || len(trouble) > 0 || len(g.Score.Warnings) > len(f.Score.Warnings) {
			t.Errorf("%d numbers taken: %d pairs, %v, %v", taken, len(pairs), trouble, g.Score.Warnings)
		}
		for i, e := range edits {
			if !hasHairpin(g.Score, e.At, e.Line.Until) {
				t.Errorf("%d numbers taken: line %d is not read back: %+v", taken, i, g.Score.Hairpins)
			}
		}
		if r, err := g.Remove(); err != nil || r.tree.src != f.tree.src {
			t.Errorf("the original does not come back (%v)", err)
		}
	}
}

func hasHairpin(s *score.Score, from, to score.Tick) bool {
	for _, h := range s.Hairpins {
		if h.Start == from && h.End == to {
			return true
		}
	}
	return false
}

// Neighbours never have the same number, as long as there are two.
func TestApplyLinesAlternate(t *testing.T) {
	f := mustRead(t, inMeasure(twoVoices))
	q, at := f.Score.Division, f.Score.Measures[1].Start
	var edits []Edit
	for i := range score.Tick(4) {
		edits = append(edits, Edit{At: at + i*q, Layer: "a", XML: pin("crescendo"), Line: &Line{"wedge", at + (i+1)*q, pin("stop")}})
	}
	g, err := f.Apply(edits)
	if err != nil {
		t.Fatal(err)
	}
	last := ""
	for _, part := range strings.Split(g.tree.src, `<wedge number="`)[1:] {
		number, rest, _ := strings.Cut(part, `"`)
		if strings.HasPrefix(rest, ` type="stop"`) {
			continue
		}
		if number == last {
			t.Errorf("number %s twice in a row", number)
		}
		last = number
	}
}

// Where every number is taken, the line is refused.
func TestApplyLinesWithoutNumber(t *testing.T) {
	doc := twoVoices
	for n := range 16 {
		doc = fmt.Sprintf(`<direction><direction-type><wedge type="crescendo" number="%d"/></direction-type></direction>`, n+1) + doc
	}
	f := mustRead(t, inMeasure(doc))
	_, err := f.Apply([]Edit{{Layer: "a", XML: pin("crescendo"), Line: &Line{"wedge", 1, pin("stop")}}})
	if err == nil || !strings.Contains(err.Error(), "every number of a wedge is in use") {
		t.Errorf("error %v", err)
	}
}

// pin is a hairpin's end without a number.
func pin(kind string) string { return dir(`<wedge type="` + kind + `"/>`) }

// A score of our own with hairpins on two staves of one part, which the
// document writes one staff after the other.
func TestWriteNumbersHairpinsInDocumentOrder(t *testing.T) {
	s := smallScore()
	s.Parts[0].Staves = 2
	low := s.Notes[0]
	low.Onset, low.Duration, low.Staff = 6, 18, 2
	s.Notes = append(s.Notes, low)
	span := func(start, end score.Tick, staff int) score.Hairpin {
		return score.Hairpin{Span: score.Span{Start: start, End: end, Staff: staff}}
	}
	s.Hairpins = []score.Hairpin{span(0, 3, 2), span(4, 20, 1), span(7, 12, 2), span(21, 24, 2)}
	var b strings.Builder
	if err := Write(&b, s); err != nil {
		t.Fatal(err)
	}
	pairs, trouble := inOrder(mustRead(t, b.String()), "wedge")
	if len(pairs) != len(s.Hairpins) || len(trouble) > 0 {
		t.Errorf("pairs %v, trouble %v in\n%s", pairs, trouble, b.String())
	}
}

// Numbering many slurs takes time in proportion.
func TestWriteManySlurs(t *testing.T) {
	const n = 60_000
	s := &score.Score{Division: 1, Parts: []score.Part{{Staves: 1}}, Measures: []score.Measure{{Number: "1", Length: n, Nominal: n, Beats: 4, BeatUnit: 4}}}
	var spans []numbered
	for i := range score.Tick(n) {
		spans = append(spans, numbered{score.Span{Start: i, End: i + 1}, int(i)})
	}
	start := time.Now()
	(&scoreWriter{s: s}).numbers(spans)
	if took := time.Since(start); took > time.Second { // 14 s when each was compared with all before it
		t.Errorf("it took %s", took)
	}
}
