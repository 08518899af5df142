package musicxml

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hairpin/score"
)

func fixtures(t *testing.T) []string {
	t.Helper()
	names, err := filepath.Glob("testdata/*.m*x*")
	if err != nil || len(names) < 20 {
		t.Fatalf("fixtures: %v %v", names, err)
	}
	return names
}

// Read, edit nothing, write: identical bytes. And every fixture can be marked
// and given back.
func TestRoundTrip(t *testing.T) {
	for _, name := range fixtures(t) {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Open(name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(f.Bytes(), b) {
			t.Errorf("%s: bytes differ", name)
		}
		if g, err := f.Apply(nil); err != nil || !bytes.Equal(g.Bytes(), b) {
			t.Errorf("%s: bytes differ after no edit: %v", name, err)
		}
		checkEdit(t, f)
	}
}

const words = `<direction placement="above"><direction-type><words>here</words></direction-type></direction>`

func TestApply(t *testing.T) {
	const part = `<score-partwise><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1"><measure number="1">
  <attributes><divisions>2</divisions><staves>2</staves></attributes>
  <note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration><staff>1</staff></note>
  <note><chord/><pitch><step>E</step><octave>5</octave></pitch><duration>4</duration><staff>1</staff></note>
  <note><rest/><duration>4</duration><staff>1</staff></note>
  <backup><duration>8</duration></backup>
  <note><pitch><step>C</step><octave>3</octave></pitch><duration>2</duration><staff>2</staff></note>
  <note><pitch><step>D</step><octave>3</octave></pitch><duration>6</duration><staff>2</staff></note>
</measure></part></score-partwise>`
	f := mustRead(t, part)
	q := f.Score.Division
	tests := []struct {
		name   string
		edit   Edit
		before string // what follows the insertion
		inside string // what it must have
	}{
		{"before the note of its staff", Edit{At: 0, Staff: 2}, `<note><pitch><step>C</step><octave>3`, "<staff>2</staff>"},
		{"upper staff", Edit{At: 0, Staff: 1}, `<note><pitch><step>C</step><octave>5`, "<staff>1</staff>"},
		{"no staff stated", Edit{At: 0}, `<note><pitch><step>C</step><octave>5`, "<words>"},
		{"where only the other staff has a note", Edit{At: q, Staff: 1}, `<note><pitch><step>D`, "<staff>1</staff>"},
		{"rest of its staff", Edit{At: 2 * q, Staff: 1}, `<note><rest/>`, "<staff>1</staff>"},
		{"between notes", Edit{At: 3 * q, Staff: 2}, `<note><rest/>`, "<offset>2</offset><staff>2</staff>"},
		{"half a division", Edit{At: q / 4, Staff: 2}, `<note><pitch><step>C</step><octave>3`, "<offset>0.5</offset>"},
		{"end of the measure", Edit{At: 4 * q, End: true}, "<backup>", "<words>"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tt.edit.Layer, tt.edit.XML = "test", words
			g, err := f.Apply([]Edit{tt.edit})
			if err != nil {
				t.Fatal(err)
			}
			text := string(g.Bytes())
			begin, end := strings.Index(text, "<?hairpin begin test?>"), strings.Index(text, "<?hairpin end?>")
			if begin < 0 || end < begin {
				t.Fatalf("no insertion in\n%s", text)
			}
			if rest := text[end+len("<?hairpin end?>"):]; !strings.HasPrefix(rest, tt.before) {
				t.Errorf("stands before %.60q, not %q", rest, tt.before)
			}
			if in := text[begin:end]; !strings.Contains(in, tt.inside) {
				t.Errorf("insertion %q lacks %q", in, tt.inside)
			}
			if w := g.Score.Words; len(w) != 1 || w[0].At*f.Score.Division != tt.edit.At*g.Score.Division {
				t.Errorf("read back as %+v, wanted at %d of %d", w, tt.edit.At, f.Score.Division)
			}
		})
	}
}

func mustRead(t *testing.T, doc string) *File {
	t.Helper()
	f, err := Read(strings.NewReader(doc), "test", Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestApplyOrderAndLayers(t *testing.T) {
	f := mustRead(t, inMeasure("\r\n\t"+plainNote))
	at := f.Score.Measures[1].Start
	one := strings.Replace(words, "here", "one", 1)
	two := strings.Replace(words, "here", "two", 1) + "\n" + `<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>`
	g, err := f.Apply([]Edit{{At: at, Layer: "a", XML: one}, {At: at, Layer: "a", XML: two}, {At: at, Layer: "b", XML: one}})
	if err != nil {
		t.Fatal(err)
	}
	want := "\r\n\t<?hairpin begin a?>\r\n\t" + one + "\r\n\t" + strings.ReplaceAll(two, "\n", "\r\n") + "\r\n\t<?hairpin end?>" +
		"<?hairpin begin b?>\r\n\t" + one + "\r\n\t<?hairpin end?>" + plainNote
	if text := string(g.Bytes()); !strings.Contains(text, want) {
		t.Errorf("got\n%q\nwant in it\n%q", text, want)
	}
	if got := strings.Join(g.Layers(), " "); got != "a b" {
		t.Errorf("layers %q", got)
	}
	if r, err := g.Remove("a"); err != nil || strings.Join(r.Layers(), " ") != "b" || len(r.Score.Words) != 1 || len(r.Score.Symbols) != 0 {
		t.Errorf("removing a: %v %v", err, r)
	}
	if r, err := g.Remove(); err != nil || !bytes.Equal(r.Bytes(), f.Bytes()) {
		t.Errorf("removing all does not give the original back: %v", err)
	}
}

func TestApplyRefuses(t *testing.T) {
	f := mustRead(t, inMeasure(plainNote))
	tests := []struct{ edit, want string }{
		{"", "is empty"},
		{"<note/>", "<note> cannot be inserted"},
		{"<direction/>", "<direction> is empty"},
		{"<direction><direction-type>", "closed by"},
		{"<direction><direction-type/><offset>1</offset></direction>", "added by Apply"},
	}
	for _, tt := range tests {
		_, err := f.Apply([]Edit{{Layer: "a", XML: tt.edit}})
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%q: error %v, want %q", tt.edit, err, tt.want)
		}
	}
	for _, e := range []Edit{{Part: 1, Layer: "a", XML: words}, {Layer: "a b", XML: words}, {Layer: "", XML: words}} {
		if _, err := f.Apply([]Edit{e}); err == nil {
			t.Errorf("%+v was applied", e)
		}
	}
}

// A mark in a character set that lacks its letters is written as references.
func TestApplyKeepsEncoding(t *testing.T) {
	for name, want := range map[string]string{
		"encoding-latin1":              "d\xfc&#8594;",
		"encoding-utf8-bom-crlf":       "dü→",
		"encoding-utf16-little-endian": "d\x00\xfc\x00\x92\x21",
		"encoding-utf16-big-endian":    "\x00d\x00\xfc\x21\x92",
	} {
		f, err := Open("testdata/" + name + ".musicxml")
		if err != nil {
			t.Fatal(err)
		}
		g, err := f.Apply([]Edit{{Layer: "a", XML: strings.Replace(words, "here", "dü→", 1)}})
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(g.Bytes(), []byte(want)) {
			t.Errorf("%s: %q is not in the result", name, want)
		}
		again, err := Read(bytes.NewReader(g.Bytes()), name, Limits{})
		if err != nil || len(again.Score.Words) != 1 || again.Score.Words[0].Text != "dü→" {
			t.Errorf("%s: read back: %v", name, err)
		}
	}
}

func TestContainerKeepsItsOtherEntries(t *testing.T) {
	f, err := Open("testdata/container.mxl")
	if err != nil {
		t.Fatal(err)
	}
	g, err := f.Apply([]Edit{{Layer: "a", XML: words}})
	if err != nil {
		t.Fatal(err)
	}
	before, after := rawEntries(t, f.Bytes()), rawEntries(t, g.Bytes())
	for name, b := range before {
		if name != "music/song.musicxml" && !bytes.Equal(after[name], b) {
			t.Errorf("%s was changed", name)
		}
	}
	if len(after) != len(before)+1 || after[keptEntry] == nil {
		t.Errorf("%d entries, %d before", len(after), len(before))
	}
	// A second layer keeps the first original; taking one out still leaves the other.
	h, err := g.Apply([]Edit{{Layer: "b", XML: words}})
	if err != nil {
		t.Fatal(err)
	}
	if h, err = h.Remove("a"); err != nil || strings.Join(h.Layers(), "") != "b" {
		t.Fatalf("layers %v, %v", h.Layers(), err)
	}
	if h, err = h.Remove("b"); err != nil || !bytes.Equal(h.Bytes(), f.Bytes()) {
		t.Errorf("removing both does not give the original back: %v", err)
	}
}

func rawEntries(t *testing.T, b []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	list := map[string][]byte{}
	for _, e := range z.File {
		r, err := e.OpenRaw()
		if err != nil {
			t.Fatal(err)
		}
		if list[e.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	return list
}

// If someone else changed the document, the kept original is not brought back over it.
func TestRemoveKeepsOthersChanges(t *testing.T) {
	f, err := Open("testdata/container.mxl")
	if err != nil {
		t.Fatal(err)
	}
	g, err := f.Apply([]Edit{{Layer: "a", XML: words}})
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(g.tree.src, "<mf/>", "<ff/>", 1)
	if g, err = g.withText(text); err != nil {
		t.Fatal(err)
	}
	r, err := g.Remove()
	if err != nil || r.Score.Dynamics[0].Mark != "ff" || len(r.Layers()) != 0 {
		t.Errorf("%v, dynamics %v", err, r.Score.Dynamics)
	}
}

func TestEncode(t *testing.T) {
	plain, err := Open("testdata/encoding-latin1.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	packed, err := plain.Encode("x.mxl")
	if err != nil {
		t.Fatal(err)
	}
	again, err := Read(bytes.NewReader(packed), "x.mxl", Limits{})
	if err != nil {
		t.Fatal(err)
	}
	doc, err := again.Encode("x.musicxml")
	if err != nil || !bytes.Equal(doc, plain.Bytes()) || !again.Compressed() || plain.Compressed() {
		t.Errorf("packing changed the document: %v", err)
	}
}

func TestFreeNumbers(t *testing.T) {
	f, err := Open("testdata/hairpins-stop-before-start-niente-open.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	if n := f.FreeNumbers(0, "wedge"); n[0] > oldNumbers {
		t.Errorf("wedge numbers %d", n)
	}
	g := mustRead(t, inMeasure(`<direction><direction-type><wedge type="crescendo" number="6"/></direction-type></direction>`))
	if n := g.FreeNumbers(0, "wedge"); n[0] != 5 || len(n) != 15 || n[5] != 16 {
		t.Errorf("wedge numbers %d", n)
	}
}

// Timewise documents have their measures the other way round.
func TestApplyTimewise(t *testing.T) {
	f, err := Open("testdata/timewise-parts-in-measures.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	at := f.Score.Measures[1].Start
	g, err := f.Apply([]Edit{{Part: 1, At: at, Layer: "a", XML: words}})
	if err != nil {
		t.Fatal(err)
	}
	want := score.Place{At: at, Part: 1, Staff: 1}
	if w := g.Score.Words; len(w) != 1 || w[0].Place != want {
		t.Errorf("words %+v", w)
	}
}
