package musicxml_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hairpin/internal/golden"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/scoregen"
)

// Everything that is read from the scores that show one thing each and from the
// demos, and what is written of it. After a change that is meant, write the sums
// anew with HAIRPIN_UPDATE=1 go test ./musicxml -run Golden; package golden says
// how to see what changed.
func TestGoldenScores(t *testing.T) {
	var sums golden.Sums
	for _, path := range sources(t) {
		f, err := musicxml.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(path)
		sums.Add(t, name+" read", f.Score)
		sums.Add(t, name+" document", f.Document())
		again(t, &sums, name, f.Score)
		for m := range f.Score.Measures {
			edited(t, &sums, fmt.Sprintf("%s edited %d", name, m), f, m)
		}
	}
	for seed := range uint64(30) {
		again(t, &sums, fmt.Sprint("medley ", seed), scoregen.Medley(3, seed))
	}
	sums.File(t, "scores.tsv")
}

func sources(t *testing.T) (out []string) {
	for _, pattern := range []string{"testdata/*.musicxml", "testdata/*.mxl", "../testdata/*.musicxml"} {
		paths, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, paths...)
	}
	return out
}

// again writes a score and reads it.
func again(t *testing.T, sums *golden.Sums, name string, s *score.Score) {
	var b bytes.Buffer
	if err := musicxml.Write(&b, s); err != nil {
		sums.Add(t, name+" not written", err)
		return
	}
	sums.Add(t, name+" written", b.Bytes())
	f, err := musicxml.Read(&b, "written", musicxml.Limits{})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	sums.Add(t, name+" read again", f.Score)
}

// edited puts a remark into a measure, on its start and inside it.
func edited(t *testing.T, sums *golden.Sums, name string, f *musicxml.File, m int) {
	measure := f.Score.Measures[m]
	var edits []musicxml.Edit
	for part := range f.Score.Parts {
		for _, at := range []score.Tick{measure.Start, measure.Start + measure.Length/3} {
			edits = append(edits, musicxml.Edit{Layer: "remarks", Part: part, At: at, Staff: 1,
				XML: "<direction placement=\"above\"><direction-type><words>here</words></direction-type></direction>"})
		}
	}
	got, err := f.Apply(edits)
	if err != nil {
		sums.Add(t, name, err)
		return
	}
	sums.Add(t, name, got.Document())
	back, err := got.Remove("remarks")
	if err != nil || !bytes.Equal(back.Document(), f.Document()) {
		t.Errorf("%s: taking the edits away does not give the document back: %v", name, err)
	}
}

// What is said of documents that are hurt: cut off, a sign changed, a name or a
// value changed. There is one sum for each kind of hurt of each document.
func TestGoldenHurt(t *testing.T) {
	var sums golden.Sums
	for _, path := range sources(t) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if len(text) > 20_000 {
			continue
		}
		name := filepath.Base(path)
		sums.Add(t, name+" cut", cut(text))
		for _, sign := range []string{"<", ">", "&", "\"", "\x01", "/", "9"} {
			sums.Add(t, fmt.Sprintf("%s with %q", name, sign), signed(text, sign))
		}
		sums.Add(t, name+" misnamed", misnamed(string(text)))
		for _, value := range []string{"-1", "0", "1e9", "x", ""} {
			sums.Add(t, fmt.Sprintf("%s with the value %q", name, value), valued(string(text), value))
		}
	}
	sums.File(t, "hurt.tsv")
}

// places are some twelve in a text.
func places(text []byte) (out []int) {
	for at := 7; at < len(text); at += len(text)/12 + 1 {
		out = append(out, at)
	}
	return out
}

func cut(text []byte) []byte {
	var b bytes.Buffer
	for _, at := range places(text) {
		b.Write(told(text[:at]))
	}
	return b.Bytes()
}

func signed(text []byte, sign string) []byte {
	var b bytes.Buffer
	for _, at := range places(text) {
		b.Write(told(slices.Concat(text[:at], []byte(sign), text[at+1:])))
	}
	return b.Bytes()
}

func misnamed(text string) []byte {
	var b bytes.Buffer
	for _, word := range []string{"duration", "divisions", "step", "octave", "part id", "beats", "fifths", "number", "voice", "staff", "</measure>", "</part>"} {
		b.Write(told([]byte(strings.Replace(text, word, "x"+word, 1))))
	}
	return b.Bytes()
}

func valued(text, value string) []byte {
	var b bytes.Buffer
	for _, element := range []string{"duration", "divisions", "octave", "beats", "beat-type", "fifths", "staff", "voice", "alter", "offset"} {
		b.Write(told([]byte(with(text, element, value))))
	}
	return b.Bytes()
}

// with sets the last element of a name.
func with(text, element, value string) string {
	at := strings.LastIndex(text, "<"+element+">")
	if at < 0 {
		return text
	}
	at += len(element) + 2
	end := strings.Index(text[at:], "<")
	return text[:at] + value + text[at+end:]
}

// told is what a document gives: a score's text, or an error.
func told(text []byte) []byte {
	f, err := musicxml.Read(bytes.NewReader(text), "hurt", musicxml.Limits{})
	if err != nil {
		return golden.Dump(err)
	}
	return golden.Dump(f.Score)
}

// Each limit just met and just passed.
func TestGoldenLimits(t *testing.T) {
	var sums golden.Sums
	text, err := os.ReadFile("testdata/two-voices-backup.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	for n := range 60 {
		for i, l := range []musicxml.Limits{{Depth: n}, {Notes: n}, {Measures: n}, {Parts: n}, {Divisions: int64(n)}, {Length: int64(n)}, {Elements: 4 * n}, {Bytes: int64(n * n)}} {
			_, err := musicxml.Read(bytes.NewReader(text), "limited", l)
			if err == nil {
				err = errors.New("read")
			}
			sums.Add(t, fmt.Sprint("limit ", i, " of ", n), err)
		}
	}
	sums.File(t, "limits.tsv")
}
