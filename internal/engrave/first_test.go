//go:build !js

package engrave

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Where the first measures are asked for, they and no others are drawn, at the
// places they have in the whole score.
func TestFirstMeasures(t *testing.T) {
	layout := desk
	layout.Measures = 5
	e, err := engraver(t).Engrave(t.Context(), long(20), layout)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, s := range e.Systems {
		for _, m := range s.Measures {
			if m.Index != seen {
				t.Errorf("measure %d stands where %d belongs", m.Index, seen)
			}
			seen++
		}
	}
	if seen != 5 {
		t.Errorf("%d measures are drawn, not 5", seen)
	}
}

// Where the drawing begins later, notes and measures keep the places they have in the
// whole score, in every part, and what held before holds there: a clef and a key that
// came on the way, a division.
func TestLaterMeasures(t *testing.T) {
	src := changing(t)
	whole := engraved(t, src, desk)
	layout := desk
	layout.From, layout.Measures = 6, 9
	part := engraved(t, src, layout)
	if got, want := notesOf(part), notesOf(whole, 6, 7, 8); got != want || got == "" {
		t.Errorf("the notes are\n%s, not\n%s", got, want)
	}
	s, err := stamp(src, 1000, stretch{6, 9})
	if err != nil {
		t.Fatal(err)
	}
	want := `<measure id="M-6-1" number="7"><attributes><divisions>2</divisions><key><fifths>3</fifths></key>` +
		`<time><beats>4</beats><beat-type>4</beat-type></time><clef number="1"><sign>F</sign><line>4</line></clef></attributes><note `
	if !bytes.Contains(s.xml, []byte(want)) {
		t.Errorf("the second part does not begin with %s:\n%s", want, s.xml)
	}
	for _, fault := range []string{"F</sign><line>3", "<harmony", "number=\"6\"", "number=\"10\""} {
		if bytes.Contains(s.xml, []byte(fault)) {
			t.Errorf("%s is still there", fault)
		}
	}
	g, err := stamp(long(20), 1000, stretch{from: 30})
	if err != nil || len(g.measures) != 20 || g.from != 0 {
		t.Errorf("a score that ends before: %d measures from %d, %v", len(g.measures), g.from, err)
	}
}

// changing is two parts, of which the second changes clef, key and division; a comment
// and a title speak of notes.
func changing(t *testing.T) []byte {
	t.Helper()
	var b strings.Builder
	b.WriteString(`<score-partwise><part-list><score-part id="P"><part-name>P</part-name></score-part><score-part id="Q"><part-name>Q</part-name></score-part></part-list>`)
	for p, id := range []string{"P", "Q"} {
		fmt.Fprintf(&b, `<part id="%s">`, id)
		for i := range 12 {
			fmt.Fprintf(&b, `<measure number="%d"><!-- <note> </measure> -->`, i+1)
			each := 1
			switch {
			case i == 0:
				b.WriteString(`<attributes><divisions>1</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>`)
			case p == 1 && i == 3:
				b.WriteString(`<attributes><divisions>2</divisions><key><fifths>-2</fifths></key><clef><sign>F</sign><line>3</line></clef></attributes>`)
			case p == 1 && i == 6:
				b.WriteString(`<attributes><key><fifths>3</fifths></key><clef number="1"><sign>F</sign><line>4</line></clef></attributes>`)
			}
			if p == 1 && i >= 3 {
				each = 2
			}
			for k := range 4 {
				fmt.Fprintf(&b, `<note><pitch><step>%c</step><octave>%d</octave></pitch><duration>%d</duration><voice>1</voice><type>quarter</type></note>`, "CDEFGAB"[(i+2*k)%7], 5-2*p, each)
			}
			b.WriteString(`</measure>`)
		}
		b.WriteString(`</part>`)
	}
	return []byte(b.String() + `</score-partwise>`)
}

// notesOf lists the notes of some measures, of all if none is named.
func notesOf(e *Engraving, measures ...int) string {
	var out []string
	for _, s := range e.Systems {
		for _, n := range s.Notes {
			wanted := len(measures) == 0
			for _, m := range measures {
				wanted = wanted || n.Measure == m
			}
			if wanted {
				out = append(out, fmt.Sprintf("%3d %s part %d measure %d at %.2f", n.Source, n.ID, n.Part, n.Measure, n.Onset))
			}
		}
	}
	slices.Sort(out)
	return strings.Join(out, "\n")
}
