package musicxml

import (
	"bytes"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hairpin/score"
)

// Every fixture written anew and read again says the same.
func TestWriteRoundTrip(t *testing.T) {
	kinds := []string{"dynamics", "hairpins", "words", "symbols", "repeats", "endings", "beats", "measures"}
	for _, name := range fixtures(t) {
		f, err := Open(name)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := Write(&b, f.Score); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		g, err := Read(&b, name, Limits{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got, want := soundingNotes(g.Score), soundingNotes(f.Score); got != want {
			t.Errorf("%s: notes\ngot  %s\nwant %s", name, got, want)
		}
		for _, k := range kinds {
			got := strings.ReplaceAll(describe(g.Score, k), " open", "")
			want := strings.ReplaceAll(describe(f.Score, k), " open", "")
			want = strings.ReplaceAll(want, " note", "")
			if got != want {
				t.Errorf("%s: %s\ngot  %s\nwant %s", name, k, got, want)
			}
		}
	}
}

func soundingNotes(s *score.Score) string {
	var list []string
	for _, n := range s.Notes {
		n.Cue, n.Hidden = false, false
		list = append(list, fmt.Sprintf("%d %d %s", n.Part, n.Staff, describeNote(s, n)))
	}
	slices.Sort(list)
	return strings.Join(list, ", ")
}

// Values as a copyist writes them (common practice, no source): the bar and the
// beat stay visible, a plain syncopation is one note. 96 ticks a quarter.
func TestNoteValues(t *testing.T) {
	const q = 96
	tests := []struct {
		name   string
		bounds []score.Tick
		want   string
	}{
		{"whole", []score.Tick{0, 4 * q}, "whole"},
		{"dotted half", []score.Tick{0, 3 * q}, "half."},
		{"half on the second beat", []score.Tick{0, q, 3 * q, 4 * q}, "quarter half quarter"},
		{"five quarters", []score.Tick{0, 5 * q}, "whole~quarter"},
		{"syncopated eighths", []score.Tick{0, q / 2, 3 * q / 2, 2 * q}, "eighth quarter eighth"},
		{"over the middle from an eighth", []score.Tick{0, 3 * q / 2, 4 * q}, "quarter. eighth~half"},
		{"dotted quarters in six eight", []score.Tick{0, 3 * q / 2, 3 * q}, "quarter. quarter."},
		{"triplet", []score.Tick{0, 32, 64, 96}, "eighth[3:2 eighth[3:2 eighth[3:2"},
		{"triplet with a long note", []score.Tick{0, 64, 96}, "quarter[3:2 eighth[3:2"},
		{"quarter triplet", []score.Tick{0, 64, 128, 192}, "quarter[3:2 quarter[3:2 quarter[3:2"},
		{"long note out of a triplet", []score.Tick{0, 64, 192}, "quarter[3:2 eighth[3:2~quarter"},
		{"sixteenths", []score.Tick{0, 24, 96}, "16th eighth."},
	}
	for _, tt := range tests {
		var segments []segment
		for i := 1; i < len(tt.bounds); i++ {
			segments = append(segments, segment{start: tt.bounds[i-1], end: tt.bounds[i]})
		}
		got := ""
		for _, p := range (rhythm{quarter: q}).pieces(segments) {
			sep := " "
			if !p.first {
				sep = "~"
			}
			got += sep + p.typ + strings.Repeat(".", p.dots)
			if p.normal > 0 {
				got += fmt.Sprintf("[%d:%d", p.actual, p.normal)
			}
		}
		if got = strings.TrimSpace(got); got != tt.want {
			t.Errorf("%s:\ngot  %s\nwant %s", tt.name, got, tt.want)
		}
	}
}

// smallScore is two measures for one player with most of what Write knows.
func smallScore() *score.Score {
	at := func(t score.Tick) score.Place { return score.Place{At: t, Staff: 1} }
	note := func(onset, duration score.Tick, pitch score.Pitch) score.Note {
		return score.Note{Onset: onset, Duration: duration, Staff: 1, Voice: 1, Pitch: pitch}
	}
	return &score.Score{
		Title: "Study <1>", Composer: "Nobody & Co.", Division: 6,
		Parts: []score.Part{{ID: "any", Name: "Vibraphone", Staves: 1}},
		Measures: []score.Measure{
			{Number: "0", Length: 6, Nominal: 18, Beats: 3, BeatUnit: 4, Pickup: true},
			{Number: "1", Start: 6, Length: 18, Nominal: 18, Beats: 3, BeatUnit: 4},
		},
		Notes: []score.Note{
			note(0, 12, score.Pitch{Step: 4, Octave: 4}), // g', tied over the bar
			note(0, 12, score.Pitch{Step: 1, Octave: 5}),
			note(12, 2, score.Pitch{Step: 3, Alter: 1, Octave: 5}), // a triplet in G major
			note(14, 4, score.Pitch{Step: 3, Octave: 5}),
		},
		Keys:      []score.KeyMark{{Place: at(0), Fifths: 1, Mode: "major"}},
		Times:     []score.TimeMark{{Place: at(0), Text: "3/4", Beats: 3, Unit: 4}},
		Tempos:    []score.Tempo{{At: 0, PerMin: 80, Printed: true}},
		Dynamics:  []score.Dynamic{{Place: at(0), Mark: "p"}, {Place: at(9), Mark: "poco f"}},
		Hairpins:  []score.Hairpin{{Span: score.Span{Start: 6, End: 24, Staff: 1}}},
		Words:     []score.Words{{Place: at(0), Text: "dolce"}},
		Symbols:   []score.ChordSymbol{{Place: at(12), Root: "F#", Kind: "diminished", Bass: "A", Inversion: -1}},
		Slurs:     []score.Slur{{Span: score.Span{Start: 12, End: 18, Staff: 1}, Voice: 1}},
		DoubleBar: []score.Tick{24},
	}
}

// The golden file was checked by hand and against the MusicXML 4.0 schema.
func TestWriteGolden(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, smallScore()); err != nil {
		t.Fatal(err)
	}
	const golden = "testdata/golden/written.musicxml"
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(golden, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b.Bytes(), want) {
		t.Errorf("got\n%s", b.Bytes())
	}
}

func TestWriteRefuses(t *testing.T) {
	s := smallScore()
	s.Notes[0].Part = 3
	if err := Write(new(bytes.Buffer), s); err == nil || !strings.Contains(err.Error(), "measure 0: a note has no part") {
		t.Errorf("error %v", err)
	}
	s = smallScore()
	s.Notes[0].Duration = 100
	if err := Write(new(bytes.Buffer), s); err == nil {
		t.Error("a note beyond the end was written")
	}
	if err := Write(new(bytes.Buffer), &score.Score{}); err == nil {
		t.Error("an empty score was written")
	}
}

// In compound metres no value hides a beat (common practice, no source): the
// beats of 9/8 begin at 0, 3 and 6 eighths.
func TestCompoundValues(t *testing.T) {
	const eighth = 48
	r := rhythm{quarter: 2 * eighth, beat: 3 * eighth}
	for _, tt := range []struct {
		start, end score.Tick // eighths
		want       string
	}{
		{0, 9, "half. quarter."}, {0, 8, "half. quarter"}, {2, 9, "eighth half."}, {1, 3, "quarter"},
		{0, 12, "whole."}, {3, 9, "half."}, {5, 8, "eighth quarter"}, {0, 3, "quarter."}, {3, 4, "eighth"},
	} {
		var got []string
		for _, p := range r.pieces([]segment{{start: tt.start * eighth, end: tt.end * eighth}}) {
			got = append(got, p.typ+strings.Repeat(".", p.dots))
		}
		if s := strings.Join(got, " "); s != tt.want {
			t.Errorf("%d to %d: %s, want %s", tt.start, tt.end, s, tt.want)
		}
	}
}

// Six quarters have two beats of three (common practice, no source): a chord of
// three and a half is a dotted half tied to an eighth.
func TestSixQuartersAreCompound(t *testing.T) {
	s := &score.Score{
		Division: 2, Parts: []score.Part{{Staves: 1}},
		Measures: []score.Measure{{Number: "1", Length: 12, Nominal: 12, Beats: 6, BeatUnit: 4}},
		Notes: []score.Note{
			{Duration: 7, Staff: 1, Voice: 1, Pitch: score.Pitch{Octave: 4}},
			{Onset: 7, Duration: 5, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: 1, Octave: 4}},
		},
	}
	var b bytes.Buffer
	if err := Write(&b, s); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, m := range regexp.MustCompile(`<type>(\w+)</type>(?s:.{0,20})(<dot/>)?`).FindAllStringSubmatch(b.String(), -1) {
		got = append(got, m[1])
	}
	if want := []string{"half", "eighth", "eighth", "half"}; !slices.Equal(got, want) || strings.Count(b.String(), "<dot/>") != 1 {
		t.Errorf("%v, want %v with one dot", got, want)
	}
}

// Clefs follow the notes where these stay beyond ledger lines, not for one measure.
func TestClefsChangeOnlyWhereTheyMust(t *testing.T) {
	s := &score.Score{Division: 1, Parts: []score.Part{{Staves: 2}}}
	add := func(octave, staff int) {
		n := len(s.Measures)
		if staff == 1 {
			s.Measures = append(s.Measures, score.Measure{Start: score.Tick(4 * n), Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
		} else {
			n--
		}
		for i := range score.Tick(4) {
			s.Notes = append(s.Notes, score.Note{Onset: score.Tick(4*n) + i, Duration: 1, Staff: staff, Voice: staff, Pitch: score.Pitch{Octave: octave}})
		}
	}
	for _, upper := range []int{5, 5, 3, 3, 3, 5, 5} { // C3 is five ledger lines below the treble
		add(upper, 1)
		add(3, 2)
	}
	var b bytes.Buffer
	if err := Write(&b, s); err != nil {
		t.Fatal(err)
	}
	var got []string
	for i, m := range strings.Split(b.String(), "<measure ")[1:] {
		for _, c := range regexp.MustCompile(`<clef number="(\d)">\s*<sign>(.)`).FindAllStringSubmatch(m, -1) {
			got = append(got, fmt.Sprint(i+1, " ", c[1], c[2]))
		}
	}
	if want := []string{"1 1G", "1 2F", "3 1F", "6 1G"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	b.Reset()
	s.Notes = slices.DeleteFunc(s.Notes, func(n score.Note) bool { return n.Pitch.Octave == 3 && n.Staff == 1 && n.Onset%4 > 0 })
	for i := range s.Notes { // now A3, two ledger lines, once a measure
		if n := &s.Notes[i]; n.Staff == 1 && n.Pitch.Octave == 3 {
			n.Pitch.Step = 5
		}
	}
	if err := Write(&b, s); err != nil || strings.Count(b.String(), "<clef ") != 2 {
		t.Errorf("%v, %d clefs", err, strings.Count(b.String(), "<clef "))
	}
}
