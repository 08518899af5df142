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
		if i > 0 && (x.From >= m.Told[i-1].From || x.Confidence > m.Told[i-1].Confidence) || x.Confidence > 1 || x.Confidence < 0 {
			t.Errorf("told %v after %v", x, m.Told[max(i-1, 0)])
		}
	}
	if hi, lo := m.told(0.99), m.told(0.4); tonal.CertaintyOf(hi) != tonal.Sure || tonal.CertaintyOf(lo) != tonal.Unsure {
		t.Errorf("a probability of .99 is told as %.2f, of .4 as %.2f", hi, lo)
	}
}

// A bad table is refused with its line.
func TestBadTablesOfTheHarmonysWay(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(fitted), "\n")
	for name, text := range map[string]string{
		"no number":          "start\tx\t0\t0\t0",
		"unknown quantity":   "weather\t0\t1\t0\t0\t0\t0",
		"too few cells":      "told\t0.5",
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
