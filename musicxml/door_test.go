package musicxml

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"hairpin/score"
)

// container packs entries, names and contents by turns; a name that ends in a
// stroke is a folder entry as zip tools make them, with a deflated nothing in it.
func container(t *testing.T, entries ...string) []byte {
	t.Helper()
	var out bytes.Buffer
	var folders []string
	w := zip.NewWriter(&out)
	for i := 0; i+1 < len(entries); i += 2 {
		h := &zip.FileHeader{Name: entries[i], Method: zip.Deflate}
		if strings.HasSuffix(h.Name, "/") {
			folders = append(folders, h.Name)
			h.Name = h.Name[:len(h.Name)-1] + "#" // as a folder the writer would refuse the content: renamed below
		}
		e, err := w.CreateHeader(h)
		if err == nil {
			_, err = e.Write([]byte(entries[i+1]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	b := out.Bytes()
	for _, name := range folders {
		b = bytes.ReplaceAll(b, []byte(name[:len(name)-1]+"#"), []byte(name))
	}
	return b
}

const scoreIndex = `<?xml version="1.0"?><container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>`

// Folder entries, as most zip tools write them, stay when a score is marked.
func TestContainerWithFolders(t *testing.T) {
	raw := container(t, "META-INF/", "", "META-INF/container.xml", scoreIndex, "pictures/", "", "s.xml", inMeasure(plainNote))
	f := mustRead(t, string(raw))
	g, err := f.Apply([]Edit{{Layer: "a", XML: words}})
	if err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(g.Bytes()), int64(len(g.Bytes())))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range z.File {
		names = append(names, e.Name)
	}
	if got := strings.Join(names, " "); got != "META-INF/ META-INF/container.xml pictures/ s.xml "+keptEntry {
		t.Errorf("entries %s", got)
	}
	if again := mustRead(t, string(g.Bytes())); len(again.Score.Words) != 1 {
		t.Errorf("words %v", again.Score.Words)
	}
	if r, err := g.Remove(); err != nil || !bytes.Equal(r.Bytes(), raw) {
		t.Errorf("the original does not come back (%v)", err)
	}
}

// wide is a text in UTF-16.
func wide(text string, order binary.AppendByteOrder, mark bool) string {
	var b []byte
	if mark {
		text = "\uFEFF" + text
	}
	for _, u := range utf16.Encode([]rune(text)) {
		b = order.AppendUint16(b, u)
	}
	return string(b)
}

// XML processors must read UTF-16 (XML 1.0, 5th edition, 2008, section 2.2), in
// the container's index too; some writers fill it up with zeros.
func TestContainerIndexInUTF16(t *testing.T) {
	for name, index := range map[string]string{
		"little endian":                wide(scoreIndex, binary.LittleEndian, true),
		"big endian":                   wide(scoreIndex, binary.BigEndian, true),
		"little endian without a mark": wide(scoreIndex, binary.LittleEndian, false),
		"little endian, filled up":     wide(scoreIndex, binary.LittleEndian, true) + "\x00\x00\x00\x00",
		"UTF-8, filled up":             scoreIndex + "\x00\x00\x00",
	} {
		// Two scores: without the index it is not known which is meant.
		raw := container(t, "META-INF/container.xml", index, "a.xml", "<a/>", "s.xml", inMeasure(plainNote))
		if _, err := Read(bytes.NewReader(raw), name, Limits{}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Bytes above 127 by the tables of ISO 8859-1, -2 and -15 and of windows-1252
// (IANA, Character Sets; from memory): e with acute, euro, r with caron, quotation mark.
func TestEncodingsOfOneByte(t *testing.T) {
	for _, tt := range []struct{ declared, raw, want string }{
		{"ISO-8859-1", "\xe9", "é"},
		{"latin1", "\xe9", "é"},
		{"iso_8859-2", "\xf8", "ř"},
		{"ISO-8859-15", "\xa4", "€"},
		{"windows-1252", "\x80 \x84", "€ „"},
		{"Windows-1252", "\x92", "’"},
		{"cp1252", "\x85", "…"},
	} {
		doc := `<?xml version="1.0" encoding="` + tt.declared + `"?>` + inMeasure(strings.Replace(words, "here", tt.raw, 1)+plainNote)
		f, err := Read(strings.NewReader(doc), "test", Limits{})
		if err != nil {
			t.Errorf("%s: %v", tt.declared, err)
			continue
		}
		if got := f.Score.Words[0].Text; got != tt.want {
			t.Errorf("%s: %q, want %q", tt.declared, got, tt.want)
		}
		g, err := f.Apply([]Edit{{Layer: "a", XML: strings.Replace(words, "here", tt.want+"→", 1)}})
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(g.Bytes(), []byte(tt.raw+"&#8594;")) || g.Score.Words[1].Text != tt.want+"→" && g.Score.Words[0].Text != tt.want+"→" {
			t.Errorf("%s: written as %q", tt.declared, g.Bytes())
		}
		if r, err := g.Remove(); err != nil || string(r.Bytes()) != doc {
			t.Errorf("%s: the original does not come back (%v)", tt.declared, err)
		}
	}
}

// A byte without a character would not come back: it is refused with its line.
func TestEncodingByteWithoutCharacter(t *testing.T) {
	doc := "<?xml version=\"1.0\" encoding=\"ISO-8859-7\"?>\n" + inMeasure(strings.Replace(words, "here", "\xff", 1)+plainNote)
	if _, err := Read(strings.NewReader(doc), "test", Limits{}); err == nil || !strings.Contains(err.Error(), "line 2: a byte that stands for no character") {
		t.Errorf("error %v", err)
	}
}

// withType is a score whose only words are text, after a document type with
// the subset.
func withType(subset, text string) string {
	return "<!DOCTYPE score-partwise [" + subset + "]>" + inMeasure(strings.Replace(words, "here", text, 1)+plainNote)
}

// Internal entities as the XML standard has them (XML 1.0, 5th edition, 2008,
// section 4; the last case is its appendix D).
func TestInternalEntities(t *testing.T) {
	for _, tt := range []struct{ subset, text, want string }{
		{`<!ENTITY who "Ann &amp; Bo">`, "&who;", "Ann & Bo"},
		{`<!ENTITY who 'A "B" C'>`, "-&who;-&who;-", `-A "B" C-A "B" C-`},
		{`<!ENTITY a "x"><!ENTITY b "&a;y&#x263A;">`, "&b;", "xy☺"},
		{`<!ENTITY b "&a;y"> <!ENTITY a "x">`, "&b;", "xy"},
		{`<!ENTITY a "first"><!ENTITY a "second">`, "&a;", "first"},
		{`<!-- <!ENTITY a "no"> --><!ENTITY a "yes">`, "&a;", "yes"},
		{`<!ENTITY größe "p">`, "&größe;", "p"},
		{`<!ENTITY eacute "own">`, "&eacute;", "own"},
		{`<!ELEMENT x (#PCDATA)>`, "&eacute;", "é"},
		{`<!ENTITY example "An ampersand (&#38;#38;) may be escaped numerically (&#38;#38;#38;).">`, "&example;", "An ampersand (&) may be escaped numerically (&#38;)."},
	} {
		doc := withType(tt.subset, tt.text)
		f, err := Read(strings.NewReader(doc), "test", Limits{})
		if err != nil {
			t.Errorf("%s: %v", tt.subset, err)
			continue
		}
		if got := f.Score.Words[0].Text; got != tt.want {
			t.Errorf("%s: %q, want %q", tt.subset, got, tt.want)
		}
		if string(f.Bytes()) != doc {
			t.Errorf("%s: the bytes differ", tt.subset)
		}
	}
	inAttribute := strings.Replace(withType(`<!ENTITY two "2">`, "x"), `number="2"`, `number="&two;b"`, 1)
	if f := mustRead(t, inAttribute); f.Score.Measures[1].Number != "2b" {
		t.Errorf("measure %s", f.Score.Measures[1].Number)
	}
}

// What would grow without bounds, or reach outside, is refused in no time.
func TestEntitiesWithinBounds(t *testing.T) {
	nest := func(text, count int) string {
		s := fmt.Sprintf(`<!ENTITY e0 "%s">`, strings.Repeat("x", text))
		for i := 1; i <= count; i++ {
			s += fmt.Sprintf(`<!ENTITY e%d "%s">`, i, strings.Repeat(fmt.Sprintf("&e%d;", i-1), 10))
		}
		return s
	}
	many := ""
	for i := range maxEntities + 1 {
		many += fmt.Sprintf(`<!ENTITY e%d "">`, i)
	}
	for _, tt := range []struct{ subset, text, want string }{
		{nest(2, 9), "&e9;", "expand to more than"},
		{nest(0, 9), "&e9;", "expand to more than"},
		{nest(1000, 0), strings.Repeat("&e0;", 2000), "expand to more than"},
		{nest(1, 20), "&e20;", "more than 16 deep"},
		{many, "x", "more than 1000 entities"},
		{`<!ENTITY a "&b;"><!ENTITY b "&a;">`, "&a;", "contains itself"},
		{`<!ENTITY a "<words/>">`, "&a;", "holds elements"},
		{`<!ENTITY a SYSTEM "file:///etc/hosts">`, "&a;", "&a; is not expanded"},
		{`<!ENTITY % a "x">`, "&a;", "&a; is not expanded"},
		{`<!ENTITY a "&#0;">`, "&a;", "is no character"},
		{`<!ENTITY a "x">`, "&b;", "&b; is not expanded"},
	} {
		_, err := Read(strings.NewReader(withType(tt.subset, tt.text)), "test", Limits{})
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%.60s: error %v, want %q", tt.subset, err, tt.want)
		}
	}
}

func heard(s *score.Score) (list []string) {
	for _, n := range s.Notes {
		if n.Measure == 1 && !n.Cue {
			list = append(list, fmt.Sprintf("%d/%d %s", n.Onset-s.Measures[1].Start, s.Division, n.Pitch))
		}
	}
	return list
}

func small(step, duration, staff int) string {
	return fmt.Sprintf(`<note><cue/><pitch><step>%c</step><octave>5</octave></pitch><duration>%d</duration><staff>%d</staff></note>`, "CDEFGAB"[step], duration, staff)
}

func large(step, duration, staff int) string {
	return strings.Replace(small(step, duration, staff), "<cue/>", "", 1)
}

func silence(duration, staff int) string {
	return fmt.Sprintf(`<note><rest/><duration>%d</duration><staff>%d</staff></note>`, duration, staff)
}

// Cue notes sound where their staff has a gap without them, and are a mere help
// where it is full (MusicXML 4.0, element cue: "cue notes are silent").
func TestSmallPrint(t *testing.T) {
	for _, tt := range []struct {
		name, measure string
		auto          int // sounding notes
		warns         bool
	}{
		{"beside a rest for the whole measure", silence(8, 1) + back(8) + small(0, 4, 1) + small(1, 4, 1), 0, false},
		{"beside notes for the whole measure", large(0, 8, 1) + back(8) + small(0, 4, 1) + small(1, 4, 1), 1, false},
		{"filling a staff that has nothing else", small(0, 4, 1) + small(1, 4, 1), 2, true},
		{"filling the second half", large(0, 4, 1) + small(1, 2, 1) + small(2, 2, 1), 3, true},
		{"above a full lower staff", small(0, 8, 1) + back(8) + large(2, 8, 2), 2, true},
		{"in the gap and beside a rest", silence(4, 1) + small(1, 4, 1) + back(8) + small(2, 4, 1), 1, true},
	} {
		f := mustRead(t, inMeasure(tt.measure))
		if got := heard(f.Score); len(got) != tt.auto {
			t.Errorf("%s: %v sound", tt.name, got)
		}
		warned := strings.Contains(fmt.Sprint(f.Score.Warnings), "small print")
		if warned != tt.warns {
			t.Errorf("%s: warnings %v", tt.name, f.Score.Warnings)
		}
		for rule, want := range map[SmallPrint]int{SmallSounds: strings.Count(tt.measure, "<pitch>"), SmallIsSilent: strings.Count(tt.measure, "<pitch>") - strings.Count(tt.measure, "<cue/>")} {
			g, err := f.WithSmallPrint(rule)
			if err != nil {
				t.Fatal(err)
			}
			marked, err := g.Apply([]Edit{{Layer: "a", XML: words}})
			if err != nil {
				t.Fatal(err)
			}
			back, err := marked.Remove()
			if err != nil {
				t.Fatal(err)
			}
			for _, x := range []*File{g, marked, back} {
				if got := heard(x.Score); len(got) != want || strings.Contains(fmt.Sprint(x.Score.Warnings), "small print") {
					t.Errorf("%s, %s: %v sound, want %d", tt.name, rule, got, want)
				}
			}
		}
	}
}

// Neither pitched nor unpitched cue notes make harmony or percussion.
func TestSmallPrintUnpitched(t *testing.T) {
	drum := strings.Replace(small(0, 8, 1), "<pitch><step>C</step><octave>5</octave></pitch>", "<unpitched/>", 1)
	f := mustRead(t, inMeasure(silence(8, 1)+back(8)+drum))
	for _, n := range f.Score.Notes {
		if n.Measure == 1 && (!n.Cue || n.Pitched()) {
			t.Errorf("%+v", n)
		}
	}
}

// An accent on a tied continuation is heard there, not at the note's beginning
// (common practice, no source); a fermata holds all of the note.
func TestAccentOnTiedContinuation(t *testing.T) {
	note := func(duration int, tie, signs string) string {
		return fmt.Sprintf(`<note><pitch><step>C</step><octave>5</octave></pitch><duration>%d</duration>%s<notations>%s</notations></note>`, duration, tie, signs)
	}
	f := mustRead(t, inMeasure(
		note(2, `<tie type="start"/>`, `<articulations><tenuto/></articulations>`)+
			note(2, `<tie type="stop"/><tie type="start"/>`, `<articulations><accent/></articulations>`)+
			note(4, `<tie type="stop"/>`, `<articulations><staccato/></articulations><fermata/>`)))
	n := f.Score.Notes[len(f.Score.Notes)-1]
	q, at := f.Score.Division, f.Score.Measures[1].Start
	if n.Onset != at || n.Duration != 4*q || n.Signs != score.Tenuto|score.FermataSign {
		t.Errorf("note %+v", n)
	}
	if want := fmt.Sprint([]score.LaterSign{{At: at + q, Signs: score.Accent}, {At: at + 2*q, Signs: score.Staccato}}); fmt.Sprint(n.Later) != want {
		t.Errorf("later signs %v, want %s", n.Later, want)
	}
}

// A part whose measure is shorter than another part's ties over the bar line
// all the same.
func TestTieOverShortMeasure(t *testing.T) {
	part := func(id, first, second string) string {
		return `<part id="` + id + `"><measure number="1"><attributes><divisions>2</divisions></attributes>` + first + `</measure><measure number="2">` + second + `</measure></part>`
	}
	tied := func(duration int, tie string) string {
		return fmt.Sprintf(`<note><pitch><step>C</step><octave>5</octave></pitch><duration>%d</duration><tie type="%s"/></note>`, duration, tie)
	}
	f := mustRead(t, `<score-partwise><part-list><score-part id="P1"><part-name/></score-part><score-part id="P2"><part-name/></score-part></part-list>`+
		part("P1", tied(6, "start"), tied(8, "stop"))+part("P2", silence(8, 1), silence(8, 1))+`</score-partwise>`)
	if n := f.Score.Notes; len(n) != 1 || n[0].Duration != 8*f.Score.Division || len(n[0].Source) != 2 {
		t.Errorf("notes %+v", n)
	}
	if strings.Contains(fmt.Sprint(f.Score.Warnings), "tie") {
		t.Errorf("warnings %v", f.Score.Warnings)
	}
}
