package musicxml

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"hairpin/score"
)

// checkError holds an error to what Read promises: its type, and one line.
func checkError(t testing.TB, err error) {
	t.Helper()
	var m *MalformedError
	var u *UnsupportedError
	if !errors.As(err, &m) && !errors.As(err, &u) {
		t.Errorf("error of type %T: %v", err, err)
	}
	if s := err.Error(); strings.ContainsAny(s, "\n\r\x00\x1b") || len(s) > 1000 {
		t.Errorf("not one readable line: %q", s)
	}
}

// checkScore holds a score to what package score promises.
func checkScore(t testing.TB, s *score.Score) {
	t.Helper()
	if s.Division < 1 || len(s.Parts) == 0 {
		t.Fatalf("division %d, %d parts", s.Division, len(s.Parts))
	}
	at := score.Tick(0)
	for i, m := range s.Measures {
		if m.Start != at || m.Length < 0 || m.Nominal < 0 {
			t.Fatalf("measure %d: %+v, should start at %d", i, m, at)
		}
		at = m.End()
	}
	for i, n := range s.Notes {
		checkNote(t, s, n)
		if i > 0 && compareNotes(s.Notes[i-1], n) > 0 {
			t.Fatalf("notes %d and %d are out of order", i-1, i)
		}
	}
	for _, h := range s.Hairpins {
		checkSpan(t, s, h.Span)
	}
	for _, d := range s.Dashes {
		checkSpan(t, s, d.Span)
	}
	for _, l := range s.Slurs {
		checkSpan(t, s, l.Span)
	}
	for _, p := range s.Tempos {
		if !(p.PerMin > 0) || math.IsInf(p.PerMin, 0) {
			t.Fatalf("tempo %v", p)
		}
	}
	for _, w := range s.Warnings {
		if strings.ContainsAny(w.Part+w.Measure+w.Text, "\n\r\x00") {
			t.Fatalf("warning is not one line: %q", w)
		}
	}
}

func checkNote(t testing.TB, s *score.Score, n score.Note) {
	t.Helper()
	switch {
	case n.Onset < 0 || n.Duration < 0 || n.End() > s.Length():
		t.Fatalf("note outside the piece: %+v", n)
	case n.Part < 0 || n.Part >= len(s.Parts) || n.Staff < 1 || n.Staff > s.Parts[n.Part].Staves || n.Voice < 1:
		t.Fatalf("note without a place: %+v", n)
	case n.Measure < 0 || n.Measure >= len(s.Measures) || len(n.Source) == 0:
		t.Fatalf("note without a measure or source: %+v", n)
	case n.Onset < s.Measures[n.Measure].Start || n.Onset > s.Measures[n.Measure].End():
		t.Fatalf("note outside its measure: %+v in %+v", n, s.Measures[n.Measure])
	case n.Pitch.Step < 0 || n.Pitch.Step > 6 || math.Abs(n.Pitch.MIDI()) > 1000:
		t.Fatalf("pitch %+v", n.Pitch)
	}
}

func checkSpan(t testing.TB, s *score.Score, p score.Span) {
	t.Helper()
	if p.Start < 0 || p.End < p.Start || p.Part < 0 || p.Part >= len(s.Parts) {
		t.Fatalf("span %+v", p)
	}
}

// checkEdit marks a file in the middle and at its end, and takes the marks out again.
func checkEdit(t testing.TB, f *File) {
	t.Helper()
	const words = `<direction><direction-type><words>mark</words></direction-type></direction>`
	edits := []Edit{
		{Part: len(f.Score.Parts) - 1, At: f.Score.Length() / 2, Staff: 1, Layer: "test", XML: words},
		{Part: 0, At: f.Score.Length(), End: true, Layer: "test", XML: words},
	}
	had := len(f.Layers()) > 0
	g, err := f.Apply(edits)
	if err != nil {
		return // a part without measures, or a limit reached
	}
	count := 0
	for _, w := range g.Score.Words {
		if w.Text == "mark" {
			count++
		}
	}
	if count < 2 || len(g.Score.Notes) != len(f.Score.Notes) {
		t.Fatalf("%d marks, %d notes of %d", count, len(g.Score.Notes), len(f.Score.Notes))
	}
	if had {
		return
	}
	r, err := g.Remove()
	if err != nil {
		t.Fatalf("removing: %v", err)
	}
	if !bytes.Equal(r.Bytes(), f.Bytes()) {
		t.Fatal("removing does not give the original back")
	}
}

// checkWrite writes a score as a new document and reads its notes back.
func checkWrite(t testing.TB, s *score.Score) {
	t.Helper()
	var b bytes.Buffer
	if Write(&b, s) != nil {
		return
	}
	f, err := Read(&b, "written", Limits{})
	if err != nil {
		t.Fatalf("written: %v", err)
	}
	checkScore(t, f.Score)
	if a, b := sounding(s), sounding(f.Score); a != b {
		t.Fatalf("%d sounding notes were written, %d read", a, b)
	}
}

func sounding(s *score.Score) (n int) {
	for _, x := range s.Notes {
		if !x.Grace {
			n++
		}
	}
	return n
}
