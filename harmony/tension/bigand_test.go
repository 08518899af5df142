package tension

import (
	"strconv"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
)

// bigand are the mean tension ratings by musicians of the chord X heard between
// two C major chords, and X as four voices, from Bigand, E., Parncutt, R., &
// Lerdahl, F. (1996), Perception of musical tension in short chord sequences,
// Perception & Psychophysics 58(1), 125–141 (figures and, by the intervals each
// voice moves, voicings by way of the open transcription in P. M. C. Harrison's
// incon; three tenor intervals as corrected there). The numeral is the plainest
// reading of X in C major; where the key has none, a flat or sharp degree. (Some
// cite the first page as 124.)
const bigand = `
I 48.55.64.72 1.25
bII 49.61.65.68 6.1
V/V 50.54.62.69 6.1
bIII 51.55.63.70 6.6
V/vi 52.56.64.71 4.1
IV 53.60.65.69 3.8
#IV 54.61.66.70 5.9
V 55.62.67.71 2.6
bVI 56.60.63.68 6.0
V/ii 57.61.64.69 6.2
bVII 58.62.65.70 5.8
V/iii 59.63.66.71 6.6
i 48.55.63.72 3.5
#i 49.61.64.68 7.6
ii 50.53.62.69 5.5
biii 51.54.63.70 7.1
iii 52.55.64.71 4.6
iv 53.60.65.68 6.0
#iv 54.61.66.69 8.0
v 55.62.67.70 6.9
bvi 56.59.63.68 7.0
vi 57.60.64.69 5.0
bvii 58.61.65.70 6.8
vii 59.62.66.71 7.1
V7/IV 48.55.64.70 4.8
bII7 49.59.65.68 6.5
V7/V 50.54.60.69 5.6
bIII7 51.55.61.70 6.0
V7/vi 52.56.62.71 5.6
IV7 53.63.65.69 5.5
#IV7 54.61.64.70 6.7
V7 55.62.65.71 3.3
bVI7 56.60.63.66 6.9
V7/ii 57.61.64.67 8.0
bVII7 58.62.65.68 7.5
V7/iii 59.63.66.69 8.1
i7 48.55.63.70 5.8
#i7 49.59.64.68 7.8
ii7 50.53.60.69 5.5
biii7 51.54.61.70 8.0
iii7 52.55.62.71 4.8
iv7 53.63.65.68 6.0
#iv7 54.61.64.69 7.3
v7 55.62.65.70 7.6
bvi7 56.59.63.66 8.8
vi7 57.60.64.67 7.1
bvii7 58.61.65.68 8.0
vii7 59.62.66.69 8.3
`

func TestTensionOrdersBigandsChords(t *testing.T) {
	c, _ := tonal.ParseKey("C")
	first := []int{48, 55, 64, 72}
	var parts [4][]float64
	var theirs []float64
	for _, line := range strings.Split(strings.TrimSpace(bigand), "\n") {
		f := strings.Fields(line)
		value, err := strconv.ParseFloat(f[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		var keys []int
		for _, k := range strings.Split(f[1], ".") {
			n, _ := strconv.Atoi(k)
			keys = append(keys, n)
		}
		_, a, err := RateSequence(c, []Written{{Key: c, Roman: "I", Keys: first}, {Key: c, Roman: f[0], Keys: keys}, {Key: c, Roman: "I", Keys: first}}, Weights{1, 1, 1})
		if err != nil {
			t.Fatal(err)
		}
		x := a.Chords[1]
		if x.Tones[0].PC() != keys[0]%12 {
			t.Errorf("%s: bass %d is not the root", f[0], keys[0])
		}
		for i, v := range []float64{x.Tension.Total, x.Tension.Dissonance, x.Tension.Distance, x.Tension.Pull} {
			parts[i] = append(parts[i], v)
		}
		theirs = append(theirs, value)
		t.Logf("%-6s %-7s rated %.2f: total %.1f = dissonance %.1f distance %.1f pull %.1f; %+v", f[0], x.Name(), value,
			x.Tension.Total, x.Tension.Dissonance, x.Tension.Distance, x.Tension.Pull, TonicDistance(&x))
	}
	if len(theirs) != 48 {
		t.Fatalf("%d chords, want 48", len(theirs))
	}
	for i, name := range []string{"total", "dissonance", "distance", "pull"} {
		t.Logf("%s: rank correlation %.3f", name, spearman(parts[i], theirs))
	}
	if rho := spearman(parts[0], theirs); rho < .80 {
		t.Errorf("rank correlation %.3f, want at least .80", rho)
	}
}
