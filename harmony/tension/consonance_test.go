package tension

import (
	"hairpin/harmony/written"
	"testing"

	"hairpin/harmony/tonal"
)

func TestHuronAggregates(t *testing.T) {
	for _, c := range []struct {
		tones string
		want  float64
	}{
		{"C E G", 2.220}, // Huron (1994), also the unit value of the incon package
		// Computed from the printed indices and the sets' interval-class vectors.
		{"C Eb G", 2.220}, {"C Eb Gb", .735}, {"C E G#", 1.158}, {"C F G", 1.898},
		{"G B D F", 1.779}, {"B D F A", 1.779}, {"C E G B", 2.418}, {"C Eb G Bb", 3.472},
		{"B D F Ab", 1.470}, {"C Eb G B", 1.564}, {"Ab C D F#", -1.298},
		{"C D E G A", 4.788}, {"C D E F G A B", 4.755}, {"A B C D E F G#", 2.538}, {"C D E F# G# A#", -2.535},
	} {
		if got := SetConsonance(written.Tones(t, c.tones)); !agree(got, c.want, .0015) {
			t.Errorf("%s: %.3f, want %.3f", c.tones, got, c.want)
		}
	}
}

// Values of the combined index of Johnson-Laird et al. (2012) as P. M. C.
// Harrison's jl12 combines the rules.
func TestTonalDissonance(t *testing.T) {
	for _, c := range []struct {
		tones string
		want  int
	}{
		{"C E G", 1}, {"G B D F", 1}, {"C E G B", 1}, {"A C E G", 1}, {"C E G D", 1}, {"C E G A", 1},
		{"C Eb G", 3}, {"B D F", 3}, {"B D F A", 3},
		{"C E G#", 7}, {"B D F Ab", 7}, {"A C E G#", 7}, {"C E G# B", 7},
		{"C Db D", 12},
	} {
		if got := TonalDissonance(written.Tones(t, c.tones)); got != c.want {
			t.Errorf("%s: %d, want %d", c.tones, got, c.want)
		}
	}
}

func TestJohnsonLairdRules(t *testing.T) {
	for _, c := range []struct {
		tones                string
		scale, triad, thirds int
	}{ // the cases of jl12's own unit tests
		{"D F# A", 0, 0, 0}, {"D F A", 0, 1, 0}, {"D F G B", 0, 0, 0},
		{"C E G# A", 1, 1, 0}, {"D F G# B", 1, 1, 0}, {"D# F A B", 2, 1, 1},
		{"C E B", 0, 1, 0}, {"C D G", 0, 1, 1},
	} {
		s := tonal.SetOf(written.Tones(t, c.tones))
		if a, b, d := scaleRule(s), triadRule(s), thirdsRule(s); a != c.scale || b != c.triad || d != c.thirds {
			t.Errorf("%s: rules %d %d %d, want %d %d %d", c.tones, a, b, d, c.scale, c.triad, c.thirds)
		}
	}
}

// Harrison & Pearce's harmonicity. The published example values (major .9373,
// diminished .7225) are for twelve harmonics; with the eleven of their composite
// model the same order and size must come out, and inversion changes nothing.
func TestHarmonicity(t *testing.T) {
	for _, c := range []struct {
		tones string
		want  float64
	}{{"C E G", .937}, {"C Eb G", .937}, {"C Eb Gb", .7225}, {"C", 1.560}} {
		if got := Harmonicity(written.Tones(t, c.tones)); !agree(got, c.want, .01) {
			t.Errorf("%s: %.4f, want about %.4f", c.tones, got, c.want)
		}
	}
}

// Parncutt (1988), computed from the published root-support weights.
func TestRootAmbiguity(t *testing.T) {
	for _, c := range []struct {
		tones string
		want  float64
	}{
		{"C E G", 1.871}, {"C Eb G", 2.049}, {"B D F", 2.510}, {"C E G#", 2.201},
		{"G B D F", 2.049}, {"C E G B", 2.160}, {"B D F A", 2.366}, {"B D F Ab", 2.898},
	} {
		if got := RootAmbiguity(written.Tones(t, c.tones)); !agree(got, c.want, .0006) {
			t.Errorf("%s: %.3f, want %.3f", c.tones, got, c.want)
		}
	}
}
