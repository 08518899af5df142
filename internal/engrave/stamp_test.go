//go:build !js

package engrave

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf16"
)

// partwise wraps the content of a single measure.
func partwise(content string) string {
	return `<score-partwise><part-list><score-part id="P"><part-name>Solo</part-name></score-part></part-list><part id="P"><measure number="1">` +
		content + `</measure></part></score-partwise>`
}

const oneNote = `<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice><type>quarter</type></note>`

func TestStampRefuses(t *testing.T) {
	deep := strings.Repeat("<a>", 200) + strings.Repeat("</a>", 200)
	for name, src := range map[string]string{
		"nothing":            "",
		"blank":              " \n",
		"no XML":             "This is not a score.",
		"another document":   "<html><body/></html>",
		"timewise":           "<score-timewise></score-timewise>",
		"no note":            partwise(""),
		"crossed tags":       partwise("<note><pitch></note></pitch>"),
		"two roots":          partwise(oneNote) + partwise(oneNote),
		"text after":         partwise(oneNote) + "tail",
		"declaration only":   `<?xml version="1.0"`,
		"unknown entity":     partwise("&boom;" + oneNote),
		"external entity":    `<!DOCTYPE a [<!ENTITY boom SYSTEM "file:///etc/passwd">]>` + partwise("&boom;"+oneNote),
		"too deep":           partwise(deep + oneNote),
		"zero byte":          partwise(oneNote + "\x00"),
		"broken UTF-8":       partwise(oneNote + "\xff\xfe"),
		"unknown encoding":   `<?xml version="1.0" encoding="klingon"?>` + partwise(oneNote),
		"nonsense step":      partwise(strings.Replace(oneNote, ">C<", ">H<", 1)),
		"nonsense octave":    partwise(strings.Replace(oneNote, ">4<", ">four<", 1)),
		"far octave":         partwise(strings.Replace(oneNote, ">4<", ">4000<", 1)),
		"nonsense duration":  partwise(strings.Replace(oneNote, "<duration>1", "<duration>NaN", 1)),
		"negative duration":  partwise(strings.Replace(oneNote, "<duration>1", "<duration>-5", 1)),
		"endless duration":   partwise(strings.Replace(oneNote, "<duration>1", "<duration>1e99", 1)),
		"no divisions":       partwise("<attributes><divisions>0</divisions></attributes>" + oneNote),
		"a thousand staves":  partwise("<attributes><staves>1000</staves></attributes>" + oneNote),
		"nonsense signature": partwise("<attributes><key><fifths>700</fifths></key></attributes>" + oneNote),
	} {
		if _, err := stamp([]byte(src), 100, stretch{}); err == nil {
			t.Errorf("%s was accepted", name)
		} else if name != "nothing" && strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: the message has more than one line: %v", name, err)
		}
	}
}

// A chord's note that no note goes before, as some programs write it after a
// backup, is handed on as a note of its own; what follows keeps its time.
func TestStampTornChord(t *testing.T) {
	member := strings.Replace(oneNote, "<note>", "<note><chord/>", 1)
	for _, c := range []struct {
		content string
		chords  int
		onsets  []float64
	}{
		{member + oneNote, 0, []float64{0, 1}},
		{oneNote + strings.Replace(member, "<chord/>", "<chord></chord>", 1) + oneNote, 1, []float64{0, 0, 1}},
		{oneNote + oneNote + "<backup><duration>2</duration></backup>" + member + oneNote, 0, []float64{0, 1, 0, 0}},
	} {
		s, err := stamp([]byte(partwise("<attributes><divisions>1</divisions></attributes>"+c.content)), 100, stretch{})
		if err != nil {
			t.Fatal(err)
		}
		if n := bytes.Count(s.xml, []byte("<chord")); n != c.chords {
			t.Errorf("%d chords are handed on of %s", n, c.content)
		}
		for i, n := range s.notes {
			if math.Abs(n.onset-c.onsets[i]) > 1e-9 {
				t.Errorf("note %d of %s begins at %v, not %v", i, c.content, n.onset, c.onsets[i])
			}
		}
	}
}

func TestStampRefusesTruncation(t *testing.T) {
	whole := bytes.TrimSpace(evening(t))
	for n := 0; n < len(whole); n += 5 {
		if _, err := stamp(whole[:n], 100, stretch{}); err == nil {
			t.Fatalf("the first %d of %d bytes were accepted", n, len(whole))
		}
	}
}

func TestStampRefusesTooMuch(t *testing.T) {
	if _, err := stamp(long(30), 119, stretch{}); !errors.Is(err, ErrTooLarge) {
		t.Errorf("120 notes: %v, want ErrTooLarge", err)
	}
	if s, err := stamp(long(30), 40, stretch{to: 10}); err != nil || len(s.notes) != 120 {
		t.Errorf("40 notes in the measures drawn: %v", err)
	}
	if _, err := stamp(long(30), 39, stretch{to: 10}); !errors.Is(err, ErrTooLarge) {
		t.Errorf("40 notes drawn where 39 may be: %v, want ErrTooLarge", err)
	}
	if _, err := stamp(make([]byte, maxBytes+1), 100, stretch{}); !errors.Is(err, ErrTooLarge) {
		t.Errorf("too many bytes: %v, want ErrTooLarge", err)
	}
}

func TestStampSaysWhere(t *testing.T) {
	src := bytes.Replace(long(5), []byte(`<measure number="4"><note><pitch><step>F`), []byte(`<measure number="4"><note><pitch><step>X`), 1)
	_, err := stamp(src, 100, stretch{})
	if err == nil || !strings.Contains(err.Error(), "part 1, measure 4") {
		t.Errorf("%v, want the place: part 1, measure 4", err)
	}
}

func TestStampReadsOtherEncodings(t *testing.T) {
	text := partwise(`<direction><direction-type><words>più</words></direction-type></direction>` + oneNote)
	latin := []byte(`<?xml version="1.0" encoding="ISO-8859-1"?>` + strings.ReplaceAll(text, "ù", "\xf9"))
	wide := utf16.Encode([]rune(`<?xml version="1.0" encoding="UTF-16"?>` + text))
	little, big := []byte{0xFF, 0xFE}, []byte{0xFE, 0xFF}
	for _, u := range wide {
		little = binary.LittleEndian.AppendUint16(little, u)
		big = binary.BigEndian.AppendUint16(big, u)
	}
	for name, src := range map[string][]byte{"latin": latin, "little": little, "big": big, "mark": []byte("\xEF\xBB\xBF" + text)} {
		s, err := stamp(src, 100, stretch{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if !bytes.Contains(s.xml, []byte("più")) {
			t.Errorf("%s: the letters are lost", name)
		}
	}
}

func TestStampKeepsTheRest(t *testing.T) {
	s, err := stamp([]byte(partwise(`<attributes><divisions>1</divisions><transpose/></attributes><note id="old" print-dot='no' color="#&quot;"><rest/><duration>1</duration></note>`+oneNote)), 100, stretch{})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`<measure id="M-0-0" number="1">`, `<note id="N-0" print-dot="no" color="#&#34;"><rest/>`, `<note id="N-1"><pitch>`, `<transpose/>`} {
		if !bytes.Contains(s.xml, []byte(want)) {
			t.Errorf("lacks %s in %s", want, s.xml)
		}
	}
	if bytes.Contains(s.xml, []byte("Solo")) {
		t.Error("the name of an only part is handed on")
	}
}

// What passes the check may still be odd: the engraver must answer or fail, not hang or crash.
func TestOddScores(t *testing.T) {
	const usual = `<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>`
	for name, content := range map[string]string{
		"attributes twice":   usual + oneNote,
		"back before start":  `<backup><duration>90</duration></backup>` + oneNote,
		"chord first":        strings.Replace(oneNote, "<note>", "<note><chord/>", 1),
		"beam without end":   strings.Replace(oneNote, "</note>", `<beam number="1">begin</beam></note>`, 1),
		"slur without start": strings.Replace(oneNote, "</note>", `<notations><slur type="stop" number="1"/></notations></note>`, 1),
		"meter of nothing":   `<attributes><time><beats>0</beats><beat-type>0</beat-type></time></attributes>` + oneNote,
		"meter of words":     `<attributes><time><beats>x</beats><beat-type>y</beat-type></time></attributes>` + oneNote,
		"unknown type":       strings.Replace(oneNote, "quarter", "breakfast", 1),
		"wedge only":         `<direction><direction-type><wedge type="crescendo"/></direction-type></direction>` + oneNote,
		"empty note":         `<note/>` + oneNote,
		"tuplet of zero":     strings.Replace(oneNote, "</note>", `<time-modification><actual-notes>0</actual-notes><normal-notes>0</normal-notes></time-modification><notations><tuplet type="start"/></notations></note>`, 1),
		"markup in words":    `<direction><direction-type><words>&lt;script&gt;alert(1)&lt;/script&gt;</words></direction-type></direction>` + oneNote,
	} {
		g, err := engraver(t).Engrave(t.Context(), []byte(partwise(usual+content)), desk)
		if err != nil {
			t.Logf("%s: %v", name, err)
		} else if strings.Contains(g.Systems[0].SVG, "<script") {
			t.Errorf("%s: markup came through", name)
		}
	}
	if _, err := engraver(t).Engrave(t.Context(), evening(t), desk); err != nil {
		t.Errorf("afterwards: %v", err)
	}
}
