package musicxml

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// The scripts read hostile files in a process of their own, which also says if
// it took more time or memory than it may.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"contents": contents})
}

const (
	mostTime   = 20 * time.Second
	mostMemory = 2 << 30
)

// contents reads a file and says what was in it.
func contents() {
	begin := time.Now()
	f, err := Open(os.Args[1])
	if d := cpuTime(time.Since(begin)); d > mostTime {
		fmt.Fprintf(os.Stderr, "TOO SLOW: %v\n", d)
		os.Exit(3)
	}
	if n := peakMemory(); n > mostMemory {
		fmt.Fprintf(os.Stderr, "TOO MUCH MEMORY: %d\n", n)
		os.Exit(3)
	}
	if err != nil {
		fmt.Fprintf(os.Stderr, "hairpin: error: %v\n", err)
		os.Exit(1)
	}
	s := f.Score
	fmt.Printf("parts %d\nmeasures %d\nnotes %d\n", len(s.Parts), len(s.Measures), len(s.Notes))
	for _, w := range s.Warnings {
		fmt.Printf("irregular: %s%s\n", Where{Part: w.Part, Measure: w.Measure}.prefix(), w.Text)
	}
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"measure": scoreFile, "make": makeFile, "cut": cutFile, "pack": packFiles, "oneline": oneLineFile,
		},
	})
}

// scoreFile writes a score: measure FILE CONTENT puts the content into the
// second measure of a part.
func scoreFile(ts *testscript.TestScript, _ bool, args []string) {
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(inMeasure(args[1])), 0o644))
}

func inMeasure(content string) string {
	return `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1">` +
		`<measure number="1"><attributes><divisions>2</divisions></attributes></measure><measure number="2">` + content + `</measure></part></score-partwise>`
}

// oneLineFile checks that a file has exactly one line and that it is readable.
func oneLineFile(ts *testscript.TestScript, _ bool, args []string) {
	s := ts.ReadFile(args[0])
	if strings.Count(s, "\n") != 1 || !strings.HasPrefix(s, "hairpin: error: ") || strings.ContainsAny(s, "\x00\x1b") {
		ts.Fatalf("not one line of error: %q", s)
	}
}

// cutFile keeps the first bytes of a file: cut FROM TO COUNT; a negative count
// leaves so many bytes off.
func cutFile(ts *testscript.TestScript, _ bool, args []string) {
	b := []byte(ts.ReadFile(args[0]))
	n, err := strconv.Atoi(args[2])
	ts.Check(err)
	if n < 0 {
		n += len(b)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), b[:min(n, len(b))], 0o644))
}

// packFiles makes a container: pack FILE ENTRY=SOURCE ...
func packFiles(ts *testscript.TestScript, _ bool, args []string) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, a := range args[1:] {
		name, from, _ := strings.Cut(a, "=")
		ts.Check(addEntry(w, &zip.FileHeader{Name: name, Method: zip.Deflate}, []byte(ts.ReadFile(from))))
	}
	ts.Check(w.Close())
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), out.Bytes(), 0o644))
}

// makeFile makes a large file: make KIND FILE COUNT.
func makeFile(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.Atoi(args[2])
	ts.Check(err)
	b, ok := made(args[0], n)
	if !ok {
		ts.Fatalf("make knows no %s", args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), b, 0o644))
}

const plainNote = `<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice></note>`

func made(kind string, n int) ([]byte, bool) {
	many := func(s string) []byte { return []byte(inMeasure(strings.Repeat(s, n))) }
	switch kind {
	case "deep":
		return []byte(strings.Repeat("<a>", n) + strings.Repeat("</a>", n)), true
	case "spaces":
		return many(" "), true
	case "empty-elements":
		return many("<a/>"), true
	case "notes":
		return many(plainNote), true
	case "chord":
		return []byte(inMeasure(plainNote + strings.Repeat(strings.Replace(plainNote, "<note>", "<note><chord/>", 1), n))), true
	case "tied":
		return many(strings.Replace(plainNote, "<voice>", `<tie type="stop"/><tie type="start"/><voice>`, 1)), true
	case "tied-at-once":
		return []byte(inMeasure(strings.Repeat(strings.Replace(strings.Replace(plainNote, "<voice>", `<tie type="stop"/><tie type="start"/><voice>`, 1), "<duration>1", "<duration>0", 1), n))), true
	case "hairpins":
		return many(`<direction><direction-type><wedge type="crescendo"/></direction-type></direction>` + plainNote), true
	case "hairpins-at-once":
		return many(`<direction><direction-type><wedge type="crescendo" number="2"/><wedge type="stop"/></direction-type></direction>`), true
	case "slurs":
		return many(strings.Replace(plainNote, "</note>", `<notations><slur type="start" number="1"/></notations></note>`, 1)), true
	case "dynamics":
		return many(`<direction><direction-type><dynamics><f/></dynamics><wedge type="diminuendo"/></direction-type></direction>`), true
	case "jumps":
		return many(`<direction><direction-type><segno/></direction-type></direction>` + plainNote), true
	case "endings":
		return many(`<barline><ending number="1" type="start"/><repeat direction="backward"/></barline>` + plainNote), true
	case "keys":
		return many(`<attributes><key number="3"><fifths>1</fifths></key><staves>99</staves></attributes><attributes><transpose><chromatic>2</chromatic></transpose></attributes>`), true
	case "long-text":
		return []byte(inMeasure(`<direction><direction-type><words>` + strings.Repeat("x", n) + `</words></direction-type></direction>`)), true
	case "references":
		return []byte(inMeasure(`<direction><direction-type><words>` + strings.Repeat("&#x41;", n) + `</words></direction-type></direction>`)), true
	case "comments":
		return many("<!---->"), true
	}
	return madeStructure(kind, n)
}

func madeStructure(kind string, n int) ([]byte, bool) {
	switch kind {
	case "attributes":
		var s strings.Builder
		for i := range n {
			fmt.Fprintf(&s, ` a%d=""`, i)
		}
		return []byte("<score-partwise" + s.String() + "/>"), true
	case "attributes-everywhere":
		return []byte("<score-partwise>" + strings.Repeat(`<a b="" c="" d="" e="" f="" g="" h=""/>`, n) + "</score-partwise>"), true
	case "measures":
		return []byte(`<score-partwise><part-list/><part id="P1">` + strings.Repeat(`<measure number="1"/>`, n) + `</part></score-partwise>`), true
	case "parts":
		return []byte(`<score-partwise><part-list/>` + strings.Repeat(`<part id="P1"><measure number="1"/></part>`, n) + `</score-partwise>`), true
	case "zeros":
		return make([]byte, n), true
	case "unclosed-comment":
		return []byte("<!--" + strings.Repeat("- ", n)), true
	case "doctype-quotes":
		return []byte("<!DOCTYPE a [" + strings.Repeat(`<!ENTITY a "b">`, n)), true
	case "bomb":
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		doc := append([]byte("<score-partwise>"), bytes.Repeat([]byte(" "), n)...)
		if addEntry(w, &zip.FileHeader{Name: "score.xml", Method: zip.Deflate}, doc) != nil || w.Close() != nil {
			return nil, false
		}
		return out.Bytes(), true
	case "entries":
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for i := range n {
			if addEntry(w, &zip.FileHeader{Name: fmt.Sprintf("%d.xml", i), Method: zip.Store}, nil) != nil {
				return nil, false
			}
		}
		if w.Close() != nil {
			return nil, false
		}
		return out.Bytes(), true
	}
	return nil, false
}
