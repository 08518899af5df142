package tension

import (
	"fmt"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// sequence rates numerals, two quarters each, the first on a downbeat.
func sequence(t *testing.T, k tonal.Key, romans ...string) *Course {
	t.Helper()
	var in []Written
	for _, r := range romans {
		in = append(in, Written{Key: k, Roman: r, Quarters: 2})
	}
	_, a, err := RateSequence(k, in, Weights{1, 1, 1})
	if err != nil {
		t.Fatalf("%v in %s: %v", romans, k, err)
	}
	return a
}

// The textbook cadence: the dominant above its preparation, the tonic below both.
func TestCadentialDominantIsThePeak(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		for _, preparation := range []string{written.Pick(k, "IV", "iv"), written.Pick(k, "ii6", "ii°6"), written.Pick(k, "ii65", "iiø65"), written.Pick(k, "vi", "VI"), "bII6"} {
			for _, dominant := range []string{"V7", "vii°7"} {
				a := sequence(t, k, written.Pick(k, "I", "i"), preparation, dominant, written.Pick(k, "I", "i"))
				c := a.Chords
				if preparation == written.Pick(k, "vi", "VI") && dominant == "vii°7" {
					continue
				}
				if c[2].Tension.Total <= c[1].Tension.Total {
					t.Errorf("%s: %s %.1f is not above %s %.1f", k, dominant, c[2].Tension.Total, preparation, c[1].Tension.Total)
				}
				if last := a.Moments[len(a.Moments)-1].Tension.Total; last >= c[1].Tension.Total || last >= c[2].Tension.Total {
					t.Errorf("%s: tonic %.1f is not below %s %.1f", k, last, preparation, c[1].Tension.Total)
				}
			}
		}
	})
}

func TestDominantTriadAboveSubdominant(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		tonic := written.Pick(k, "I", "i")
		for _, preparation := range []string{written.Pick(k, "IV", "iv"), written.Pick(k, "ii", "ii°6"), written.Pick(k, "ii6", "ii°6")} {
			c := sequence(t, k, tonic, preparation, "V", tonic).Chords
			if c[2].Tension.Total <= c[1].Tension.Total {
				t.Errorf("%s: V %.1f is not above %s %.1f", k, c[2].Tension.Total, preparation, c[1].Tension.Total)
			}
		}
	})
}

func TestDeceptiveAboveAuthentic(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		tonic, sixth := written.Pick(k, "I", "i"), written.Pick(k, "vi", "VI")
		prep := written.Pick(k, "IV", "iv")
		authentic := sequence(t, k, tonic, prep, "V7", tonic)
		deceptive := sequence(t, k, tonic, prep, "V7", sixth)
		a, d := authentic.Chords[3].Tension, deceptive.Chords[3].Tension
		if d.Total <= a.Total || d.Pull <= a.Pull {
			t.Errorf("%s: deceptive %.1f (pull %.1f), authentic %.1f (pull %.1f)", k, d.Total, d.Pull, a.Total, a.Pull)
		}
		if got := deceptive.Expectations[0].Release; got != Deceptively {
			t.Errorf("%s: V7–%s is let go %q", k, sixth, got)
		}
		if got := authentic.Expectations[0].Release; got != Fully {
			t.Errorf("%s: V7–%s is let go %q", k, tonic, got)
		}
	})
}

func TestInvertedTonicLetsGoInPart(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		tonic := written.Pick(k, "I", "i")
		full := sequence(t, k, tonic, "V7", tonic)
		part := sequence(t, k, tonic, "V7", tonic+"6")
		if f, p := full.Chords[2].Tension.Total, part.Chords[2].Tension.Total; p <= f {
			t.Errorf("%s: inverted %.1f, root position %.1f", k, p, f)
		}
		if got := part.Expectations[0].Release; got != Partly {
			t.Errorf("%s: V7–%s6 is let go %q", k, tonic, got)
		}
	})
}

// A chain of applied dominants passes its expectation on.
func TestChainPassesOn(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		if k.Minor {
			return
		}
		a := sequence(t, k, "I", "V7/ii", "V7/V", "V7", "I")
		for i, want := range []Release{PassedOn, PassedOn, Fully} {
			if got := a.Expectations[i].Release; got != want {
				t.Errorf("%s: expectation %d is let go %q, want %q", k, i, got, want)
			}
		}
		alone := sequence(t, k, "I", "V7", "I")
		if chain, one := a.Chords[3].Tension.Pull, alone.Chords[1].Tension.Pull; chain <= one {
			t.Errorf("%s: V7 after a chain pulls %.1f, alone %.1f", k, chain, one)
		}
	})
}

// A dominant pedal grows while it lasts, whatever moves above it.
func TestDominantPedalGrows(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		tonic, sub := written.Pick(k, "I", "i"), written.Pick(k, "IV", "iv")
		bass := k.Degree(5).PC() + 36
		var in []Written
		for _, r := range []string{tonic, "V", tonic, "V", sub, "V7", tonic, "V7"} {
			n, _ := tonal.ParseNumeral(r, k)
			keys := append([]int{bass}, written.Close(n.Tones(k), 60)...)
			if len(in) == 0 {
				keys = written.Close(n.Tones(k), 48)
			}
			in = append(in, Written{Key: k, Roman: r, Quarters: 2, Keys: keys})
		}
		s, a, err := RateSequence(k, in, Weights{1, 1, 1})
		if err != nil {
			t.Fatal(err)
		}
		for i := range a.Chords {
			a.Chords[i].Pedal = i > 0 && !dominantRoot(a.Chords[i].Key, a.Chords[i].Root)
		}
		a.Rate(s, Weights{1, 1, 1})
		for i := 3; i < len(a.Moments); i += 2 {
			if now, before := a.Moments[i].Tension.Pull, a.Moments[i-2].Tension.Pull; now <= before {
				t.Errorf("%s: pull over the pedal falls from %.1f to %.1f at chord %d", k, before, now, i)
			}
		}
	})
}

func dominantRoot(k tonal.Key, c score.Class) bool { return c == k.Degree(5) }

// A dominant held through repeated strokes pulls more and more.
func TestHeldDominantGrows(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		a := sequence(t, k, written.Pick(k, "I", "i"), "V7", "V7", "V7", "V7")
		for i := 2; i < len(a.Moments); i++ {
			if now, before := a.Moments[i].Tension, a.Moments[i-1].Tension; now.Pull <= before.Pull {
				t.Errorf("%s: pull falls from %.1f to %.1f", k, before.Pull, now.Pull)
			}
		}
	})
}

// voiced is a numeral in close position over its bass.
func voiced(n tonal.Numeral, k tonal.Key) []int {
	tones := n.Tones(k)
	return written.Close(append(append([]score.Class(nil), tones[n.Inversion:]...), tones[:n.Inversion]...), 48)
}

// Every chord of the vocabulary is heard the same in every key of its mode.
func TestTransposition(t *testing.T) {
	romans := [2][]string{
		{"I", "IV", "ii65", "V7", "vi", "V7/V", "V", "Cad64", "V7", "I6", "bVI", "Ger65", "V", "vii°7", "iii", "V42/IV", "IV6", "iv", "bII6", "vii°7/V", "V43", "I"},
		{"i", "iv", "iiø65", "V7", "VI", "V7/iv", "iv6", "Cad64", "V7", "i6", "III", "Fr43", "V", "vii°7", "VII", "V7/III", "III", "It6", "V", "bII6", "V65", "I"},
	}
	for mode, list := range romans {
		home := tonal.Key{Tonic: 0, Minor: mode == 1}
		want := sequence(t, home, list...)
		for fifths := score.Class(-9); fifths <= 9; fifths++ {
			got := sequence(t, tonal.Key{Tonic: fifths, Minor: mode == 1}, list...)
			for i := range want.Moments {
				if !same(want.Moments[i].Tension, got.Moments[i].Tension) {
					t.Fatalf("%s in %s: %+v, in %s %+v", list[i], home, want.Moments[i].Tension, tonal.Key{Tonic: fifths, Minor: mode == 1}, got.Moments[i].Tension)
				}
			}
		}
	}
}

func same(a, b tonal.Tension) bool {
	return agree(a.Total, b.Total, 1e-9) && agree(a.Dissonance, b.Dissonance, 1e-9) && agree(a.Distance, b.Distance, 1e-9) && agree(a.Pull, b.Pull, 1e-9)
}

// Moving one voice by an octave changes nothing but the dissonance; doubling a
// voice changes the total by little: at most doublingBound points.
const doublingBound = 3.0

func TestOctavesAndDoublings(t *testing.T) {
	worst := 0.0
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		romans := []string{written.Pick(k, "I", "i"), written.Pick(k, "ii65", "iiø65"), "V7", written.Pick(k, "vi", "VI"), "vii°7", written.Pick(k, "I", "i")}
		var plain []Written
		for _, r := range romans {
			n, _ := tonal.ParseNumeral(r, k)
			plain = append(plain, Written{Key: k, Roman: r, Quarters: 2, Keys: voiced(n, k)})
		}
		_, a, err := RateSequence(k, plain, Weights{1, 1, 1})
		if err != nil {
			t.Fatal(err)
		}
		for voice := 1; voice < 3; voice++ {
			for _, double := range []bool{false, true} {
				var in []Written
				for _, w := range plain {
					keys := append([]int(nil), w.Keys...)
					if double {
						keys = append(keys, keys[voice]+12)
					} else {
						keys[voice] += 12
					}
					in = append(in, Written{Key: k, Roman: w.Roman, Quarters: 2, Keys: keys})
				}
				_, b, err := RateSequence(k, in, Weights{1, 1, 1})
				if err != nil {
					t.Fatal(err)
				}
				for i := range a.Moments {
					x, y := a.Moments[i].Tension, b.Moments[i].Tension
					if !agree(x.Distance, y.Distance, 1e-9) || !agree(x.Pull, y.Pull, 1e-9) {
						t.Errorf("%s %s, voice %d: distance or pull moved: %+v, %+v", k, romans[i], voice, x, y)
					}
					if double {
						worst = max(worst, max(x.Total-y.Total, y.Total-x.Total))
					}
				}
			}
		}
	})
	t.Logf("doubling a voice at the octave changes the total by at most %.1f", worst)
	if worst > doublingBound {
		t.Errorf("doubling changes the total by %.1f", worst)
	}
}

// A suspension weighs more than its resolution, in every key and both ways it
// is usually written.
func TestSuspensionAboveResolution(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		for _, c := range []struct {
			before, chord string
			degree, to    int
		}{
			{written.Pick(k, "IV", "iv"), written.Pick(k, "I", "i"), 4, 3}, {written.Pick(k, "I", "i"), "V", 1, 7}, {"V", written.Pick(k, "I", "i"), 2, 1},
		} {
			s, a := suspended(t, k, c.before, c.chord, c.degree, c.to)
			_ = s
			on, off := a.Moments[1].Tension, a.Moments[2].Tension
			if on.Total <= off.Total || on.Dissonance <= off.Dissonance {
				t.Errorf("%s: %d–%d over %s: %.1f then %.1f (dissonance %.1f, %.1f)", k, c.degree, c.to, c.chord, on.Total, off.Total, on.Dissonance, off.Dissonance)
			}
		}
	})
}

// suspended writes a chord for a half note, the next for a whole one with a
// tone of the first held over its first half in the soprano, then resolved.
func suspended(t *testing.T, k tonal.Key, before, after string, degree, to int) (*score.Score, *Course) {
	t.Helper()
	s, a, err := RateSequence(k, []Written{{Key: k, Roman: before, Quarters: 4}, {Key: k, Roman: after, Quarters: 4}}, Weights{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	half := s.Division * 2
	from, goal := k.Degree(degree), k.Degree(to)
	if k.Minor && to == 7 {
		goal += 7
	}
	high := written.Close([]score.Class{from}, 72)[0]
	low := high - tonal.Mod(high-goal.PC(), 12)
	s.Notes = append(s.Notes,
		score.Note{Onset: 0, Duration: 3 * half, Staff: 1, Voice: 9, Pitch: pitchAt(high, from)},
		score.Note{Onset: 3 * half, Duration: half, Staff: 1, Voice: 9, Pitch: pitchAt(low, goal)})
	drop := func(n score.Note) bool { // the tone awaited must not sound against the suspension
		return n.Voice != 9 && n.Onset == a.Chords[1].Start && n.Pitch.Class() == goal
	}
	var kept []score.Note
	for _, n := range s.Notes {
		if !drop(n) {
			kept = append(kept, n)
		}
	}
	s.Notes = kept
	sortNotes(s)
	a.Slices = tonal.Slices(s, 0)
	a.Rate(s, Weights{1, 1, 1})
	return s, a
}

func sortNotes(s *score.Score) {
	for i := range s.Notes {
		for j := i; j > 0 && s.Notes[j].Onset < s.Notes[j-1].Onset; j-- {
			s.Notes[j], s.Notes[j-1] = s.Notes[j-1], s.Notes[j]
		}
	}
}

func ExampleCourse_Rate() {
	c, _ := tonal.ParseKey("C")
	_, a, _ := RateSequence(c, []Written{
		{Key: c, Roman: "I"}, {Key: c, Roman: "ii6"}, {Key: c, Roman: "V7"}, {Key: c, Roman: "vi"}, {Key: c, Roman: "V7"}, {Key: c, Roman: "I"},
	}, Weights{1, 1, 1})
	for _, chord := range a.Chords {
		fmt.Printf("%-4s %3.0f\n", chord.Roman(), chord.Tension.Total)
	}
	for _, e := range a.Expectations {
		fmt.Println(e.By, "for", e.Target, "let go", e.Release)
	}
	// Output:
	// I      0
	// ii6   58
	// V7    77
	// vi    67
	// V7    62
	// I      6
	// dominant for C let go deceptively
	// dominant for C let go fully
}

// BenchmarkRate states the cost for each slice a note sounds in.
func BenchmarkRate(b *testing.B) {
	c, _ := tonal.ParseKey("C")
	var in []Written
	for i := 0; i < 200; i++ {
		for _, r := range []string{"I", "ii65", "V7", "vi", "IV", "Cad64", "V7", "I", "V7/vi", "vi", "vii°7/V", "V"} {
			in = append(in, Written{Key: c, Roman: r})
		}
	}
	s, a, err := RateSequence(c, in, Weights{1, 1, 1})
	if err != nil {
		b.Fatal(err)
	}
	pairs := 0
	for _, sl := range a.Slices {
		pairs += len(sl.Notes)
	}
	b.ResetTimer()
	for b.Loop() {
		a.Rate(s, Weights{1, 1, 1})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(pairs), "ns/slice-note")
}
