package musicxml

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"hairpin/score"
)

// The expected values below were worked out by hand from the MusicXML 4.0
// specification (W3C Music Notation Community Group, "MusicXML 4.0", 2021) and,
// where it leaves the reading open, from what a player does (common practice,
// no source).
func TestRead(t *testing.T) {
	for _, tt := range slices.Concat(noteCases(), measureCases(), markCases()) {
		t.Run(tt.file, func(t *testing.T) {
			name := filepath.Join("testdata", tt.file)
			if filepath.Ext(name) == "" {
				name += ".musicxml"
			}
			f, err := Open(name)
			if err != nil {
				t.Fatal(err)
			}
			checkScore(t, f.Score)
			for what, want := range tt.want {
				if got := describe(f.Score, what); got != want {
					t.Errorf("%s:\ngot  %s\nwant %s", what, got, want)
				}
			}
		})
	}
}

// readCase is what a fixture must be read as.
type readCase struct {
	file string // in testdata; .musicxml if it has no extension
	want map[string]string
}

func noteCases() []readCase {
	return []readCase{
		{"pickup-and-short-end", map[string]string{
			"title":    "Ferry Song, A. Nobody",
			"notes":    "0 1 D4, 1 2 G4, 3 1 B4, 4 2 G4",
			"measures": "0 0+1 of 3 pickup, 1 1+3 of 3, 2 4+2 of 3",
			"keys":     "0 1 major", "times": "0 3/4", "bars": "6",
		}},
		{"two-voices-backup", map[string]string{
			"notes": "0 1 C4, 0 2 E5, 1 1 G4, 2 1 C4, 2 2 D5, 3 1 G4, 4 4 C5, 6 2 E4",
		}},
		{"backup-past-start", map[string]string{
			"notes":    "0 4 C4, 4 4 B3, 4 2 D4",
			"warnings": "P1 2 a backup past the start of the measure was read as back to its start",
		}},
		{"piano-cross-staff-voice", map[string]string{
			"staves": "2", "staff of notes": "2 2 2 1 1",
			"notes": "0 4 C3, 0 1 C4, 1 1 E4, 2 1 G4, 3 1 C5",
		}},
		{"ties-by-tie-and-tied", map[string]string{
			"notes":   "0 8 C4, 8 6 A4, 14 2 A4, 16 4 F4",
			"sources": "0+1+2, 3+4, 5, 6", "warnings": "",
		}},
		{"ties-across-voices-and-respelled", map[string]string{
			"notes": "0 6 E4, 0 2 G#4, 2 4 G#4", "warnings": "",
		}},
		{"tie-without-its-end", map[string]string{
			"notes": "0 6 E4, 6 2 D4, 8 4 C4, 12 4 B3",
			"warnings": "P1 1 the end of a tie from E4 is not marked; it was read as tied to the next; " +
				"P1 2 a tie from D4 leads nowhere; the note was read as ending there; " +
				"P1 4 a tie to B3 comes from nowhere; the note was read as struck",
		}},
		{"grace-and-cue-notes", map[string]string{
			"notes": "0 2 C5, grace 0 D5, 2 1 D5, grace 2 E5, grace 2 G5, 3 1 A4",
		}},
		{"tuplets-triplet-in-quintuplet", map[string]string{
			"notes": "0 1/3 C4, 1/3 1/3 D4, 2/3 1/3 E4, 1 1/5 F4, 6/5 1/5 G4, 7/5 1/5 A4, 8/5 1/5 B4, 9/5 1/5 C5",
		}},
	}
}

func measureCases() []readCase {
	return []readCase{
		{"divisions-change-and-decimals", map[string]string{
			"notes": "0 3/2 C4, 3/2 3/2 D4, 3 3/2 E4",
		}},
		{"parts-of-unequal-length", map[string]string{
			"measures": "1 0+4 of 4, 2 4+4 of 4, 3 8+4 of 4",
			"notes":    "0 4 C5, 0 2 C3, 4 1 D5, 4 4 D3, 8 4 E5",
			"warnings": "P1 2 the part ends after 1 quarter note of a measure of 4 quarter notes; the rest was read as silent; " +
				"P2  the part ends before measure 3 of the score; it was read as silent from there; " +
				"P2 1 the part ends after 2 quarter notes of a measure of 4 quarter notes; the rest was read as silent",
		}},
		{"transposing-per-staff-and-mid-measure", map[string]string{
			// a B flat clarinet, then an A clarinet; the lower staff of the other part an octave down
			"notes": "0 2 C5, 0 4 C3, 0 4 C4, 2 2 B4, 4 4 C#5, 4 4 B4",
			// written D major sounds C, then B; written E major sounds C sharp
			"keys": "0 0, 0 0, 2 5, 4 7",
		}},
		{"transposing-respelled-key", map[string]string{
			// six flats a tone down are eight; a player in E major reads four sharps
			"notes": "0 2 E4, 0 2 E4, 2 2 G#4, 2 2 G#4",
			"keys":  "0 4, 0 4",
		}},
		{"octave-shift-changes-no-pitch", map[string]string{"notes": "0 2 C6, 2 2 C5"}},
		{"keys-non-traditional-and-per-staff", map[string]string{
			"keys": "0 -3 minor staff 1, 0 F# Bb staff 2", "times": "0 2/4",
		}},
		{"metres-additive-and-senza-misura", map[string]string{
			"times":    "0 3+2/8, 5/2 3/8 + 1/4, 5 senza-misura",
			"measures": "1 0+5/2 of 5/2, 2 5/2+5/2 of 5/2, 3 5+7 of 0",
			"beats":    "5/8 5/8 0/4",
		}},
		{"unpitched-percussion", map[string]string{
			"notes": "x 0 1, 0 4 C4, x 1 1, x 1 1", "percussion": "true false",
		}},
	}
}

func markCases() []readCase {
	return []readCase{
		{"repeats-voltas-dal-segno", map[string]string{
			"repeats": "2 forward, 6 back", "endings": "4-6 [1], 6-8 [2] open",
			"jumps": "2 segno, 8 tocoda, 10 dalsegno, 10 coda", "bars": "2, 6, 10, 12",
			"played": "1 2 3 2 4 5 2 4 6",
		}},
		{"measure-split-by-repeat", map[string]string{
			"measures": "1 0+3 of 3, 2 3+2 of 3, 2 5+1 of 3, 3 6+3 of 3, X2 9+3 of 3",
			"places":   "1:1 2:1 2:3 3:1 X2:1", "played": "1 2 1 2 2 3 X2",
		}},
		{"chord-symbols-with-degrees-and-bass", map[string]string{
			"symbols": "0 Bb dominant/D add9-1, 0 C major, 2 numeral:4 minor, 3 function:V major",
		}},
		{"dynamics-in-directions-and-notations", map[string]string{
			"dynamics": "0 p, 1 sf note, 2 sfmp, 7/2 più f, 7/2 ff",
			"sounds":   "7/2 112",
		}},
		{"hairpins-stop-before-start-niente-open", map[string]string{
			"hairpins": "0-1 < staff 1, 4-8 > staff 1, 4-6 < staff 2 niente, 10-11 < staff 1 open",
			"warnings": "P1 3 a hairpin never stops; it was read as far as measure 3 beat 4",
		}},
		{"dashes-words-offset-sound", map[string]string{
			"dashes": "0-7 written 0-6", "words": "0 cresc., 23/4 poco a poco",
			"tempos": "8 72, 8 90 printed",
		}},
		{"slurs-fermatas-articulations", map[string]string{
			"slurs": "0-3, 2-4", "fermatas": "3, 8", "bars": "8",
			"signs": "accent; staccato tenuto; trill; fermata; tremolo arpeggio; ",
		}},
		{"hidden-notes-and-marks", map[string]string{"notes": "hidden 0 2 C4, 2 2 E4", "words": "2 secret"}},
		{"no-divisions-no-duration", map[string]string{"notes": "0 2 C4, 2 3/2 D4, 7/2 1/2 E4"}},
		{"irregular-but-readable", map[string]string{
			"notes": "0 2 C4, 0 4 C3, 2 2 D4, 4 4 E4", "hairpins": "", "slurs": "", "endings": "",
		}},
		{"timewise-parts-in-measures", map[string]string{
			"notes": "0 4 C5, 0 4 C3, 4 4 D5, 4 4 B2", "sources": "0, 1, 2, 3",
		}},
		{"encoding-utf8-bom-crlf", plainFacts("Flöte")},
		{"encoding-utf16-little-endian", plainFacts("Flöte")},
		{"encoding-utf16-big-endian", plainFacts("Flöte")},
		{"encoding-latin1", plainFacts("Flöte")},
		{"doctype-comments-instructions", plainFacts("Fl&öte — <1>")},
		{"container.mxl", plainFacts("Flöte")},
		{"container-without-index.mxl", plainFacts("Flöte")},
	}
}

func plainFacts(part string) map[string]string {
	return map[string]string{"notes": "0 2 C4, 2 2 E4, 4 4 G4", "dynamics": "0 mf", "parts": part, "warnings": ""}
}

// describe puts one kind of a score's contents into a line; times are in quarter notes.
func describe(s *score.Score, what string) string {
	q := func(t score.Tick) string { return quarters(s, t) }
	var list []string
	add := func(format string, args ...any) { list = append(list, strings.TrimSpace(fmt.Sprintf(format, args...))) }
	sep := ", "
	switch what {
	case "title":
		add("%s, %s", s.Title, s.Composer)
	case "notes":
		for _, n := range s.Notes {
			add("%s", describeNote(s, n))
		}
	case "sources":
		for _, n := range s.Notes {
			add("%s", strings.ReplaceAll(strings.Trim(fmt.Sprint(n.Source), "[]"), " ", "+"))
		}
	case "staff of notes":
		sep = " "
		for _, n := range s.Notes {
			add("%d", n.Staff)
		}
	case "parts":
		for _, p := range s.Parts {
			add("%s", p.Name)
		}
	case "places":
		sep = " "
		for _, n := range s.Notes {
			add("%s", s.At(n.Onset))
		}
	case "staves":
		for _, p := range s.Parts {
			add("%d", p.Staves)
		}
	case "percussion":
		sep = " "
		for _, p := range s.Parts {
			add("%v", p.Percussion)
		}
	case "measures":
		for _, m := range s.Measures {
			add("%s %s+%s of %s%s", m.Number, q(m.Start), q(m.Length), q(m.Nominal), when(m.Pickup, " pickup"))
		}
	case "beats":
		sep = " "
		for _, m := range s.Measures {
			add("%d/%d", m.Beats, m.BeatUnit)
		}
	case "warnings":
		sep = "; "
		for _, w := range s.Warnings {
			add("%s %s %s", w.Part, w.Measure, w.Text)
		}
	default:
		return describeMarks(s, what)
	}
	return strings.Join(list, sep)
}

func describeMarks(s *score.Score, what string) string {
	q := func(t score.Tick) string { return quarters(s, t) }
	var list []string
	add := func(format string, args ...any) { list = append(list, strings.TrimSpace(fmt.Sprintf(format, args...))) }
	sep := ", "
	switch what {
	case "keys":
		for _, k := range s.Keys {
			name := strconv.Itoa(k.Fifths)
			if k.NonStandard != "" {
				name = k.NonStandard
			}
			add("%s %s %s%s", q(k.At), name, k.Mode, when(k.Staff > 0, fmt.Sprintf(" staff %d", k.Staff)))
		}
		for i := range list {
			list[i] = strings.ReplaceAll(list[i], "  ", " ")
		}
	case "times":
		for _, m := range s.Times {
			add("%s %s", q(m.At), m.Text)
		}
	case "tempos":
		for _, p := range s.Tempos {
			add("%s %.0f%s", q(p.At), p.PerMin, when(p.Printed, " printed"))
		}
	case "sounds":
		for _, l := range s.Sounds {
			add("%s %.0f", q(l.At), l.Percent)
		}
	case "symbols":
		for _, c := range s.Symbols {
			add("%s %s %s%s%s", q(c.At), c.Root, c.Kind, when(c.Bass != "", "/"+c.Bass), describeDegrees(c.Degrees))
		}
	case "signs":
		sep = "; "
		for _, n := range s.Notes {
			add("%s", describeSigns(n.Signs))
		}
	default:
		return describeOrder(s, what)
	}
	return strings.Join(list, sep)
}

// describeOrder lists what the order of playing depends on.
func describeOrder(s *score.Score, what string) string {
	q := func(t score.Tick) string { return quarters(s, t) }
	var list []string
	add := func(format string, args ...any) { list = append(list, strings.TrimSpace(fmt.Sprintf(format, args...))) }
	sep := ", "
	switch what {
	case "bars":
		for _, t := range s.DoubleBar {
			add("%s", q(t))
		}
	case "repeats":
		for _, r := range s.Repeats {
			add("%s %s", q(r.At), when(r.Forward, "forward")+when(!r.Forward, "back"))
		}
	case "endings":
		for _, e := range s.Endings {
			add("%s-%s %v%s", q(e.Start), q(e.End), e.Numbers, when(e.Discontinue, " open"))
		}
	case "jumps":
		for _, j := range s.Jumps {
			add("%s %s", q(j.At), j.Kind)
		}
	case "played":
		sep = " "
		for _, m := range score.Unfold(s).Measures {
			add("%s", m.Number)
		}
	default:
		return describeLoudness(s, what)
	}
	return strings.Join(list, sep)
}

func describeLoudness(s *score.Score, what string) string {
	q := func(t score.Tick) string { return quarters(s, t) }
	var list []string
	add := func(format string, args ...any) { list = append(list, strings.TrimSpace(fmt.Sprintf(format, args...))) }
	switch what {
	case "dynamics":
		for _, d := range s.Dynamics {
			add("%s %s%s", q(d.At), d.Mark, when(d.OnNote, " note"))
		}
	case "hairpins":
		for _, h := range s.Hairpins {
			kind := "<"
			if h.Kind == score.Diminuendo {
				kind = ">"
			}
			add("%s-%s %s staff %d%s%s", q(h.Start), q(h.End), kind, h.Staff, when(h.Niente, " niente"), when(h.Open, " open"))
		}
	case "dashes":
		for _, d := range s.Dashes {
			add("%s-%s written %s-%s", q(d.Start), q(d.End), q(d.WrittenStart), q(d.WrittenEnd))
		}
	case "words":
		for _, w := range s.Words {
			add("%s %s", q(w.At), w.Text)
		}
	case "slurs":
		for _, l := range s.Slurs {
			add("%s-%s", q(l.Start), q(l.End))
		}
	case "syllables":
		for _, y := range s.Syllables {
			add("%s %s%s", q(y.At), y.Text, when(!y.Ends, "-"))
		}
	case "fermatas":
		for _, f := range s.Fermatas {
			add("%s", q(f.At))
		}
	default:
		return "describe knows no " + what
	}
	return strings.Join(list, ", ")
}

func describeNote(s *score.Score, n score.Note) string {
	at := quarters(s, n.Onset)
	name := n.Pitch.String()
	lead := when(n.Cue, "cue ") + when(n.Hidden, "hidden ")
	if n.Unpitched {
		lead, name = "x ", ""
	}
	if n.Grace {
		return "grace " + at + " " + name
	}
	return lead + at + " " + quarters(s, n.Duration) + " " + name
}

func describeDegrees(list []score.Degree) string {
	s := ""
	for _, d := range list {
		s += fmt.Sprintf(" %s%d%+.0f", d.Type, d.Value, d.Alter)
	}
	return s
}

func describeSigns(s score.Sign) string {
	names := map[score.Sign]string{
		score.Accent: "accent", score.Staccato: "staccato", score.Tenuto: "tenuto", score.Trill: "trill",
		score.FermataSign: "fermata", score.Tremolo: "tremolo", score.Arpeggio: "arpeggio",
	}
	var list []score.Sign
	for k := range names {
		if s.Has(k) {
			list = append(list, k)
		}
	}
	slices.Sort(list)
	out := make([]string, len(list))
	for i, k := range list {
		out[i] = names[k]
	}
	return strings.Join(out, " ")
}

// quarters prints a time in quarter notes as a fraction in lowest terms.
func quarters(s *score.Score, t score.Tick) string {
	g := score.Tick(gcd(int64(t), int64(s.Division)))
	if g == 0 {
		return "0"
	}
	if s.Division/g == 1 {
		return strconv.FormatInt(int64(t/g), 10)
	}
	return fmt.Sprintf("%d/%d", t/g, s.Division/g)
}

func when(b bool, s string) string {
	if b {
		return s
	}
	return ""
}
