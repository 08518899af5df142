package page

import (
	"math"
	"testing"

	"hairpin/dynamics/written"
	"hairpin/score"
)

// Of accents at one moment in one part the largest counts, of two alike the first that is
// read; each part has its own. A sign on a hidden note or none on any is no accent. Common
// practice, no source.
func TestOneAccentAMoment(t *testing.T) {
	sign := func(i int, sign score.Sign) func(*score.Score) {
		return func(s *score.Score) { s.Notes[i].Signs |= sign }
	}
	for _, c := range []struct {
		name string
		put  []string
		do   []func(*score.Score)
		want []Accent
	}{
		{"none", nil, nil, nil},
		{"a sign smaller than the word", []string{"1:1 sf"}, []func(*score.Score){sign(0, score.Accent)}, []Accent{{Part: 0, Size: sfSize, Sign: "sf"}}},
		{"a sign alone", nil, []func(*score.Score){sign(0, score.Accent)}, []Accent{{Part: 0, Size: accentSize, Sign: ">"}}},
		{"the stronger of two signs", nil, []func(*score.Score){sign(0, score.Accent|score.StrongAccent)}, []Accent{{Part: 0, Size: marcato, Sign: "^"}}},
		{"a larger word after a smaller", []string{"1:1 sf", "1:1 sff"}, nil, []Accent{{Part: 0, Size: sffSize, Sign: "sff"}}},
		{"a smaller word after a larger", []string{"1:1 sff", "1:1 sf"}, nil, []Accent{{Part: 0, Size: sffSize, Sign: "sff"}}},
		{"two alike", []string{"1:1 sf", "1:1 fz"}, nil, []Accent{{Part: 0, Size: sfSize, Sign: "sf"}}},
		{"two parts", []string{"1:1#2 sff", "1:1 sf"}, nil, []Accent{{Part: 0, Size: sfSize, Sign: "sf"}, {Part: 1, Size: sffSize, Sign: "sff"}}},
		{"hidden", nil, []func(*score.Score){sign(0, score.Accent), func(s *score.Score) { s.Notes[0].Hidden = true }}, nil},
	} {
		s := written.Score(t, c.put...)
		for _, do := range c.do {
			do(s)
		}
		got := Printed(s, nil).Accents
		if len(got) != len(c.want) {
			t.Errorf("%s: %+v", c.name, got)
			continue
		}
		for i, want := range c.want {
			if a := got[i]; a.At != 0 || a.Part != want.Part || a.Sign != want.Sign || math.Abs(a.Size-want.Size) > 1e-9 {
				t.Errorf("%s: %+v, want %+v", c.name, a, want)
			}
		}
	}
}
