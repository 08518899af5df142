package page

import (
	"math"
	"testing"

	"hairpin/dynamics/written"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// How far a word such as cresc. reaches, at, just under and just over the
// measures that the table of reaches names: wordReach with nothing after it,
// markReach to the mark it aims at, slowReach of poco a poco, where each counts twice.
func TestReachOfAWord(t *testing.T) {
	const whole, quarter = 48, 12
	for _, c := range []struct {
		name    string
		put     []string
		phrases []score.Tick // where they end
		want    map[string]float64
	}{
		{"nothing after it: four measures, one step", []string{"1:1 p", `1:1 "cresc."`}, nil, map[string]float64{"3:1": 3.5, "4:4": 3.94, "5:1": 4, "20:1": 4}},
		{"a mark in the eighth measure after it", []string{"1:1 p", `1:1 "cresc."`, "9:1 f"}, nil, map[string]float64{"5:1": 4.5, "9:1": 6}},
		{"a mark a beat farther", []string{"1:1 p", `1:1 "cresc."`, "9:2 f"}, nil, map[string]float64{"3:1": 3.5, "5:1": 4, "9:1": 4, "9:2": 6}},
		{"poco a poco, to a mark 16 measures on", []string{"1:1 p", `1:1 "poco a poco cresc."`, "17:1 f"}, nil, map[string]float64{"9:1": 4.5, "17:1": 6}},
		{"poco a poco, a beat farther", []string{"1:1 p", `1:1 "poco a poco cresc."`, "17:2 f"}, nil, map[string]float64{"5:1": 3.5, "9:1": 4, "17:1": 4}},
		{"the end of the phrase, in the eighth measure", []string{"1:1 p", `1:1 "cresc."`}, []score.Tick{8 * whole}, map[string]float64{"5:1": 3.5, "9:1": 4}},
		{"the end of a phrase of nine measures is too far", []string{"1:1 p", `1:1 "cresc."`}, []score.Tick{8*whole + quarter}, map[string]float64{"3:1": 3.5, "5:1": 4}},
		{"a phrase of a measure and a beat", []string{"1:1 p", `1:1 "cresc."`}, []score.Tick{whole + quarter, 8 * whole}, map[string]float64{"2:2": 4, "5:1": 4}},
		{"the phrase that ends within the measure is not meant", []string{"1:1 p", `1:1 "cresc."`}, []score.Tick{whole, 8 * whole}, map[string]float64{"2:1": 3.13, "5:1": 3.5}},
		{"nor one that ended before", []string{"1:1 p", `4:1 "cresc."`}, []score.Tick{3 * whole, 7 * whole}, map[string]float64{"6:1": 3.5, "8:1": 4}},
	} {
		s := written.Letters("abcdefghijklmnopqrstuvwx")
		written.Put(t, s, c.put...)
		var phrases []phrasing.Phrase
		from := score.Tick(0)
		for _, end := range append(c.phrases, s.Length()) {
			phrases = append(phrases, phrasing.Phrase{Start: from, End: end})
			from = end
		}
		if c.phrases == nil {
			phrases = nil
		}
		whole := Printed(s, phrases).Whole
		for at, want := range c.want {
			x, err := written.At(at)
			if err != nil {
				t.Fatal(err)
			}
			if got := whole.At(x.At); math.Abs(got-want) > 0.02 {
				t.Errorf("%s: level at %s is %.2f, want %.2f", c.name, at, got, want)
			}
		}
	}
}
