package report

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/score"
)

// demos are the scores of our own in testdata.
var demos = []string{"etude-millrace", "song-ferry-lamp", "quartet-below-the-weir", "vibraphone-low-water"}

func demo(t *testing.T, name string) *musicxml.File {
	t.Helper()
	f, err := musicxml.Open(filepath.Join("..", "testdata", name+".musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Score.Warnings) > 0 {
		t.Errorf("%s: %v", name, f.Score.Warnings)
	}
	return f
}

// intended is our own analysis of a demo, written with the music.
func intended(t *testing.T, name string, s *score.Score) []harmony.Correction {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "testdata", name+".chords.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	list, err := harmony.ReadCorrections(file, s)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return list
}

// TestIntendedHarmonyFitsTheNotes holds our own analysis against the notes: in
// every chord most of what sounds belongs to it, spelled as its numeral says. A
// foreign tonic or dominant is a pedal and does not count.
func TestIntendedHarmonyFitsTheNotes(t *testing.T) {
	for _, name := range demos {
		s := demo(t, name).Score
		list := intended(t, name, s)
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

func numeralIn(c harmony.Correction, k harmony.Key) harmony.Numeral {
	n, _ := harmony.ParseNumeral(c.Numeral.Format(k), k)
	if c.Numeral.Cadential && k.Minor {
		n.Quality = harmony.Minor
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
	for _, name := range demos {
		data, err := os.ReadFile(filepath.Join("..", "testdata", name+".musicxml"))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(data), "<rights>MIT licence</rights>") {
			t.Errorf("%s states no licence", name)
		}
	}
}

func chordAt(r *Reading, t score.Tick) harmony.Chord {
	for _, c := range r.Harmony.Chords {
		if c.Start <= t && t < c.End {
			return c
		}
	}
	return harmony.Chord{}
}
