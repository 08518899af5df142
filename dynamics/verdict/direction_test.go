package verdict

import (
	"math"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
)

// The table that is part of the program is whole, and no probability is told
// with more confidence than a higher one.
func TestTableOfTheHarmonysWay(t *testing.T) {
	m, err := direction()
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, p := range m.Chances(m.Mean) {
		sum += p
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("chances add up to %.3f", sum)
	}
	for i, x := range m.Told {
		if i > 0 && x.Supports == m.Told[i-1].Supports && (x.From >= m.Told[i-1].From || x.Confidence > m.Told[i-1].Confidence) || x.Confidence > 1 || x.Confidence < 0 {
			t.Errorf("told %v after %v", x, m.Told[max(i-1, 0)])
		}
	}
	if p := m.told(Unshaped, 0.99); tonal.CertaintyOf(p) != tonal.Likely { // what is not printed is never sure to be missed
		t.Errorf("unshaped of probability .99 is told as %.2f", p)
	}
	if hi, lo := m.told(Supports, 0.99), m.told(Supports, 0.4); tonal.CertaintyOf(hi) != tonal.Sure || tonal.CertaintyOf(lo) != tonal.Unsure {
		t.Errorf("a probability of .99 is told as %.2f, of .4 as %.2f", hi, lo)
	}
}

// A bad table is refused with its line.
func TestBadTablesOfTheHarmonysWay(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(fitted), "\n")
	for name, text := range map[string]string{
		"no number":          "start\tx\t0\t0\t0",
		"unknown quantity":   "weather\t0\t1\t0\t0\t0\t0",
		"too few cells":      "others\t0.5",
		"a quantity is gone": strings.Join(lines[:len(lines)-1], "\n"),
	} {
		if _, err := readModel(text); err == nil {
			t.Errorf("%s: read without an error", name)
		}
	}
}

// What chords do over four measures (Aldwell & Schachter, Harmony and Voice
// Leading, on tonic and dominant; from memory). Tension is about what the
// program gives such chords.
func TestWaysOfCommonProgressions(t *testing.T) {
	level := map[string]float64{"I": 5, "IV": 30, "V": 60}
	for progression, want := range map[string]Deed{
		"I I V V": Builds, "I IV V V": Builds, "V V I I": Releases, "V V V I": Releases,
		"I I I I": Holds, "I IV I I": Holds, "V V V V": Waits,
	} {
		s, p := marked(t, "1:1 mf")
		names := strings.Fields(progression)
		a := heard(s, func(b int) float64 { return level[names[min(b/4, 3)]] })
		v := Over(s, a, p, 0, at(t, "5:1"))
		if got := likeliestDeed(v.Harmony.Chances); got != want {
			t.Errorf("%s %s, want %s: %.2f", progression, got, want, v.Harmony.Chances)
		}
	}
}

func likeliestDeed(c Chances) Deed {
	best := Builds
	for d := range c {
		if c[d] > c[best] {
			best = Deed(d)
		}
	}
	return best
}

// A doubted chord at an end keeps a verdict from being sure: G that may be C.
func TestADoubtedChordIsNeverSure(t *testing.T) {
	s, p := marked(t, "1:1 p", "1:1 <5:1", "5:1 f")
	a := heard(s, func(b int) float64 { return [...]float64{5, 20, 40, 60}[min(b/4, 3)] })
	if v := Over(s, a, p, 0, at(t, "5:1")); v.Kind != Supports || v.Certainty != tonal.Sure {
		t.Fatalf("%s, %s, %.2f %+v", v.Kind, v.Certainty, v.Probability, v.Grounds)
	}
	a.Chords[3].Rival, a.Chords[3].Confidence = "C", 0.8
	v := Over(s, a, p, 0, at(t, "5:1"))
	if d := v.Doubt(); v.Kind != Supports || v.Certainty != tonal.Likely || d.Reason != OtherChord || d.Chord != &a.Chords[3] {
		t.Errorf("%s, %s, %+v", v.Kind, v.Certainty, d)
	}
}

// A slope that leads into a dominant at its end names it as the goal, and one
// that fades into the tonic names the tonic (common practice).
func TestSlopesNameWhereTheyArrive(t *testing.T) {
	level := map[string]float64{"I": 5, "IV": 30, "V": 60}
	for _, c := range []struct{ chords, put, goal string }{
		{"I IV V V", "1:1 <3:1", "V"}, {"V V I I", "1:1 >3:1", "I"},
	} {
		s, p := marked(t, "1:1 mf", c.put)
		names := strings.Fields(c.chords)
		a := heard(s, func(b int) float64 { return level[names[min(b/4, 3)]] })
		v := Over(s, a, p, 0, at(t, "3:1"))
		if v.Kind != Supports || v.Harmony.Onto != &a.Chords[2] || math.Abs(v.Harmony.To-level[c.goal]) > 0.01 {
			t.Errorf("%s under %s: %s to %s at %.0f", c.chords, c.put, v.Kind, v.Harmony.Onto.Roman(), v.Harmony.To)
		}
	}
}

// What holds has no size by its harmony, and what moves has at least half of the
// way between its lowest and its highest beat.
func TestSizeOfWhatMoves(t *testing.T) {
	for _, c := range []struct {
		m    HarmonyMove
		want float64
	}{
		{HarmonyMove{From: 10, To: 40, spread: 40}, 0},
		{HarmonyMove{Way: Up, From: 10, To: 40, spread: 40}, 30},
		{HarmonyMove{Way: Up, From: 40, To: 38, spread: 50}, 25},
	} {
		if got := c.m.moved(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v moves by %.1f, want %.1f", c.m, got, c.want)
		}
	}
}

// A swell is never sure, since its peak is the player's choice, and terraces are unsure.
func TestSwellsAndTerracesAreNeverSure(t *testing.T) {
	for put, most := range map[string]tonal.Certainty{"1:1 <3:1; 3:1 >5:1": tonal.Likely, "2:1 f; 3:1 p": tonal.Unsure} {
		s, p := marked(t, append([]string{"1:1 p"}, strings.Split(put, "; ")...)...)
		v := Over(s, heard(s, func(b int) float64 { return [...]float64{5, 30, 60, 60}[min(b/4, 3)] }), p, 0, at(t, "5:1"))
		if v.Certainty != most || most == tonal.Unsure && v.Doubt().Reason != Terraces || most == tonal.Likely && v.Doubt().Reason != FreePeak {
			t.Errorf("%s: %s, %s: %+v", put, v.Kind, v.Certainty, v.Grounds)
		}
	}
}

// A chord's roles are those of its two best readings: G that may be C.
func TestRolesOfBothReadings(t *testing.T) {
	g := numeral(t, "V")
	g.Confidence, g.Rival = 0.7, "C"
	if r := rolesOf(&g); math.Abs(r.dominant-0.7) > 1e-9 || math.Abs(r.tonic-0.3) > 1e-9 {
		t.Errorf("%+v", r)
	}
	g.Given = true
	if r := rolesOf(&g); math.Abs(r.dominant-1) > 1e-9 {
		t.Errorf("a given chord has %+v", r)
	}
}

// A cadential six-four to which tension falls waits, whatever the model says
// (Aldwell & Schachter, Harmony and Voice Leading, on the cadential six-four; from memory).
func TestSixFourAgainstTheModel(t *testing.T) {
	s, p := marked(t, "1:1 mf")
	j := newJudge(s, heard(s, func(int) float64 { return 40 }), p)
	x := j.spanOver(0, at(t, "3:1"), "silent")
	x.move.Onto.Numeral.Cadential = true
	for _, c := range []struct{ from, to, waits float64 }{{85, 60, 0.9}, {20, 60, 0.4}} {
		x.move.From, x.move.To = c.from, c.to
		if got := x.custom(Chances{Builds: 0.5, Releases: 0.2, Holds: 0.1, Waits: 0.2}); math.Abs(got[Waits]-c.waits) > 1e-9 || got[Releases] > 0 {
			t.Errorf("from %.0f to %.0f: %.2f", c.from, c.to, got)
		}
	}
}

// A slope leads into a chord only if the chord begins where the slope's stretch ends.
func TestLeadsIntoWhatBegins(t *testing.T) {
	s, p := marked(t, "1:1 f", "1:1 >3:3")
	j := newJudge(s, heard(s, func(b int) float64 { return [...]float64{60, 60, 5, 5}[min(b/4, 3)] }), p)
	for place, want := range map[string]bool{"3:1": true, "3:3": false} {
		if got := j.spanOver(0, at(t, place), "falls").leadsInto(tonic); got != want {
			t.Errorf("up to %s: %v", place, got)
		}
	}
}
