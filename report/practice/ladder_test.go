package practice

import (
	"slices"
	"strings"
	"testing"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/internal/demo"
)

func laddered(t *testing.T, r *report.Reading, p Plan) *element {
	t.Helper()
	f, err := Ladder(r, p)
	if err != nil {
		t.Fatal(err)
	}
	return read(t, f)
}

func read(t *testing.T, f *musicxml.File) *element {
	t.Helper()
	doc := string(f.Document())
	e, err := parsed(doc[strings.Index(doc, "<score-partwise"):])
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// systems are the rungs of a sheet.
func systems(sheet *element) (list [][]*element) {
	for _, m := range sheet.find("part").list {
		if len(list) == 0 || m.find("print") != nil {
			list = append(list, nil)
		}
		list[len(list)-1] = append(list[len(list)-1], m)
	}
	return list
}

func pitchesOf(measures ...*element) (list []string) {
	for _, m := range measures {
		for _, n := range m.list {
			if p := n.find("pitch"); n.name == "note" && p != nil {
				list = append(list, n.get("staff")+p.get("step")+p.get("alter")+p.get("octave"))
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// The block chords hold the written pitches of every measure of our scores, and no other.
func TestBlockChordsAreTheMeasuresOwn(t *testing.T) {
	for _, name := range demo.Names() {
		r := toReduce(t, name, "")
		part := practised(r)
		for i, m := range r.Score.Measures {
			p, err := newPassage(r, part, i, i)
			if err != nil {
				continue // a measure of rests
			}
			b := p.blockBar(p.bars[0], usualHands(r, part), p.blockValues()[0], false)
			source, _ := parsed(r.File.MeasureText(part, i))
			got, want := pitchesOf(el("measure", b.list...)), pitchesOf(source)
			if p.staves == 1 {
				for k := range want {
					want[k] = "1" + strings.TrimPrefix(want[k], "1")
				}
			}
			if !slices.Equal(got, want) {
				t.Errorf("%s m. %s: %v, want %v", name, m.Number, got, want)
			}
		}
	}
}

func small(t *testing.T, name, measures, more string) *report.Reading {
	t.Helper()
	f := demo.OnePart(t, name, measures)
	r, err := report.New(f, report.Options{Measures: more})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

const head = `<attributes><divisions>2</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>`

func note(step, octave, duration, kind, more string) string {
	return `<note><pitch><step>` + step + `</step><octave>` + octave + `</octave></pitch><duration>` + duration + `</duration><voice>1</voice><type>` + kind + `</type>` + more + `</note>`
}

// two measures of our own for a vibraphone: a roll, mallet numbers, a pedal, a
// mark at the start of the second, and a metronome mark in half notes.
var vibes = `<measure number="7">` + head +
	`<direction><direction-type><metronome><beat-unit>half</beat-unit><per-minute>60</per-minute></metronome></direction-type></direction>` +
	`<direction><direction-type><dynamics><p/></dynamics></direction-type></direction>` +
	note("C", "4", "4", "half", "") + note("G", "4", "4", "half", "") + `</measure>` +
	`<measure number="8"><direction><direction-type><dynamics><f/></dynamics></direction-type></direction>` +
	`<direction><direction-type><pedal type="start"/></direction-type></direction>` +
	note("D", "4", "4", "half", `<notations><ornaments><tremolo type="single">3</tremolo></ornaments><technical><fingering>2</fingering></technical></notations>`) +
	note("A", "4", "4", "half", "") +
	`<direction><direction-type><pedal type="stop"/></direction-type></direction></measure>`

func TestAsWrittenKeepsThePage(t *testing.T) {
	sheet := laddered(t, small(t, "Vibraphone", vibes, "8"), Plan{Rest: 2})
	text := sheet.String()
	for _, want := range []string{`<tremolo type="single">3</tremolo>`, "<fingering>2</fingering>", `<pedal type="start"/>`, `<pedal type="stop"/>`} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is lost", want)
		}
	}
	if strings.Contains(text, "[2]") || strings.Contains(text, "[3]") {
		t.Error("sticking is proposed where the page has its own")
	}
	if n := strings.Count(text, "<dynamics>"); n != 1 || !strings.Contains(text, "<f/>") {
		t.Errorf("%d dynamics for one printed f", n)
	}
	if strings.Contains(text, "<staves>") || strings.Contains(text, "<sign>F</sign>") {
		t.Error("a treble part of one staff gets another staff or clef")
	}
	list := systems(sheet)
	for i, s := range list {
		if s[0].attr("number") != "8" {
			t.Errorf("rung %d: measure %s, want the page's 8", i+1, s[0].attr("number"))
		}
		if last := s[len(s)-1]; last.find("barline", "repeat") == nil || last.find("note", "rest") == nil {
			t.Errorf("rung %d: no rest inside its repeat", i+1)
		}
	}
	if n := strings.Count(text, "<beat-unit>half</beat-unit>"); n != len(list) || strings.Count(text, "<beat-unit>") != n {
		t.Errorf("%d metronome marks in half notes for %d rungs", n, len(list))
	}
}

// A measure that opens without a mark is told the level that holds, once.
func TestAsWrittenSaysTheLevelThatHolds(t *testing.T) {
	measures := strings.Replace(vibes, "<f/>", "<sfz/>", 1)
	text := laddered(t, small(t, "Vibraphone", measures, "8"), Plan{}).String()
	if strings.Count(text, "<p/>") != 1 {
		t.Error("the level p that holds is not stated once")
	}
}

// Steps of a ladder differ: a measure of quarter-note chords has no rung in quarter notes.
func TestNoStepTwice(t *testing.T) {
	measure := `<measure number="1">` + head
	for range 4 {
		measure += note("C", "4", "2", "quarter", "") + strings.Replace(note("E", "4", "2", "quarter", ""), "<note>", "<note><chord/>", 1)
	}
	r := small(t, "Piano", measure+"</measure>", "")
	list, err := ladders(r, Plan{})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, g := range list[0].rungs {
		names = append(names, g.name)
	}
	if got := strings.Join(names, ", "); strings.Contains(got, "quarter") || !strings.HasPrefix(got, "block chords in half notes, eighths") {
		t.Error(got)
	}
}

// Runs go in groups and rhythms; every rung keeps the written pitches.
func TestRuns(t *testing.T) {
	measure := `<measure number="3">` + head
	for _, step := range strings.Fields("C D E F G A B A") {
		measure += note(step, "4", "1", "eighth", "")
	}
	sheet := laddered(t, small(t, "Flute", measure+"</measure>", ""), Plan{Rest: 2})
	list := systems(sheet)
	if len(list) != 4 {
		t.Fatalf("%d rungs, want groups, two rhythms, the page", len(list))
	}
	for i, s := range list {
		if got := strings.Join(pitchesOf(s...), " "); strings.Count(got, " ") != 6 {
			t.Errorf("rung %d has %s", i+1, got)
		}
	}
	if got := len(list[1][0].find("note", "dot").String()); got == 0 {
		t.Error("no dotted notes in rhythm")
	}
}

// Hands: an octave with ease, a tenth at most (common practice, no source); a
// wider chord of the page is kept whole and flagged.
func TestWideHandsAreFlagged(t *testing.T) {
	chord := note("C", "4", "8", "whole", "") + strings.Replace(note("E", "5", "8", "whole", ""), "<note>", "<note><chord/>", 1) + strings.Replace(note("G", "5", "8", "whole", ""), "<note>", "<note><chord/>", 1)
	text := laddered(t, small(t, "Marimba", `<measure number="1">`+head+chord+`</measure>`, ""), Plan{Hands: OneHand}).String()
	if strings.Contains(text, "wide") {
		t.Error("one player's whole reach is flagged")
	}
	text = laddered(t, small(t, "Marimba", `<measure number="1">`+head+strings.Replace(chord, "<octave>5</octave></pitch><duration>8</duration><voice>1</voice><type>whole</type></note><note><chord/><pitch><step>G", "<octave>5</octave></pitch><duration>8</duration><voice>1</voice><type>whole</type></note><note><chord/><pitch><step>A", 1)+`</measure>`, ""), Plan{Hands: FourMallets}).String()
	if !strings.Contains(text, "[4]") || !strings.Contains(text, "[2]") {
		t.Error("no mallets are proposed")
	}
}

func TestHardestSaysWhy(t *testing.T) {
	r := toReduce(t, "etude-millrace", "")
	list := Hardest(r, practised(r), 3)
	if len(list) != 3 {
		t.Fatalf("%d measures", len(list))
	}
	for _, h := range list {
		if h.Why == "" {
			t.Errorf("measure %d: no reason", h.First)
		}
	}
	if n := len(systems(laddered(t, r, Plan{Hardest: 3}))); n < 9 {
		t.Errorf("%d systems for three ladders", n)
	}
}

func TestPracticeRefuses(t *testing.T) {
	r := toReduce(t, "etude-millrace", "")
	if _, err := Ladder(r, Plan{}); err == nil || !strings.Contains(err.Error(), "too many") {
		t.Errorf("the whole piece: %v", err)
	}
	r = toReduce(t, "etude-millrace", "12")
	for _, p := range []Plan{{Rest: -1}, {From: 90, To: 60}, {From: 20, To: 60}, {Hands: "three"}, {Hardest: -1}} {
		if _, err := Ladder(r, p); err == nil {
			t.Errorf("%+v is taken", p)
		}
	}
}
