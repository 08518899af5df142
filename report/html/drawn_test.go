package html

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"hairpin/musicxml"
	"hairpin/report"
)

// many reads a score of so many measures of eight notes.
func many(t *testing.T, measures int) *report.Reading {
	t.Helper()
	var b bytes.Buffer
	b.WriteString(`<score-partwise><part-list><score-part id="P"><part-name>P</part-name></score-part></part-list><part id="P">`)
	for i := range measures {
		fmt.Fprintf(&b, `<measure number="%d">`, i+1)
		if i == 0 {
			b.WriteString(`<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>`)
		}
		for k := range 8 {
			fmt.Fprintf(&b, `<note><pitch><step>%c</step><octave>4</octave></pitch><duration>1</duration><type>eighth</type></note>`, "CEGEDFAG"[(k+i%3)%8])
		}
		b.WriteString(`</measure>`)
	}
	b.WriteString(`</part></score-partwise>`)
	f, err := musicxml.Read(&b, "many.musicxml", musicxml.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	r, err := report.New(f, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Of what is too long for one page the beginning is drawn, and the page says so.
func TestDrawnIsBounded(t *testing.T) {
	if testing.Short() {
		t.Skip("a score of 5001 measures")
	}
	r := many(t, MostDrawn/8+1)
	if got, want := StavesOf(r), (Staves{Measures: beginning/8 + 1}); got != want {
		t.Errorf("the staves drawn are %+v, not %+v", got, want)
	}
	var b strings.Builder
	if err := Write(&b, r, Pictures{}); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	for _, want := range []string{"end with measure 376:", "40008 notes are too many for one page", "next --measures 377-751."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	d := dataOf(t, page)
	for at := range d.Why {
		if strings.HasPrefix(at, "377:") {
			t.Errorf("%s is explained, which is not drawn", at)
		}
	}
	if last := d.Wide[len(d.Wide)-1]; last.From >= 376*4 {
		t.Errorf("the last system begins at %v quarters", last.From)
	}
	if d.Places[len(d.Places)-1].Bar < 376 {
		t.Error("the contents end where the drawing ends")
	}
	part, err := r.Only("4000-4100")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := StavesOf(part), (Staves{First: 3999, Measures: 4100}); got != want || Undrawn(part) != "" {
		t.Errorf("of some measures the staves drawn are %+v, not %+v; %q", got, want, Undrawn(part))
	}
}
