package page

import (
	"math"
	"strings"
	"testing"
)

// W3C Music Notation Community Group 2021, MusicXML 4.0, sound/@dynamics: a
// percentage of the default forte, velocity 90. Velocities of the marks as
// tables of practice give them.
func TestMarksAgainstVelocityAndPercent(t *testing.T) {
	for _, c := range []struct {
		mark     string
		velocity float64
		percent  float64
	}{
		{"ppp", 16, 17.78}, {"pp", 33, 36.67}, {"p", 49, 54.44}, {"mp", 64, 71.11},
		{"mf", 80, 88.89}, {"f", 96, 106.67}, {"ff", 112, 124.44}, {"fff", 126, 140},
	} {
		acts, ok := readMark(c.mark)
		if !ok {
			t.Fatalf("%s is not read", c.mark)
		}
		if v := 16 * acts[0].level; math.Abs(v-c.velocity) > 2 {
			t.Errorf("%s has velocity %g, tables say %g", c.mark, v, c.velocity)
		}
		if l := fromPercent(c.percent); Mark(l) != c.mark {
			t.Errorf("%g percent reads as %s, want %s", c.percent, Mark(l), c.mark)
		}
	}
	for _, c := range [][2]float64{{100, 90}, {54.44, 49}, {71.11, 64}, {88.89, 80}, {124.44, 112}} {
		if v := 16 * fromPercent(c[0]); math.Abs(v-c[1]) > 0.1 {
			t.Errorf("%g percent is velocity %.2f, want %g", c[0], v, c[1])
		}
	}
}

// Kosta, Bandtlow & Chew 2018, MazurkaBL: mean loudness at 2 098 recordings'
// marks, pp .328, p .393, mf .483, f .643, ff .750. Only the order is asked.
func TestLevelsRiseAsPerformersPlayThem(t *testing.T) {
	loudness := []struct {
		mark string
		mean float64
	}{{"pp", .328}, {"p", .393}, {"mf", .483}, {"f", .643}, {"ff", .750}}
	for i := 1; i < len(loudness); i++ {
		a, _ := readMark(loudness[i-1].mark)
		b, _ := readMark(loudness[i].mark)
		if (b[0].level > a[0].level) != (loudness[i].mean > loudness[i-1].mean) {
			t.Errorf("%s and %s stand the other way round", loudness[i-1].mark, loudness[i].mark)
		}
	}
}

// Steps of power of one mark to the next under the square law of Dannenberg
// 2006, "The interpretation of MIDI velocity", ICMC, with a range of 60 dB:
// -11.50 dB at velocity 64 (mp), -7.79 at 80 (mf), -4.73 at 96 (f). stepRatio
// must lie between the two steps.
func TestStepRatioAgainstSquareLaw(t *testing.T) {
	step := 10 * math.Log10(stepRatio)
	if upper, lower := 11.50-7.79, 7.79-4.73; step < lower || step > upper+1 {
		t.Errorf("a step is %.2f dB, the law gives %.2f to %.2f", step, lower, upper)
	}
}

func TestEveryMusicXMLMarkIsRead(t *testing.T) {
	// MusicXML 4.0, element dynamics: its 26 named children.
	for _, m := range strings.Fields("p pp ppp pppp ppppp pppppp f ff fff ffff fffff ffffff mp mf sf sfp sfpp fp rf rfz sfz sffz fz n pf sfzp") {
		if _, ok := readMark(m); !ok {
			t.Errorf("%s is not read", m)
		}
	}
	for _, m := range strings.Fields("x fpf pfp s z sz m pmf") {
		if _, ok := readMark(m); ok {
			t.Errorf("%s is read as a mark", m)
		}
	}
}
