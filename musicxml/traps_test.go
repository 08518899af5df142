package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// A trap is a score in which a hasty reader goes wrong. Parts are lists of
// measures; two divisions are a quarter note, and unless a trap says
// otherwise the metre is 4/4. The expected values were worked out by hand from
// the MusicXML 4.0 specification (W3C Music Notation Community Group, 2021) and
// from what a player does (common practice, no source).
type trap struct {
	name  string
	parts [][]string
	want  map[string]string
}

func TestTraps(t *testing.T) {
	traps := slices.Concat(noteTraps(), lengthTraps(), markTraps(), orderTraps())
	for _, tt := range traps {
		t.Run(tt.name, func(t *testing.T) {
			f, err := Read(strings.NewReader(trapScore(tt.parts)), "trap", Limits{})
			if err != nil {
				t.Fatal(err)
			}
			checkScore(t, f.Score)
			checkEdit(t, f)
			if _, told := tt.want["warnings"]; !told {
				tt.want["warnings"] = ""
			}
			for what, want := range tt.want {
				if got := describe(f.Score, what); got != want {
					t.Errorf("%s:\ngot  %s\nwant %s", what, got, want)
				}
			}
		})
	}
}

func trapScore(parts [][]string) string {
	var list, body strings.Builder
	for i, measures := range parts {
		fmt.Fprintf(&list, `<score-part id="P%d"><part-name/></score-part>`, i+1)
		fmt.Fprintf(&body, `<part id="P%d">`, i+1)
		for k, m := range measures {
			if k == 0 {
				m = attrs(`<divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time>`) + m
			}
			fmt.Fprintf(&body, `<measure number="%d">%s</measure>`, k+1, m)
		}
		body.WriteString("</part>")
	}
	return `<score-partwise version="4.0"><part-list>` + list.String() + "</part-list>" + body.String() + "</score-partwise>"
}

func attrs(s string) string { return "<attributes>" + s + "</attributes>" }

// tn is a note such as "F#4", or a rest for "r"; more is put in behind its duration.
func tn(name string, duration int, more ...string) string {
	pitch := "<rest/>"
	if name != "r" {
		alter := strings.Count(name, "#") - strings.Count(name, "b")
		pitch = fmt.Sprintf("<pitch><step>%s</step><alter>%d</alter><octave>%s</octave></pitch>", name[:1], alter, name[len(name)-1:])
	}
	return fmt.Sprintf("<note>%s<duration>%d</duration>%s</note>", pitch, duration, strings.Join(more, ""))
}

// before puts elements that stand first into a note: chord, grace, cue.
func before(elements, note string) string {
	if strings.Contains(elements, "<grace") {
		note = strings.Replace(note, "<duration>0</duration>", "", 1)
	}
	return strings.Replace(note, "<note>", "<note>"+elements, 1)
}

func back(n int) string { return fmt.Sprintf("<backup><duration>%d</duration></backup>", n) }

func dir(content string, more ...string) string {
	return "<direction><direction-type>" + content + "</direction-type>" + strings.Join(more, "") + "</direction>"
}

func wedge(kind string, more ...string) string {
	return dir(`<wedge type="`+kind+`" number="1"/>`, more...)
}

func transpose(diatonic, chromatic int) string {
	return fmt.Sprintf("<transpose><diatonic>%d</diatonic><chromatic>%d</chromatic></transpose>", diatonic, chromatic)
}

func voice(n int) string { return fmt.Sprintf("<voice>%d</voice>", n) }
func staff(n int) string { return fmt.Sprintf("<staff>%d</staff>", n) }

func ties(kinds ...string) (s string) {
	for _, k := range kinds {
		s += `<tie type="` + k + `"/>`
	}
	return s
}

func notations(s string) string { return "<notations>" + s + "</notations>" }

func barline(location, content string) string {
	return `<barline location="` + location + `">` + content + "</barline>"
}

func volta(number, kind string) string {
	return `<ending number="` + number + `" type="` + kind + `"/>`
}

const (
	whole     = `<note><pitch><step>C</step><octave>4</octave></pitch><duration>8</duration></note>`
	backwards = `<repeat direction="backward"/>`
)

func noteTraps() []trap {
	return []trap{
		{"transposition changes for every voice at its time", [][]string{{
			tn("E5", 4) + attrs(transpose(-1, -2)) + tn("E5", 4) + back(8) + tn("C4", 4, voice(2)) + tn("D4", 4, voice(2)),
			tn("E5", 4) + tn("E5", 4) + back(4) + attrs(transpose(-2, -3)) + tn("C4", 4, voice(2)),
			whole,
		}}, map[string]string{"notes": "0 2 C4, 0 2 E5, 2 2 C4, 2 2 D5, 4 2 D5, 6 2 A3, 6 2 C#5, 8 4 A3"}},
		{"transposition of one staff and of all", [][]string{{
			attrs(`<staves>2</staves><transpose number="2"><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>`) +
				tn("C5", 4, staff(1)) + attrs(`<transpose number="1"><chromatic>2</chromatic></transpose>`) + tn("C5", 4, staff(1)) + back(8) + tn("C4", 8, staff(2)),
			attrs(transpose(0, 0)) + tn("C5", 8, staff(1)) + back(8) + tn("C4", 8, staff(2)),
		}}, map[string]string{"notes": "0 4 C3, 0 2 C5, 2 2 D5, 4 4 C4, 4 4 C5"}},
		{"what is sung: first verse, joined syllables, notes without text", [][]string{{
			tn("C4", 2, `<lyric number="1"><syllabic>begin</syllabic><text>ri</text></lyric><lyric number="2"><text>low</text></lyric>`) +
				tn("D4", 2, `<lyric number="1"><syllabic>end</syllabic><text>ver,</text><extend/></lyric>`) + tn("E4", 2) +
				tn("F4", 2, `<lyric><syllabic>end</syllabic><text>la</text><elision> </elision><syllabic>begin</syllabic><text>on</text></lyric>`),
			tn("G4", 4, `<lyric><humming/></lyric>`) + tn("A4", 4, `<lyric number="2"><syllabic>end</syllabic><text>da!</text></lyric>`),
		}}, map[string]string{"syllables": "0 ri-, 1 ver,, 3 la on-, 6 da!"}},
		{"concert score names its parts' transpositions", [][]string{{
			attrs(`<for-part><part-transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></part-transpose></for-part>`) + whole,
		}}, map[string]string{"notes": "0 4 C4"}},
		{"parts of unequal length, one too long", [][]string{
			{tn("C4", 8), tn("C4", 8), whole},
			{tn("E3", 6), tn("E3", 10), tn("E3", 8)},
		}, map[string]string{
			"measures": "1 0+4 of 4, 2 4+5 of 4, 3 9+4 of 4",
			"warnings": "2 the measure lasts 5 quarter notes, by its time signature 4 quarter notes; it was read as written; " +
				"P1 2 the part ends after 4 quarter notes of a measure of 5 quarter notes; the rest was read as silent; " +
				"P2 1 the part ends after 3 quarter notes of a measure of 4 quarter notes; the rest was read as silent",
		}},
		{"a short measure within a piece", [][]string{{whole, tn("C4", 4), whole, whole}}, map[string]string{
			"measures": "1 0+4 of 4, 2 4+2 of 4, 3 6+4 of 4, 4 10+4 of 4",
			"warnings": "2 the measure lasts 2 quarter notes, by its time signature 4 quarter notes; it was read as written",
		}},
	}
}

// lengthTraps are notes without a plain length of their own: grace notes, small print, ties, rests, signs.
func lengthTraps() []trap {
	return []trap{
		{"grace notes behind, before a rest and alone", [][]string{{
			whole + before(`<grace steal-time-previous="20"/>`, tn("D4", 0)) + before("<grace/><chord/>", tn("F4", 0)),
			before(`<grace slash="yes"/>`, tn("E4", 0)) + tn("r", 8), before("<grace/>", tn("G4", 0)),
		}}, map[string]string{
			"notes":    "0 4 C4, grace 4 D4, grace 4 E4, grace 4 F4, grace 8 G4",
			"warnings": "3 nothing in the measure takes time; it was read as having no length",
		}},
		{"accidentals that contradict the pitch", [][]string{{
			strings.Replace(tn("A4", 4, "<accidental>sharp</accidental>"), "<alter>0</alter>", "", 1) + tn("Bb4", 2, "<accidental>natural</accidental>") + tn("F#4", 2, "<accidental>sharp</accidental>"),
		}}, map[string]string{
			"notes": "0 2 A#4, 2 1 Bb4, 3 1 F#4",
			"warnings": "P1 1 a sharp is printed that the pitch does not have; it was read as A#4; " +
				"P1 1 a natural is printed before a note altered by -1; it was read as Bb4",
		}},
		{"small print sounds", [][]string{{
			before("<cue/>", tn("C4", 2)) + tn("D4", 2, `<type size="cue">quarter</type>`) + tn("F4", 2) + before("<cue/>", tn("r", 2)),
		}}, map[string]string{"notes": "0 1 C4, 1 1 D4, 2 1 F4",
			"warnings": "P1 1 a note in small print fills a measure that is not complete without it; it was read as sounding"}},
		{"a chord across a backup", [][]string{{tn("C4", 4) + tn("D4", 4) + back(8) + before("<chord/>", tn("E4", 4)) + tn("F4", 8)}}, map[string]string{
			"notes":    "0 2 C4, 0 4 F4, 2 2 D4, 2 2 E4",
			"warnings": "P1 1 a chord is torn apart by a backup or forward; its notes were read together",
		}},
		{"chord notes of other lengths", [][]string{{tn("C4", 4) + before("<chord/>", tn("E4", 8)) + before("<chord/>", tn("G4", 2)) + tn("D4", 4)}}, map[string]string{
			"notes": "0 2 C4, 0 4 E4, 0 1 G4, 2 2 D4",
		}},
		{"ties across voices, with a slur, ringing on", [][]string{{
			tn("C4", 8, voice(1), ties("start"), notations(`<tied type="start"/><slur type="start" number="1"/>`)),
			tn("C4", 4, voice(2), ties("stop"), notations(`<tied type="stop"/>`)) + tn("D4", 4, voice(2), notations(`<slur type="stop" number="1"/><tied type="let-ring"/>`)),
			tn("F4", 4, notations(`<slur type="start"/>`)) + tn("F4", 4, notations(`<slur type="stop"/>`)),
			tn("C#4", 8, ties("start")), tn("Db4", 8, ties("stop")),
		}}, map[string]string{"notes": "0 6 C4, 6 2 D4, 8 2 F4, 10 2 F4, 12 8 C#4", "slurs": "0-8, 8-12"}},
		{"rest for several measures, one of them empty", [][]string{{
			attrs(`<measure-style><multiple-rest>2</multiple-rest></measure-style>`) + tn("r", 8), "", whole,
		}}, map[string]string{"notes": "4 4 C4", "warnings": "2 nothing in the measure takes time; it was read as having no length"}},
		{"signs that repeat a measure and a beat", [][]string{{
			whole, attrs(`<measure-style><measure-repeat type="start">1</measure-repeat></measure-style>`) + tn("r", 8),
			attrs(`<measure-style><measure-repeat type="stop"/></measure-style><measure-style><beat-repeat type="start" slashes="1"/></measure-style>`) + tn("r", 8),
		}}, map[string]string{
			"notes": "0 4 C4",
			"warnings": "P1 2 a sign to repeat the measure before; it was read as it is written out; " +
				"P1 3 a sign to repeat the beat before; it was read as it is written out",
		}},
		{"tremolo between two notes", [][]string{{
			tn("C4", 4, "<type>half</type>", notations(`<ornaments><tremolo type="start">3</tremolo></ornaments>`)) +
				tn("E4", 4, "<type>half</type>", notations(`<ornaments><tremolo type="stop">3</tremolo></ornaments>`)),
		}}, map[string]string{"notes": "0 2 C4, 2 2 E4", "signs": "tremolo; tremolo"}},
	}
}

func markTraps() []trap {
	return []trap{
		{"a hairpin stops in the text before it starts", [][]string{{
			tn("C4", 6) + wedge("stop") + tn("D4", 2) + back(8) + wedge("crescendo") + tn("C3", 8, voice(2)), whole,
		}}, map[string]string{"hairpins": "0-3 < staff 1"}},
		{"a hairpin across staves and one across parts", [][]string{
			{attrs("<staves>2</staves>") + wedge("crescendo", staff(1)) + whole + back(8) + tn("C3", 8, staff(2)) + wedge("stop", staff(2)), wedge("diminuendo") + whole},
			{whole, tn("C4", 6) + wedge("stop") + tn("C4", 2)},
		}, map[string]string{
			"hairpins": "0-4 < staff 1, 4-7 > staff 0 open",
			"warnings": "P1 2 a hairpin stops in another part (P2); it was read as far as measure 2 beat 4",
		}},
		{"hairpins that touch, with offsets and niente", [][]string{{
			dir(`<wedge type="crescendo" niente="yes"/>`) + tn("C4", 4) + dir(`<wedge type="stop"/><wedge type="diminuendo"/>`) + tn("C4", 4) + dir(`<wedge type="stop" niente="yes"/>`),
			wedge("crescendo") + wedge("stop", "<offset>6</offset>") + whole,
		}}, map[string]string{"hairpins": "0-2 < staff 1 niente, 2-4 > staff 1 niente, 4-7 < staff 1"}},
		{"dashes through a measure", [][]string{{
			dir("<words>cresc.</words>") + dir(`<dashes type="start" number="1"/>`) + whole,
			dir(`<dashes type="continue" number="1"/>`) + tn("C4", 6) + dir(`<dashes type="stop" number="1"/>`) + tn("C4", 2),
		}}, map[string]string{"dashes": "0-7 written 0-7"}},
		{"dynamics in notations, joined and with words", [][]string{{
			tn("C4", 2, notations("<dynamics><sf/><mp/></dynamics>")) + before("<chord/>", tn("E4", 2, notations("<dynamics><f/></dynamics>"))) +
				dir("<dynamics><p/><other-dynamics>espr.</other-dynamics></dynamics>") + tn("C4", 2) +
				dir("<dynamics><other-dynamics>più</other-dynamics><f/></dynamics>") + tn("C4", 2) +
				dir("<dynamics><sf/><other-dynamics>fz</other-dynamics></dynamics>") + tn("r", 2, notations("<dynamics><pp/></dynamics>")),
		}}, map[string]string{"dynamics": "0 sfmp note, 0 f note, 1 p espr., 2 più f, 3 sffz, 3 pp note"}},
		{"offsets of marks and of playback", [][]string{{
			dir("<dynamics><p/></dynamics>", `<offset sound="yes">3</offset>`) + whole + dir("<words>dolce</words>", "<offset>-2</offset>"),
			`<sound tempo="90"><offset>4</offset></sound>` + dir("<words>a</words>", `<sound dynamics="50"><offset>2</offset></sound>`) + whole,
		}}, map[string]string{"dynamics": "3/2 p", "words": "3 dolce, 4 a", "tempos": "6 90", "sounds": "5 50"}},
		{"keys by other signs, one for a staff", [][]string{{
			attrs(`<key><key-step>F</key-step><key-alter>1</key-alter><key-step>E</key-step><key-alter>-1</key-alter></key><staves>2</staves>`) + whole,
			attrs(`<key number="2"><key-step>B</key-step><key-alter>-0.5</key-alter></key>`) + tn("C4", 4) + attrs("<key><fifths>-9</fifths></key>") + tn("C4", 4),
		}}, map[string]string{"keys": "0 F# Eb, 4 B-0.5 staff 2, 6 -9"}},
		{"metronome marks within a measure", [][]string{{
			dir("<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>60</per-minute></metronome>") + tn("C4", 4) +
				dir("<metronome><beat-unit>half</beat-unit><per-minute>c. 80-84</per-minute></metronome>") +
				dir("<metronome><beat-unit>quarter</beat-unit><beat-unit>eighth</beat-unit></metronome>") + tn("C4", 4),
		}}, map[string]string{"tempos": "0 90 printed, 2 160 printed"}},
		{"hidden notes, rests and marks", [][]string{{
			strings.Replace(tn("C4", 4), "<note>", `<note print-object="no">`, 1) + strings.Replace(tn("r", 2), "<note>", `<note print-object="no">`, 1) +
				dir(`<dynamics print-object="no"><f/></dynamics>`) + tn("D4", 2),
		}}, map[string]string{"notes": "hidden 0 2 C4, 3 1 D4", "dynamics": "3 f"}},
		{"chord symbols of a clarinet", [][]string{{
			attrs(transpose(-1, -2)) + `<harmony><root><root-step>F</root-step><root-alter>1</root-alter></root><kind>half-diminished</kind><bass><bass-step>A</bass-step></bass>` +
				`<degree><degree-value>11</degree-value><degree-alter>0</degree-alter><degree-type>add</degree-type></degree><offset>2</offset></harmony>` + whole,
		}}, map[string]string{"symbols": "1 E half-diminished/G add11+0"}},
	}
}

func orderTraps() []trap {
	words := func(s string) string { return dir("<words>" + s + "</words>") }
	return []trap{
		{"three times with endings, D.S. al Coda", [][]string{{
			whole, dir("<segno/>") + whole, barline("left", volta("1, 2", "start")) + whole + barline("right", volta("1, 2", "stop")+`<repeat direction="backward" times="3"/>`),
			barline("left", volta("3", "start")) + whole + barline("right", volta("3", "discontinue")),
			whole + words("To Coda"), whole + words("D.S. al Coda"), dir("<coda/>") + whole, whole,
		}}, map[string]string{"played": "1 2 3 1 2 3 1 2 4 5 6 2 4 5 7 8"}},
		{"D.C. al Fine behind a repeat", [][]string{{
			barline("left", `<repeat direction="forward"/>`) + whole, whole + barline("right", backwards) + words("Fine"), whole, whole + words("D.C. al Fine"),
		}}, map[string]string{"played": "1 2 1 2 3 4 1 2"}},
		{"D.S. with other words takes the last ending", [][]string{{
			dir("<segno/>") + whole, barline("left", volta("1.", "start")) + whole + barline("right", volta("1.", "stop")+backwards),
			barline("left", volta("2.", "start")) + whole + barline("right", volta("2.", "stop")) + words("D. S. (senza rep.)"),
		}}, map[string]string{"played": "1 2 1 3 1 3"}},
		{"a tie into the second ending", [][]string{{
			tn("C4", 8), barline("left", volta("1", "start")) + tn("C4", 8, ties("start")) + barline("right", volta("1", "stop")+backwards),
			barline("left", volta("2", "start")) + tn("C4", 8, ties("stop")) + barline("right", volta("2", "stop")),
		}}, map[string]string{"played": "1 2 1 3", "notes": "0 4 C4, 4 8 C4"}},
	}
}
