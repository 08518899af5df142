package tension

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// Lerdahl & Krumhansl (2007), formula and strengths; B–C, D–C and F–E are the
// paper's own values, the rest computed from the printed formula.
func TestAttraction(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     float64
	}{
		{"B", "C", 2}, {"C", "B", .5}, {"F", "E", 1.5}, {"E", "F", .667}, {"D", "C", .5}, {"C", "D", .125},
		{"D", "E", .375}, {"E", "D", .167}, {"A", "G", .375}, {"G", "A", .167}, {"F", "G", .375}, {"G", "F", .167},
		{"Db", "C", 4}, {"F#", "G", 3}, {"D#", "E", 3}, {"Ab", "G", 3}, {"Bb", "A", 2}, {"B", "A", .25},
		{"A", "B", .25}, {"E", "C", .0833}, {"G", "C", .0533},
	} {
		from, to := written.Tones(t, c.from)[0], written.Tones(t, c.to)[0]
		for by := score.Class(-7); by <= 7; by++ {
			if got := Attraction(from+by, to+by, tonal.Key{Tonic: by, Minor: false}); !agree(got, c.want, .0006) {
				t.Errorf("%s to %s, moved %d fifths: %.4f, want %.4f", c.from, c.to, by, got, c.want)
			}
		}
	}
}

// V–I 2.5 and V7–I 4.0 (Lerdahl & Krumhansl 2007, computed).
func TestLeading(t *testing.T) {
	c, _ := tonal.ParseKey("C")
	for tones, want := range map[string]float64{"G B D": 2.5, "G B D F": 4, "F A C": 1.875} {
		if got := leading(written.Tones(t, tones), tonicTriad(c), tonal.MajorScale); !agree(got, want, 1e-9) {
			t.Errorf("%s to C: %.3f, want %.3f", tones, got, want)
		}
	}
}

// Friberg (1991), table 1, and the order of the circle of fifths it follows.
func TestMelodicCharge(t *testing.T) {
	sharp := []float64{0, 1, 2, 3, 4, 5, 6}
	for i, want := range sharp {
		if got := MelodicCharge(score.Class(i), 0); !agree(got, want, 1e-9) {
			t.Errorf("%d fifths up: %v, want %v", i, got, want)
		}
	}
	flat := []float64{0, 2.5, 3.5, 4.5, 5.5, 6.5}
	for i, want := range flat {
		if got := MelodicCharge(score.Class(-i), 0); !agree(got, want, 1e-9) {
			t.Errorf("%d fifths down: %v, want %v", i, got, want)
		}
	}
	// The sums over chords of C major against the tonic, computed from the table.
	for tones, want := range map[string]float64{"C E G": 5, "F A C": 5.5, "G B D": 8, "G B D F": 10.5, "D F# A": 11, "Ab C Eb F#": 16} {
		sum := 0.0
		for _, c := range written.Tones(t, tones) {
			sum += MelodicCharge(c, 0)
		}
		if !agree(sum, want, 1e-9) {
			t.Errorf("%s: %v, want %v", tones, sum, want)
		}
	}
}
