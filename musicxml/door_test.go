package musicxml

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"
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
