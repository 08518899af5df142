package hairpin_test

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/beevik/etree"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/score"
	"hairpin/tools/scoregen"
)

// sizes are the measures of the benchmarks' scores; time and memory must grow
// in step with them.
var sizes = [...]int{10, 100, 1000, 10000}

// document is an invented score of so many measures as notation programs
// write it, or the score that HAIRPIN_BENCH names.
func document(b *testing.B, measures int) []byte {
	if name := os.Getenv("HAIRPIN_BENCH"); name != "" {
		doc, err := os.ReadFile(name)
		if err != nil {
			b.Fatal(err)
		}
		return doc
	}
	return engraved(plain(b, measures))
}

// plain is an invented score with nothing but its music.
func plain(b *testing.B, measures int) []byte {
	var doc bytes.Buffer
	if err := musicxml.Write(&doc, scoregen.Piano(measures, 1)); err != nil {
		b.Fatal(err)
	}
	return doc.Bytes()
}

// engraved adds what notation programs write beside the music: places of notes
// and widths of measures, stems, fingerings, systems and pages, and credits. It
// brings a note to about 390 bytes, the median of 614 exported scores that were
// counted (5 % have 314 or fewer, 95 % up to 647).
func engraved(doc []byte) []byte {
	var out bytes.Buffer
	measures, notes, sounds := 0, 0, false // sounds: inside a note that is no rest
	for line := range bytes.Lines(doc) {
		switch text := string(bytes.TrimSpace(line)); {
		case text == "<part-list>":
			out.WriteString("  <credit page=\"1\">\n    <credit-words default-x=\"616.94\" default-y=\"1511.05\" justify=\"center\">Invention</credit-words>\n  </credit>\n")
		case text == "<note>":
			notes, sounds = notes+1, true
			line = fmt.Appendf(nil, "      <note default-x=\"%.2f\">\n", 13+10.61*float64(notes%16))
		case text == "<rest/>":
			sounds = false
		case strings.HasPrefix(text, "<staff>") && sounds:
			fmt.Fprintf(&out, "        <stem>%s</stem>\n", [...]string{"up", "down"}[notes/8%2])
		case text == "</direction-type>":
			sounds = false
		case text == "</note>" && notes%10 == 0 && sounds && !bytes.HasSuffix(out.Bytes(), []byte("</notations>\n")):
			fmt.Fprintf(&out, "        <notations>\n          <technical>\n            <fingering>%d</fingering>\n          </technical>\n        </notations>\n", 1+notes%5)
		case strings.HasPrefix(text, "<measure "):
			line = append(bytes.TrimSuffix(line, []byte(">\n")), fmt.Sprintf(" width=\"%.2f\">\n", 203.7+float64(measures%7))...)
			if measures%4 == 0 && measures > 0 {
				line = fmt.Appendf(line, "      <print new-%s=\"yes\"/>\n", [...]string{"system", "page"}[measures/4%6/5])
			}
			measures++
		}
		out.Write(line)
	}
	return out.Bytes()
}

// TestEngraved checks that the notes stay what they were.
func TestEngraved(t *testing.T) {
	var doc bytes.Buffer
	want := scoregen.Piano(40, 1)
	if err := musicxml.Write(&doc, want); err != nil {
		t.Fatal(err)
	}
	full := engraved(doc.Bytes())
	f, err := musicxml.Read(bytes.NewReader(full), "invention", musicxml.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Score; len(got.Notes) != len(want.Notes) || len(got.Measures) != 40 || len(got.Warnings) > 0 {
		t.Errorf("%d notes of %d, %d measures, warnings %v", len(got.Notes), len(want.Notes), len(got.Measures), got.Warnings)
	}
	if each := len(full) / bytes.Count(full, []byte("<note ")); each < 350 || each > 392 {
		t.Errorf("%d bytes a note", each)
	}
}

// BenchmarkWhole compares, on the same bytes in one run, a parse into a
// general document tree with reading alone and with the whole study.
// README.md says how to print the ratios.
func BenchmarkWhole(b *testing.B) {
	for _, n := range sizes {
		compare(b, fmt.Sprintf("measures=%d", n), document(b, n))
	}
}

// BenchmarkBare does the same with the music and nothing beside it.
func BenchmarkBare(b *testing.B) { compare(b, "measures=1000", plain(b, 1000)) }

// BenchmarkOneMeasure studies absurd measures: the time a note must not grow
// with their number.
func BenchmarkOneMeasure(b *testing.B) {
	for _, n := range [...]int{1000, 4000, 16000} {
		b.Run(fmt.Sprintf("notes=%d", n), func(b *testing.B) {
			s := oneMeasure(n)
			for b.Loop() {
				if _, err := report.New(&musicxml.File{Name: "invention", Score: s}, report.Options{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/note")
		})
	}
}

// oneMeasure crowds the notes of an invention into one measure of common time.
func oneMeasure(notes int) *score.Score {
	s := scoregen.Piano(notes/10, 1)
	whole := s.Measures[0]
	s.Division *= score.Tick(len(s.Measures))
	whole.Length, whole.Nominal = s.Length(), s.Length()
	s.Measures, s.Notes, s.Slurs = []score.Measure{whole}, s.Notes[:notes], nil
	for i := range s.Notes {
		s.Notes[i].Measure = 0
	}
	return s
}

func compare(b *testing.B, name string, doc []byte) {
	b.Run("what=dom/"+name, func(b *testing.B) { repeat(b, doc, parseTree) })
	b.Run("what=read/"+name, func(b *testing.B) { repeat(b, doc, read) })
	b.Run("what=study/"+name, func(b *testing.B) { repeat(b, doc, study) })
}

func repeat(b *testing.B, doc []byte, do func([]byte) error) {
	b.SetBytes(int64(len(doc)))
	b.ReportAllocs()
	start, rounds := processorTime(), 0
	for b.Loop() {
		if err := do(doc); err != nil {
			b.Fatal(err)
		}
		rounds++
	}
	if used := processorTime() - start; used > 0 {
		b.ReportMetric(float64(used.Nanoseconds())/float64(rounds), "cpu-ns/op")
	}
}

func parseTree(doc []byte) error { return etree.NewDocument().ReadFromBytes(doc) }

func read(doc []byte) error {
	_, err := musicxml.Read(bytes.NewReader(doc), "invention", musicxml.Limits{})
	return err
}

func study(doc []byte) error {
	f, err := musicxml.Read(bytes.NewReader(doc), "invention", musicxml.Limits{})
	if err != nil {
		return err
	}
	r, err := report.New(f, report.Options{})
	if err != nil {
		return err
	}
	return r.Study(io.Discard, "table")
}
