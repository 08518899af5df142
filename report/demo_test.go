package report

import (
	"os"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony/stated"
	"hairpin/harmony/tonal"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// TestIntendedHarmonyFitsTheNotes holds our own analysis against the notes: in
// every chord most of what sounds belongs to it, spelled as its numeral says. A
// foreign tonic or dominant is a pedal and does not count.
func TestIntendedHarmonyFitsTheNotes(t *testing.T) {
	for _, name := range demo.Names() {
		s := demo.Score(t, name).Score
		list := demo.Intended(t, name, s)
		for i, c := range list {
			end := s.Length()
			if i+1 < len(list) {
				end = list[i+1].At
			}
			tones := numeralIn(c, *c.Key).Tones(*c.Key)
			pedals := []score.Class{c.Key.Tonic, c.Key.Degree(5)}
			in, all := overlap(s, tones, pedals, c.At, end)
			if all == 0 || float64(in) < 0.7*float64(all) {
				t.Errorf("%s %v: %s in %s is %v, only %d of %d ticks fit", name, s.At(c.At), c.Numeral.Format(*c.Key), c.Key, tones, in, all)
			}
		}
	}
}

func numeralIn(c stated.Correction, k tonal.Key) tonal.Numeral {
	n, _ := tonal.ParseNumeral(c.Numeral.Format(k), k)
	if c.Numeral.Cadential && k.Minor {
		n.Quality = tonal.Minor
	}
	return n
}

func overlap(s *score.Score, tones, pedals []score.Class, from, to score.Tick) (in, all score.Tick) {
	for _, n := range s.Notes {
		d := min(n.End(), to) - max(n.Onset, from)
		own := slices.Contains(tones, n.Pitch.Class())
		if d <= 0 || !own && slices.Contains(pedals, n.Pitch.Class()) {
			continue
		}
		if all += d; own {
			in += d
		}
	}
	return in, all
}

func TestDemosNameTheirLicence(t *testing.T) {
	for _, name := range demo.Names() {
		data, err := os.ReadFile(demo.Path(t, name+".musicxml"))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(data), "<rights>MIT licence</rights>") {
			t.Errorf("%s states no licence", name)
		}
	}
}

func chordAt(r *Reading, t score.Tick) tonal.Chord {
	for _, c := range r.Harmony.Chords {
		if c.Start <= t && t < c.End {
			return c
		}
	}
	return tonal.Chord{}
}
