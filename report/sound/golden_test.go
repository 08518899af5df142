package sound_test

import (
	"fmt"
	"testing"

	"hairpin/internal/golden"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/report/sound"
)

// The performances of medleys, note for note. They are written anew with
// HAIRPIN_UPDATE=1 go test ./report/sound -run Golden.
func TestGoldenMedleys(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(12) {
		r, err := report.New(demo.Medley(t, 600+seed), report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, level := range []sound.LevelSource{sound.PrintedLevel, sound.ShapedLevel, sound.HarmonyLevel} {
			for _, repeats := range []bool{false, true} {
				p, err := sound.Perform(r, sound.Listening{Level: level, Repeats: repeats, Tempo: float64(40 * (seed % 3))})
				if err != nil {
					t.Fatal(err)
				}
				sums.Add(t, fmt.Sprint("medley ", seed, " ", level, " repeats ", repeats), p)
			}
		}
	}
	sums.File(t, "medleys.tsv")
}
