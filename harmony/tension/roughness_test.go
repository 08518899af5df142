package tension

import (
	"math"
	"testing"
)

// Check values of Mashinter's parametrisation of Hutchinson & Knopoff (1978),
// from the unit tests of P. M. C. Harrison's open reimplementation (dycon).
func TestRoughnessFormula(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"g(1)", pureRoughness(1), .0397},
		{"g(.5)", pureRoughness(.5), .5413},
		{"g(1.5), beyond the cut-off", pureRoughness(1.5), 0},
		{"critical band of 400 and 440 Hz", criticalBandwidth(400, 440), 87.225},
		{"critical band of 400 and 380 Hz", criticalBandwidth(400, 380), 83.123},
	} {
		if !agree(c.got, c.want, .001*max(1, c.want)) {
			t.Errorf("%s = %.4f, want %.4f", c.name, c.got, c.want)
		}
	}
}

func TestRoughnessOfChords(t *testing.T) {
	for _, c := range []struct {
		keys []int
		want float64
	}{
		{[]int{60, 61}, .484}, {[]int{60, 64, 67}, .1202426}, {[]int{60, 63, 67}, .1300830}, // dycon
		// The same formula computed independently, eleven harmonics.
		{[]int{60, 63, 66}, .2006}, {[]int{60, 64, 68}, .1480}, {[]int{60, 65, 67}, .1801},
		{[]int{60, 64, 67, 70}, .2215}, {[]int{60, 64, 67, 71}, .2375}, {[]int{60, 63, 67, 70}, .1943},
		{[]int{60, 63, 66, 70}, .2376}, {[]int{60, 63, 66, 69}, .2624},
		{[]int{64, 67, 72}, .1353}, {[]int{55, 60, 64}, .1360},
	} {
		if got := Roughness(c.keys); !agree(got, c.want, .0006) {
			t.Errorf("Roughness(%v) = %.4f, want %.4f", c.keys, got, c.want)
		}
	}
	if got := Roughness(nil); got != 0 {
		t.Errorf("no tone: %v", got)
	}
}

// The dyads of Hutchinson & Knopoff (1979) as Huron (1994) prints them, from
// memory; the number of partials differs, so only the order and a margin of
// .02 can be asked.
func TestRoughnessOfIntervals(t *testing.T) {
	printed := []float64{.4886, .2690, .1109, .0551, .0451, .0930, .0221, .0843, .0477, .0998, .2312}
	var ours []float64
	for i, want := range printed {
		got := Roughness([]int{60, 61 + i})
		ours = append(ours, got)
		if math.Abs(got-want) > .02 {
			t.Errorf("%d semitones: %.4f, printed %.4f", i+1, got, want)
		}
	}
	if r := spearman(ours, printed); r < .98 {
		t.Errorf("order of the intervals: %.3f", r)
	}
}
