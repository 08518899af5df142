package practice

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony"
	"hairpin/report"
	"hairpin/report/internal/demo"
)

// printed is a score of one part, with or without pitch.
func printed(t *testing.T, name, measures string) *report.Reading {
	t.Helper()
	f := demo.OnePart(t, name, measures)
	if _, err := report.New(f, report.Options{}); !errors.Is(err, harmony.ErrNoPitch) {
		t.Fatalf("got %v, want no pitch", err)
	}
	r, err := report.Printed(f, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func struck(duration, kind, voice string) string {
	return `<note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched><duration>` + duration + `</duration><voice>` + voice + `</voice><type>` + kind + `</type></note>`
}

// What has no pitch: the rhythm in groups, from either hand; hands in turn (common
// practice, no source). A beat of rest follows every group, and no group of rests alone.
func TestDrumsGoHandToHand(t *testing.T) {
	measure := `<measure number="5">` + head + struck("1", "eighth", "1") + struck("1", "eighth", "1") + struck("2", "quarter", "1") +
		`<note><rest/><duration>2</duration><voice>1</voice><type>quarter</type></note>` + struck("2", "quarter", "1") + `</measure>`
	list := systems(laddered(t, printed(t, "Snare drum", measure), Plan{}))
	if len(list) != 4 {
		t.Fatalf("%d rungs, want right first, left first, the drill, the page", len(list))
	}
	for i, want := range []string{"[R][L][R][L]", "[L][R][L][R]"} {
		if got := fingerings(list[i]); got != want {
			t.Errorf("rung %d: %s, want %s", i+1, got, want)
		}
		rests := 0
		for _, n := range list[i][0].list {
			if n.find("rest") != nil {
				rests++
			}
		}
		if rests != 1+3 {
			t.Errorf("rung %d: %d rests, want the page's and one after each of three groups", i+1, rests)
		}
	}
	if got := fingerings(list[3]); got != "" {
		t.Errorf("sticking %s in the measure as written", got)
	}
}

func fingerings(measures []*element) (text string) {
	for _, m := range measures {
		for _, n := range m.list {
			if f := sourceFingering(n); f != nil {
				text += f.text
			}
		}
	}
	return text
}

// A kit of two voices goes voice by voice, and no sticking is made up.
func TestKitGoesVoiceByVoice(t *testing.T) {
	measure := `<measure number="1">` + head + strings.Repeat(struck("2", "quarter", "1"), 4) + `<backup><duration>8</duration></backup>` +
		strings.Repeat(struck("4", "half", "2"), 2) + `</measure>`
	list := systems(laddered(t, printed(t, "Drum set", measure), Plan{}))
	if len(list) != 4 {
		t.Fatalf("%d rungs, want groups, two voices, the page", len(list))
	}
	for i, want := range []int{4, 2} {
		if got := strings.Count(el("x", list[i+1]...).String(), "<unpitched>"); got != want {
			t.Errorf("voice %d: %d notes, want %d", i+1, got, want)
		}
	}
	if got := fingerings(slices.Concat(list...)); got != "" {
		t.Errorf("sticking %s for a kit", got)
	}
}

// A rung has one tempo, its own: the page's mark does not stand in it, and a page
// too slow to climb to is counted in a shorter unit. A quarter of 30 is an eighth of 60.
func TestOneTempoARung(t *testing.T) {
	measure := strings.Replace(vibes, "<beat-unit>half</beat-unit><per-minute>60<", "<beat-unit>quarter</beat-unit><per-minute>30<", 1)
	list := systems(laddered(t, small(t, "Vibraphone", measure, "7"), Plan{}))
	for i, s := range list {
		text := el("x", s...).String()
		if strings.Count(text, "<metronome>") != 1 || !strings.Contains(text, "<beat-unit>eighth</beat-unit>") {
			t.Errorf("rung %d: %d tempi, want one in eighths", i+1, strings.Count(text, "<metronome>"))
		}
	}
	if last := el("x", list[len(list)-1]...).String(); !strings.Contains(last, "<per-minute>60<") {
		t.Error("the last rung is not at the page's tempo")
	}
}

// The rests inside a repeat bring no time signature of their own, and longer ones
// take more than one measure.
func TestRestKeepsTheTime(t *testing.T) {
	list := systems(laddered(t, small(t, "Vibraphone", vibes, "8"), Plan{Rest: 6}))
	last := list[len(list)-1]
	beats := 0
	for _, m := range last[1:] {
		if m.find("attributes", "time") != nil {
			t.Error("the rest has a time signature")
		}
		for _, n := range m.list {
			if n.find("rest") != nil {
				beats++
			}
		}
	}
	if len(last) != 3 || beats != 6 {
		t.Errorf("%d beats of rest in %d measures, want six in two", beats, len(last)-1)
	}
}

// Levels stand under every rung in words; a page without any has no repeat as printed.
func TestLevelsInWords(t *testing.T) {
	for mark, want := range map[string]string{"<f/>": "4 times: pp, mp, f, then as printed (f)", "": "3 times: pp, mp, then f"} {
		measures := vibes
		if mark == "" {
			measures = strings.NewReplacer("<p/>", "", "<f/>", "").Replace(vibes)
		}
		text := laddered(t, small(t, "Vibraphone", measures, "8"), Plan{}).String()
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the sheet", want)
		}
		if times := `times="` + want[:1] + `"`; !strings.Contains(text, times) {
			t.Errorf("no repeat has %s", times)
		}
	}
}

// The unit of the metronome is a beat: a plain quarter is none in 6/8, and more than
// 240 eighths a minute are counted in dotted quarters (common practice, no source).
func TestUnitIsABeat(t *testing.T) {
	for mark, want := range map[string]string{
		"quarter</beat-unit><per-minute>90":                 `<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>60</per-minute>`,
		"eighth</beat-unit><per-minute>300":                 `<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>100</per-minute>`,
		"eighth</beat-unit><per-minute>180":                 `<beat-unit>eighth</beat-unit><per-minute>180</per-minute>`,
		"quarter</beat-unit><beat-unit-dot/><per-minute>66": `<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>66</per-minute>`,
	} {
		measure := strings.NewReplacer("<beats>4</beats><beat-type>4", "<beats>6</beats><beat-type>8").Replace(`<measure number="1">` + head)
		measure += `<direction><direction-type><metronome><beat-unit>` + mark + `</per-minute></metronome></direction-type></direction>`
		for _, step := range strings.Fields("C E G C E G") {
			measure += note(step, "4", "1", "eighth", "")
		}
		list := systems(laddered(t, small(t, "Piano", measure+`</measure>`, ""), Plan{}))
		text := strings.NewReplacer("\n", "", " <", "<").Replace(el("x", list[len(list)-1]...).String())
		for strings.Contains(text, " <") {
			text = strings.ReplaceAll(text, " <", "<")
		}
		if !strings.Contains(text, want) {
			t.Errorf("%s: the last rung is not at %s", mark, want)
		}
	}
}

// A hairpin between the staves has both its ends in a rung of one staff, or none.
func TestOneStaffHasNoHalfHairpins(t *testing.T) {
	open, shut := `<direction><direction-type><wedge type="crescendo"/></direction-type><staff>1</staff></direction>`, `<direction><direction-type><wedge type="stop"/></direction-type><staff>2</staff></direction>`
	measure := `<measure number="1">` + strings.Replace(head, `<clef>`, `<staves>2</staves><clef>`, 1) + open
	for _, step := range strings.Fields("C D E F G A B A") {
		measure += note(step, "4", "1", "eighth", "<staff>1</staff>")
	}
	measure += `<backup><duration>8</duration></backup>`
	for _, step := range strings.Fields("C D E F G A B A") {
		measure += strings.Replace(note(step, "3", "1", "eighth", "<staff>2</staff>"), "<voice>1", "<voice>5", 1)
	}
	list := systems(laddered(t, small(t, "Piano", measure+shut+`</measure>`, ""), Plan{}))
	alone := 0
	for _, s := range list {
		text := el("x", s...).String()
		if a, b := strings.Count(text, `type="crescendo"`), strings.Count(text, `type="stop"`); a != b {
			t.Errorf("%d hairpins begin and %d end", a, b)
		}
		if strings.Contains(text, "staff alone") {
			alone++
		}
	}
	if last := el("x", list[len(list)-1]...).String(); alone != 2 || !strings.Contains(last, `type="stop"`) {
		t.Errorf("%d rungs of one staff, want two; the page's own hairpin has to stay", alone)
	}
}
