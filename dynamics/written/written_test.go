package written

import (
	"fmt"
	"testing"

	"hairpin/score"
)

// The same letter is the same music, other letters are other music, "-" is silence.
func TestLettersDiffer(t *testing.T) {
	s := Letters("abcdefghijklmnopqrstuvwx-a")
	music := map[string][]int{}
	for m := range s.Measures {
		line := ""
		for _, n := range s.Notes {
			if n.Measure == m {
				line += fmt.Sprint(n.Onset-s.Measures[m].Start, " ", n.Pitch, " ")
			}
		}
		music[line] = append(music[line], m)
	}
	if len(music) != 25 || len(music[""]) != 1 || music[""][0] != 24 {
		t.Errorf("%d kinds of measures, silent %v", len(music), music[""])
	}
	last := s.Measures[len(s.Measures)-1]
	if last.Number != "26" || last.Start != 48*25 || last.Length != 48 || last.Nominal != 48 || last.Beats != 4 || last.BeatUnit != 4 || s.Division != 12 || s.Parts[0].Staves != 2 {
		t.Errorf("last measure %+v of %+v", last, s.Parts)
	}
}

// The blank score is eight measures of quarters in two parts; items stand where they say.
func TestItemsOnTheBlank(t *testing.T) {
	s := Blank()
	if len(s.Measures) != 8 || len(s.Notes) != 64 || s.Length() != 384 || s.Parts[0].Staves != 2 || s.Parts[1].Staves != 1 || s.Measures[7].Number != "8" {
		t.Errorf("%d measures, %d notes", len(s.Measures), len(s.Notes))
	}
	for i, n := range s.Notes {
		if m := s.Measures[i/8]; n.Measure != i/8 || n.Part != i%2 || n.Onset != m.Start+score.Tick(12*(i%8/2)) || n.Duration != 12 || n.Staff != 1 || n.Voice != 1 {
			t.Errorf("note %d: %+v", i, n)
		}
		if k := i % 2; k == 1 && s.Notes[i-1].Pitch != n.Pitch {
			t.Errorf("the parts differ at %d", n.Onset)
		}
		if i >= 2 && s.Notes[i-2].Pitch == n.Pitch {
			t.Errorf("the note at %d is the one before", n.Onset)
		}
	}
	Put(t, s, "2:3@2 p", "1:1 <3:1", "3:1#2 >5:1 niente", `4:2 "dolce"`, "1:1#2 rest 2:1", "5:1 ---6:1", "6:1 sound 90", "7:1 ending 2")
	d, h, w := s.Dynamics[0], s.Hairpins, s.Words[0]
	if d.At != 72 || d.Written != 72 || d.Staff != 2 || d.Part != 0 || d.Mark != "p" || w.At != 156 || w.Text != "dolce" {
		t.Errorf("%+v, %+v", d, w)
	}
	if h[0].Start != 0 || h[0].End != 96 || h[0].Kind != score.Crescendo || h[0].Niente || h[1].Kind != score.Diminuendo || !h[1].Niente || h[1].Part != 1 || h[1].Start != 96 || h[1].End != 192 {
		t.Errorf("%+v", h)
	}
	if len(s.Notes) != 60 || s.Dashes[0].Start != 192 || s.Dashes[0].End != 240 || fmt.Sprint(s.Sounds[0].Percent) != "90" || s.Sounds[0].At != 240 {
		t.Errorf("%d notes, %+v, %+v", len(s.Notes), s.Dashes, s.Sounds)
	}
	if e := s.Endings[0]; e.Start != 288 || e.End != 336 || e.First != 6 || e.Last != 6 || e.Numbers[0] != 2 {
		t.Errorf("%+v", e)
	}
	for _, bad := range []string{"1:1", "1 p", "x:1 p", "1:x p", "1:1 <y"} {
		if put(Blank(), bad) == nil {
			t.Errorf("%q is put", bad)
		}
	}
}
