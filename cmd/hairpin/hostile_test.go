package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// hostile is a file that no command may use: each says so in one line with the
// file's name and what want tells, and leaves nothing behind.
type hostile struct {
	name, ext, content string
	want               string
}

func TestHostileFiles(t *testing.T) {
	cases := hostileFiles(t)
	t.Chdir(t.TempDir())
	if len(cases) < 100 {
		t.Fatalf("only %d cases", len(cases))
	}
	for i, h := range cases {
		file := fmt.Sprintf("h%d.%s", i, h.ext)
		t.Run(h.name, func(t *testing.T) {
			if err := os.WriteFile(file, []byte(h.content), 0o644); err != nil {
				t.Fatal(err)
			}
			defer os.Remove(file)
			for _, args := range hostileCommands(file) {
				h.check(t, file, args)
			}
			h.checkSurvey(t, file)
		})
	}
}

func hostileCommands(file string) [][]string {
	return [][]string{
		{"contents", file}, {"contents", "--format", "json", file},
		{"study", file}, {"chords", "--format", "tsv", file}, {"levels", "--format", "tsv", file}, {"explain", file, "--at", "1:1"},
		{"annotate", file, "-o", "out.musicxml"}, {"annotate", file, "--remove", "-o", "out.musicxml"}, {"reduce", file, "-o", "out.musicxml"},
		{"listen", file, "-o", "out.mid"}, {"report", file, "-o", "out.html"},
	}
}

func (h hostile) check(t *testing.T, file string, args []string) {
	t.Helper()
	var out, errs bytes.Buffer
	status := run(args, strings.NewReader(""), &out, &errs)
	lines := strings.Split(strings.TrimSuffix(errs.String(), "\n"), "\n")
	if status != unusable || out.Len() > 0 || len(lines) > 2 {
		t.Errorf("%v: status %d, %d bytes of output, errors %q", args, status, out.Len(), errs.String())
	}
	if !strings.HasPrefix(lines[0], "hairpin: error: "+file+": ") || !regexp.MustCompile(h.want).MatchString(lines[0]) {
		t.Errorf("%v: %q does not say %q", args, lines[0], h.want)
	}
	if len(lines) == 2 && !strings.HasPrefix(lines[1], "hint: ") || len(lines[0]) > 500 || strings.ContainsAny(errs.String(), "\x00\x1b\r") {
		t.Errorf("%v: errors %q", args, errs.String())
	}
	if left, _ := filepath.Glob("*"); len(left) != 1 {
		t.Errorf("%v leaves %q", args, left)
	}
}

// checkSurvey: among many scores a bad one is a row, and no reason to stop.
func (h hostile) checkSurvey(t *testing.T, file string) {
	t.Helper()
	var out, errs bytes.Buffer
	status := run([]string{"survey", file, "--format", "ndjson"}, strings.NewReader(""), &out, &errs)
	if status == wrongUsage || strings.Count(out.String(), "\n") != 1 || !strings.Contains(out.String(), `"error"`) {
		t.Errorf("survey: status %d, %q, errors %q", status, out.String(), errs.String())
	}
}

func hostileFiles(t *testing.T) []hostile {
	demo, err := os.ReadFile(filepath.Join("..", "..", "testdata", "etude-millrace.musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	list := append(hostileXML(), hostileValues()...)
	list = append(list, truncated(string(demo))...)
	return append(list, hostileContainers(t, demo)...)
}

const hostileNote = `<note><pitch><step>C</step><octave>4</octave></pitch><duration>2</duration></note>`

// hostileScore has the content in the second measure of its first part.
func hostileScore(content string) string {
	return `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>X</part-name></score-part></part-list>` +
		`<part id="P1"><measure number="1"><attributes><divisions>2</divisions></attributes>` + hostileNote + `</measure>` +
		`<measure number="2">` + content + `</measure></part></score-partwise>`
}

func hostileXML() []hostile {
	words := func(s string) string {
		return hostileScore(`<direction><direction-type><words>` + s + `</words></direction-type></direction>`)
	}
	in := func(doctype, text string) string { return "<!DOCTYPE score-partwise [" + doctype + "]>" + words(text) }
	return []hostile{
		{"empty", "musicxml", "", "the file is empty"},
		{"zeros", "musicxml", strings.Repeat("\x00", 5000), "control character"},
		{"a page", "musicxml", "<html><body/></html>", "this is a web page"},
		{"a letter", "xml", "Dear Anna,", "this is plain text"},
		{"a picture", "xml", "\x89PNG\r\n\x1a\n" + strings.Repeat("\xff\x00", 400), "this is a picture"},
		{"an opus", "xml", "<opus><score/></opus>", "opus"},
		{"no part", "xml", "<score-partwise><part-list/></score-partwise>", "no part with a measure"},
		{"no measure", "xml", `<score-partwise><part id="P1"/></score-partwise>`, "no part with a measure"},
		{"two roots", "xml", hostileScore("") + "<a/>", "second root"},
		{"crossed tags", "xml", hostileScore("<a><b></a></b>"), "part P1: measure 2: line 1: <b> is closed by </a>"},
		{"attribute without a value", "xml", hostileScore("<note dynamics/>"), "part P1: measure 2: .*no value"},
		{"attribute twice", "xml", hostileScore(`<note a="" a=""/>`), "twice"},
		{"unquoted attribute", "xml", hostileScore(`<note a=b/>`), "not quoted"},
		{"open comment", "xml", hostileScore(`<!-- `), "part P1: measure 2: .*comment does not end"},
		{"open text section", "xml", hostileScore(`<words><![CDATA[ </words>`), "CDATA section does not end"},
		{"a stray end", "xml", hostileScore("]]>"), "]]> in text"},
		{"control character", "xml", words("a\x01b"), "part P1: measure 2: .*control character 0x1"},
		{"character out of range", "xml", words("&#1114112;"), "no character"},
		{"character zero", "xml", words("&#0;"), "no character"},
		{"surrogate", "xml", words("&#xD800;"), "no character"},
		{"open reference", "xml", words("a & b"), "no reference"},
		{"undeclared entity", "xml", words("&x;"), "not declared"},
		{"expanding entities", "xml", in(`<!ENTITY a "ha"><!ENTITY b "`+strings.Repeat("&a;", 100)+`"><!ENTITY c "`+strings.Repeat("&b;", 100)+`">`, strings.Repeat("&c;", 1000)), "expand to more than 65536 bytes"},
		{"entity of a file", "xml", in(`<!ENTITY x SYSTEM "file:///etc/hosts">`, "&x;"), "&x; is not expanded"},
		{"entity of a page", "xml", in(`<!ENTITY x SYSTEM "http://127.0.0.1:9/">`, "&x;"), "&x; is not expanded"},
		{"entity of itself", "xml", in(`<!ENTITY x "&x;">`, "&x;"), "&x; contains itself"},
		{"entity in an attribute", "xml", `<!DOCTYPE a [<!ENTITY x SYSTEM "1">]><score-partwise version="&x;"/>`, "&x; is not expanded"},
		{"open document type", "xml", `<!DOCTYPE a [<!ENTITY x "`, "document type does not end"},
		{"deep", "xml", strings.Repeat("<a>", 200), "nested more than 100 deep"},
		{"deep in a measure", "xml", hostileScore(strings.Repeat("<a>", 200)), "part P1: measure 2: elements nested more than 100 deep"},
		{"many attributes", "xml", "<a " + strings.Repeat(`b="" `, 5), "twice"},
		{"unknown encoding", "xml", `<?xml version="1.0" encoding="EBCDIC"?>` + hostileScore(""), `encoding "ebcdic" is not read`},
		{"bytes of another encoding", "xml", words("Fl\xf6te"), "0xf6 is not UTF-8"},
		{"half a wide character", "xml", "\xff\xfe<\x00a", "half a UTF-16 character"},
		{"half a pair", "xml", "\xfe\xff\x00<\xd8\x00", "half a UTF-16 surrogate"},
	}
}

// hostileValues are numbers that are none, or out of range. All are told with part and measure.
func hostileValues() []hostile {
	note := func(pitch, duration string) string {
		return "<note><pitch>" + pitch + "</pitch><duration>" + duration + "</duration></note>"
	}
	c4 := "<step>C</step><octave>4</octave>"
	table := []struct{ content, want string }{
		{note(c4, "two"), `a duration of "two"`}, {note(c4, "-1"), `"-1"`}, {note(c4, ""), `""`}, {note(c4, "1e9"), `"1e9"`},
		{note(c4, "NaN"), `"NaN"`}, {note(c4, "Infinity"), `"Infinity"`}, {note(c4, "0x10"), `"0x10"`}, {note(c4, "1,5"), `"1,5"`},
		{note(c4, "9999999999999999999999"), `"9999999`}, {note(c4, "900000000"), "longer than 100000 quarter notes"},
		{note("<step>H</step><octave>4</octave>", "2"), `step "H"`}, {note("<octave>4</octave>", "2"), `step ""`},
		{note("<step>C</step>", "2"), "without an octave"}, {note("<step>C</step><octave>99</octave>", "2"), `octave "99"`},
		{note("<step>C</step><octave>four</octave>", "2"), `octave "four"`}, {note("<step>C</step><alter>1000</alter><octave>4</octave>", "2"), `alteration of "1000"`},
		{note("<step>C</step><alter>sharp</alter><octave>4</octave>", "2"), `alteration of "sharp"`},
		{"<backup><duration>x</duration></backup>", `backup of "x"`}, {"<backup/>", `backup of ""`},
		{"<forward><duration>-3</duration></forward>", `forward of "-3"`}, {"<forward><duration>99999999999</duration></forward>", `forward of "99999999999"`},
		{"<attributes><divisions>0</divisions></attributes>", `divisions of "0"`}, {"<attributes><divisions>-4</divisions></attributes>", `divisions of "-4"`},
		{"<attributes><divisions>many</divisions></attributes>", `divisions of "many"`}, {"<attributes><divisions>5000000</divisions></attributes>", "more than 1000000 divisions"},
		{"<attributes><key><fifths>100</fifths></key></attributes>", `key of "100" fifths`}, {"<attributes><key><fifths>G</fifths></key></attributes>", `key of "G" fifths`},
		{"<attributes><staves>-1</staves></attributes>", `staves of "-1"`}, {"<attributes><staves>99999</staves></attributes>", `staves of "99999"`},
		{"<attributes><transpose><chromatic>500</chromatic></transpose></attributes>", `transposition of "500"`},
		{"<attributes><transpose/></attributes>", `transposition of ""`},
		{"<attributes><transpose><chromatic>1</chromatic><octave-change>99</octave-change></transpose></attributes>", `transposition of "99" octaves`},
		{"<direction><direction-type><words>x</words></direction-type><offset>soon</offset></direction>", `offset of "soon"`},
	}
	var list []hostile
	for _, v := range table {
		list = append(list, hostile{"value " + v.want, "musicxml", hostileScore(hostileNote + v.content), "part P1: measure 2: .*" + v.want})
	}
	return list
}

// truncated cuts a score at places spread over it. Within a measure the message
// names it.
func truncated(doc string) (list []hostile) {
	const cuts = 40
	for i := 1; i <= cuts; i++ {
		end := len(doc) * i / (cuts + 1)
		want := "line "
		if m := lastMeasure(doc[:end]); m != "" {
			want = "part [^ ]+: measure " + m + ": line "
		}
		list = append(list, hostile{fmt.Sprintf("cut after %d bytes", end), "musicxml", doc[:end], want})
	}
	return list
}

// lastMeasure is the number of the measure that is open at the end of a text, "" if none is.
func lastMeasure(s string) string {
	all := regexp.MustCompile(`<measure number="(\d+)"[^>]*>|</measure>`).FindAllStringSubmatch(s, -1)
	if len(all) == 0 {
		return ""
	}
	return all[len(all)-1][1]
}

func hostileContainers(t *testing.T, demo []byte) (list []hostile) {
	index := `<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>`
	pack := func(entries ...string) string { return packed(t, entries...) }
	good := pack("META-INF/container.xml", index, "s.xml", string(demo))
	add := func(name, content, want string) { list = append(list, hostile{name, "mxl", content, want}) }
	add("container: index names what is not there", pack("META-INF/container.xml", index, "a.txt", "x"), "not in it")
	add("container: index is broken", pack("META-INF/container.xml", "<container>", "s.xml", string(demo)), "META-INF/container.xml: line 1")
	add("container: index names none", pack("META-INF/container.xml", "<container/>", "s.xml", string(demo)), "names no score")
	add("container: path out of it", pack("META-INF/container.xml", strings.Replace(index, "s.xml", "../../s.txt", 1), "a.xml", "", "b.xml", ""), "not in it")
	add("container: two scores, no index", pack("a.xml", string(demo), "b.xml", string(demo)), "holds no score")
	add("container: nothing in it", pack(), "holds no score")
	add("container: score is empty", pack("META-INF/container.xml", index, "s.xml", ""), "the file is empty")
	add("container: score is a container", pack("META-INF/container.xml", index, "s.xml", good), ".")
	add("container: bomb", pack("META-INF/container.xml", index, "s.xml", strings.Repeat(" ", 8<<20)), "unpacks to more than")
	add("container: value", pack("META-INF/container.xml", index, "s.xml", hostileScore("<backup/>")), `part P1: measure 2: a backup of ""`)
	add("container: many entries", pack(strings.Split(strings.Repeat("x,,", 1001), ",")[:2002]...), "more than 1000 entries")
	for i := 1; i <= 12; i++ {
		n := len(good) * i / 13
		add(fmt.Sprintf("container: cut after %d bytes", n), good[:n], "the compressed file is damaged")
	}
	middle := []byte(good)
	for i := len(middle) / 2; i < len(middle)/2+40; i++ {
		middle[i] ^= 0x55
	}
	add("container: bytes changed", string(middle), "the compressed file is damaged|line ")
	return list
}

// packed is a container of names and contents by turns.
func packed(t *testing.T, entries ...string) string {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for i := 0; i+1 < len(entries); i += 2 {
		e, err := w.Create(entries[i])
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
	return out.String()
}

// What a limit refuses is read once the limit is raised.
func TestLimitsRaised(t *testing.T) {
	t.Chdir(t.TempDir())
	many := append(strings.Split(strings.Repeat("x,,", 1001), ",")[:2002], "s.xml", hostileScore(""))
	for option, content := range map[string]string{
		"--limit-ratio=100000": packed(t, "s.xml", hostileScore(strings.Repeat(" ", 8<<20))),
		"--limit-entries=2000": packed(t, many...),
		"--limit-depth=300":    hostileScore(strings.Repeat("<a>", 200) + strings.Repeat("</a>", 200)),
		"--limit-parts=600":    strings.Replace(hostileScore(""), "</part>", "</part>"+strings.Repeat(`<part id="P1"><measure number="1"/></part>`, 510), 1),
	} {
		if err := os.WriteFile("s.mxl", []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, raised := range []bool{false, true} {
			args := []string{"contents", "s.mxl"}
			if raised {
				args = append(args, option)
			}
			var out, errs bytes.Buffer
			if status := run(args, strings.NewReader(""), &out, &errs); (status == done) != raised {
				t.Errorf("%v: status %d, %q", args, status, errs.String())
			}
			if name, _, _ := strings.Cut(option, "="); !raised && !strings.Contains(errs.String(), name+" N") {
				t.Errorf("%v: %q does not name %s", args, errs.String(), name)
			}
		}
	}
}
