package tonal_test

import (
	"math"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

func TestProfileSums(t *testing.T) {
	sum := func(p [12]float64) (s float64) {
		for _, v := range p {
			s += v
		}
		return s
	}
	for _, c := range []struct {
		name         string
		p            tonal.Profile
		major, minor float64
	}{
		{"Krumhansl–Kessler", tonal.KrumhanslKessler, 41.79, 44.51},
		{"Temperley", tonal.Temperley, 4.246, 4.183},
		{"Albrecht–Shanahan", tonal.AlbrechtShanahan, 1, .998},
	} {
		if !agree(sum(c.p.Major), c.major, 1e-9) || !agree(sum(c.p.Minor), c.minor, 1e-9) {
			t.Errorf("%s: sums %.4f, %.4f", c.name, sum(c.p.Major), sum(c.p.Minor))
		}
	}
}

// Correlations of small passages with the profiles, computed independently
// from the printed numbers. That the dominant seventh alone is heard in the
// dominant's key is how the profiles are, not an error.
func TestProfileCorrelations(t *testing.T) {
	for _, c := range []struct {
		tones string
		key   string // best key by Krumhansl–Kessler, Temperley, Albrecht–Shanahan
		want  [3]float64
	}{
		{"C D E F G A B", "C", [3]float64{.7564, .9001, .8084}},
		{"C E G", "C", [3]float64{.8338, .8014, .8395}},
		{"A C E", "a", [3]float64{.8886, .7993, .8437}},
		{"A B C D E F G#", "a", [3]float64{.6872, .8883, .7129}},
		{"G B D F", "G", [3]float64{.5990, .5322, .5998}},
		{"C E G F A C G B D F C E G", "C", [3]float64{.9650, .9595, .9682}},
	} {
		var weights [12]float64
		for _, tone := range written.Tones(t, c.tones) {
			weights[tone.PC()]++
		}
		for i, p := range []tonal.Profile{tonal.KrumhanslKessler, tonal.Temperley, tonal.AlbrechtShanahan} {
			best, at := bestKey(p, weights)
			if want, _ := tonal.ParseKey(c.key); !sameKey(best, want) || !agree(at, c.want[i], .0006) {
				t.Errorf("%s, profile %d: %s %.4f, want %s %.4f", c.tones, i, best, at, c.key, c.want[i])
			}
		}
	}
}

func sameKey(a, b tonal.Key) bool { return a.Tonic.PC() == b.Tonic.PC() && a.Minor == b.Minor }

func bestKey(p tonal.Profile, weights [12]float64) (tonal.Key, float64) {
	var best tonal.Key
	most := -2.0
	for pc := 0; pc < 12; pc++ {
		for _, minor := range []bool{false, true} {
			k := tonal.KeyAt(pc, minor)
			if r := p.Correlate(weights, k); r > most {
				best, most = k, r
			}
		}
	}
	return best, most
}

// The table of key correlations of Krumhansl & Kessler (1982), as its profiles give it.
func TestKeyCorrelations(t *testing.T) {
	major := [12]float64{1, -.501, .041, -.104, -.186, .591, -.683, .591, -.186, -.104, .041, -.501}
	minor := [12]float64{.512, -.300, .237, -.653, .536, .214, -.371, .243, -.510, .650, -.402, -.156}
	both := [12]float64{1, -.394, -.158, .054, -.005, .340, -.673, .340, -.005, .054, -.158, -.394}
	for n := 0; n < 12; n++ {
		for home := score.Class(-6); home <= 6; home++ {
			from := tonal.Key{Tonic: home}
			if got := tonal.KeyCorrelation(from, tonal.KeyAt(from.Tonic.PC()+n, false)); !agree(got, major[n], .0006) {
				t.Errorf("%s to major +%d: %.3f", from, n, got)
			}
			if got := tonal.KeyCorrelation(from, tonal.KeyAt(from.Tonic.PC()+n, true)); !agree(got, minor[n], .0006) {
				t.Errorf("%s to minor +%d: %.3f", from, n, got)
			}
			from.Minor = true
			if got := tonal.KeyCorrelation(from, tonal.KeyAt(from.Tonic.PC()+n, true)); !agree(got, both[n], .0006) {
				t.Errorf("%s to minor +%d: %.3f", from, n, got)
			}
		}
	}
}

func agree(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }
