package musicxml

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"hairpin/score"
)

// smallLimits keep a fuzzing worker quick; the code they guard is the same.
func smallLimits() Limits {
	return Limits{Bytes: 1 << 20, Ratio: 100, Entries: 20, Depth: 30, Elements: 20000, Notes: 5000, Measures: 500, Parts: 50, Length: 100000}
}

func seed(f *testing.F) {
	f.Helper()
	names, err := filepath.Glob("testdata/*.m*x*")
	if err != nil || len(names) < 20 {
		f.Fatalf("too few seeds: %v %v", names, err)
	}
	for _, name := range names {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
}

// FuzzRead reads anything, and holds what is read to what score and File promise.
func FuzzRead(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, b []byte) {
		file, err := Read(bytes.NewReader(b), "fuzz", smallLimits())
		if err != nil {
			checkError(t, err)
			return
		}
		if !bytes.Equal(file.Bytes(), b) {
			t.Fatal("unedited bytes differ")
		}
		checkScore(t, file.Score)
		checkScore(t, score.Unfold(file.Score))
		checkEdit(t, file)
		checkWrite(t, file.Score)
	})
}

// FuzzDocument wraps the input as the content of a measure, to get deeper into the reader.
func FuzzDocument(f *testing.F) {
	f.Add(`<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>`)
	f.Add(`<attributes><divisions>3</divisions><time><beats>3+2</beats><beat-type>8</beat-type></time><transpose><chromatic>-2</chromatic></transpose></attributes><forward><duration>2</duration></forward>`)
	f.Add(`<direction><direction-type><wedge type="crescendo"/></direction-type><offset>-1.5</offset></direction><note><rest/><duration>1</duration></note><direction><direction-type><wedge type="stop"/></direction-type></direction>`)
	f.Add(`<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind>minor</kind></harmony><barline><ending number="1" type="start"/><repeat direction="backward"/></barline>`)
	f.Fuzz(func(t *testing.T, content string) {
		doc := `<score-partwise><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1"><measure number="1"><note><pitch><step>D</step><octave>5</octave></pitch><duration>1</duration></note></measure><measure number="2">` + content + `</measure></part></score-partwise>`
		file, err := Read(bytes.NewReader([]byte(doc)), "fuzz", smallLimits())
		if err != nil {
			checkError(t, err)
			return
		}
		checkScore(t, file.Score)
		checkScore(t, score.Unfold(file.Score))
		checkEdit(t, file)
		checkWrite(t, file.Score)
	})
}

// FuzzContainer puts the input into a container in place of its index.
func FuzzContainer(f *testing.F) {
	f.Add([]byte(`<container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>`), "a.xml", []byte("<score-partwise/>"))
	f.Add([]byte(`<container/>`), "META-INF/container.xml", []byte("x"))
	f.Fuzz(func(t *testing.T, index []byte, name string, doc []byte) {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for _, e := range []struct {
			name string
			b    []byte
		}{{containerEntry, index}, {name, doc}} {
			if err := addEntry(w, &zip.FileHeader{Name: e.name, Method: zip.Deflate}, e.b); err != nil {
				t.Skip()
			}
		}
		if w.Close() != nil {
			t.Skip()
		}
		if _, err := Read(bytes.NewReader(out.Bytes()), "fuzz", smallLimits()); err != nil {
			checkError(t, err)
		}
	})
}
