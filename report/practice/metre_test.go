package practice

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

// inMetre is one measure of running notes in a metre, on one staff or on both, with
// 48 divisions a quarter. The last two notes of the lower staff are a longer one.
func inMetre(beats, unit, finest int, staves int) string {
	const quarter = 48
	kinds := map[int]string{1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th", 32: "32nd", 64: "64th"}
	text := `<measure number="1"><attributes><divisions>48</divisions><time><beats>` + strconv.Itoa(beats) + `</beats><beat-type>` + strconv.Itoa(unit) + `</beat-type></time>`
	if staves == 2 {
		text += `<staves>2</staves>`
	}
	text += `</attributes>`
	length := beats * 4 * quarter / unit
	each := 4 * quarter / finest
	for staff := 1; staff <= staves; staff++ {
		if staff == 2 {
			text += fmt.Sprintf(`<backup><duration>%d</duration></backup>`, length)
		}
		for i := range length / each {
			text += fmt.Sprintf(`<note><pitch><step>%c</step><octave>%d</octave></pitch><duration>%d</duration><voice>%d</voice><type>%s</type><staff>%d</staff></note>`,
				"CDEFGAB"[i%7], 6-2*staff, each, 4*staff-3, kinds[finest], staff)
		}
	}
	return text + `</measure>`
}

// printedQuarters is what a note's printed value says, in quarters; 0 without one. Values,
// dots and tuplets: MusicXML 4.0 (W3C Music Notation Community Group, 2021).
func printedQuarters(n *element) float64 {
	q := map[string]float64{"whole": 4, "half": 2, "quarter": 1, "eighth": .5, "16th": .25, "32nd": .125, "64th": .0625, "128th": .03125}[n.get("type")]
	dots := 0
	for _, c := range n.list {
		if c.name == "dot" {
			dots++
		}
	}
	q *= 2 - math.Pow(0.5, float64(dots))
	if m := n.find("time-modification"); m != nil {
		q *= float64(m.whole("normal-notes", 1)) / float64(m.whole("actual-notes", 1))
	}
	return q
}

// Every measure of every step is full in every voice, lasts what its time signature
// says, and every note is as long as it is printed; between two steps two beats rest.
// The metres are those of common practice; in each the passage runs in the finest
// notes given, and the beat, in 48ths of a quarter, is three units of a compound metre.
func TestStepsKeepTheirMetre(t *testing.T) {
	for _, c := range []struct{ beats, unit, finest, beat int }{
		{4, 4, 8, 48}, {4, 4, 16, 48}, {3, 4, 16, 48}, {2, 2, 8, 96}, {3, 2, 8, 96}, {6, 8, 16, 72}, {9, 8, 16, 72}, {12, 16, 32, 36}, {3, 8, 16, 24}, {5, 8, 8, 24}, {6, 16, 16, 36}, {4, 32, 32, 6},
	} {
		for staves := 1; staves <= 2; staves++ {
			name := fmt.Sprintf("%d/%d in %dths on %d", c.beats, c.unit, c.finest, staves)
			r := small(t, "Piano", inMetre(c.beats, c.unit, c.finest, staves), "")
			checkMetre(t, name, laddered(t, r, Plan{Rest: 2}), 2*c.beat)
		}
	}
}

func checkMetre(t *testing.T, name string, sheet *element, rest int) {
	t.Helper()
	divisions, beats, unit := 0, 0, 1
	for i, m := range sheet.find("part").list {
		if a := m.find("attributes"); a != nil {
			divisions = a.whole("divisions", divisions)
			if time := a.find("time"); time != nil {
				beats, unit = time.whole("beats", beats), time.whole("beat-type", unit)
			}
		}
		full := beats * 4 * divisions / unit
		at, furthest := 0, 0
		for _, e := range m.list {
			switch e.name {
			case "backup":
				if at -= e.whole("duration", 0); at != 0 {
					t.Errorf("%s, measure %d: a voice begins at %d", name, i+1, at)
				}
			case "forward":
				at += e.whole("duration", 0)
			case "note":
				length := e.whole("duration", 0)
				if q := printedQuarters(e); q > 0 && int(math.Round(q*float64(divisions))) != length {
					t.Errorf("%s, measure %d: a note is %d of %d long: %s", name, i+1, length, divisions, e)
				}
				if e.find("chord") == nil {
					at += length
				}
			}
			if furthest = max(furthest, at); at > full {
				t.Errorf("%s, measure %d: past the bar line, %d of %d", name, i+1, at, full)
			}
		}
		if m.attr("implicit") == "yes" { // the rest between two steps
			full = rest * divisions / 48
		}
		if at != full || furthest != full {
			t.Errorf("%s, measure %d: %d, its furthest voice %d, of %d in %d/%d", name, i+1, at, furthest, full, beats, unit)
		}
	}
}

// A run has every step its kind offers, and one staff has no rungs of two.
func TestStepsOfARun(t *testing.T) {
	for staves, alone := range map[int]int{1: 0, 2: 2} {
		text := laddered(t, small(t, "Piano", inMetre(4, 4, 16, staves), ""), Plan{}).String()
		if got := strings.Count(text, "staff alone"); got != alone {
			t.Errorf("%d staves: %d steps of a staff alone, want %d", staves, got, alone)
		}
		for _, step := range []string{"in groups", "long–short", "short–long", "as written"} {
			if !strings.Contains(text, step) {
				t.Errorf("%d staves: no step %s", staves, step)
			}
		}
	}
}

// A staff that is not written in one measure of the passage is whole all the same, and
// the other one is silent where it alone is played.
func TestStepsOfAStaffLeftOut(t *testing.T) {
	both := strings.Replace(inMetre(4, 4, 8, 2), `number="1"`, `number="2"`, 1)
	upper := strings.Replace(inMetre(4, 4, 8, 1), `</time>`, `</time><staves>2</staves>`, 1)
	r := small(t, "Piano", upper+both, "1-2")
	checkMetre(t, "upper staff first", laddered(t, r, Plan{Rest: 2}), 96)
	list, err := ladders(r, Plan{})
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, g := range list[0].rungs {
		silent := map[string]string{"lower staff alone": "1", "upper staff alone": "2"}[g.name]
		if silent == "" {
			continue
		}
		found++
		for i, b := range g.bars {
			staves := map[string]bool{}
			for _, e := range b.list {
				if e.name == "note" {
					staves[e.get("staff")] = true
				}
				if e.find("pitch") != nil && e.get("staff") == silent {
					t.Errorf("%s: staff %s plays", g.name, silent)
				}
			}
			if !staves["1"] || !staves["2"] {
				t.Errorf("%s: measure %d has the staves %v", g.name, i+1, staves)
			}
		}
	}
	if found != 2 {
		t.Errorf("%d steps of one staff, want 2", found)
	}
}

// The rest after a group waits until a tied note has ended: no step of groups parts a
// note that is held over the beat.
func TestGroupsKeepTies(t *testing.T) {
	tie := func(kind string) string { return `<tie type="` + kind + `"/>` }
	held := func(step, length, kind, ties string) string {
		return `<note><pitch><step>` + step + `</step><octave>4</octave></pitch><duration>` + length + `</duration>` + ties + `<voice>1</voice><type>` + kind + `</type></note>`
	}
	measure := `<measure number="1">` + head + note("C", "4", "1", "eighth", "") + held("D", "1", "eighth", tie("start")) + held("D", "1", "eighth", tie("stop")) +
		note("E", "4", "1", "eighth", "") + note("F", "4", "1", "eighth", "") + note("G", "4", "1", "eighth", "") + note("A", "4", "1", "eighth", "") + note("B", "4", "1", "eighth", "") + `</measure>`
	for _, s := range systems(laddered(t, small(t, "Flute", measure, ""), Plan{})) {
		var row []string
		for _, e := range s[0].list {
			if e.name == "note" {
				row = append(row, e.get("pitch", "step"))
			}
		}
		if text := strings.Join(row, " "); strings.Count(text, "  ") > 0 && !strings.HasPrefix(text, "C D D E  ") {
			t.Errorf("groups: %q", text)
		}
	}
}
