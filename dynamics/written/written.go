// Package written makes small scores from a few words, for the tests of the
// rooms of dynamics. It is not in the program.
//
// Start at [Score]. An item is a place and what stands there: "1:1 p",
// "2:1 <4:1" (a hairpin with its end), `3:1 "dolce"`, "3:1 sf", "3:1#2 rest 5:1". A place is
// measure and beat, "3:2", with "@2" for the second staff and "#2" for the
// second part.
package written

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"hairpin/score"
)

// Score is a blank score with the items put on it.
func Score(t testing.TB, items ...string) *score.Score {
	t.Helper()
	s := Blank()
	Put(t, s, items...)
	return s
}

// Put puts items on a score.
func Put(t testing.TB, s *score.Score, items ...string) {
	t.Helper()
	for _, item := range items {
		if err := put(s, item); err != nil {
			t.Fatal(err)
		}
	}
}

// Blank is eight measures of 4/4 in quarter notes for two staves of one part,
// and a second part of its own.
func Blank() *score.Score {
	const q = 12
	s := &score.Score{Division: q, Parts: []score.Part{{ID: "P1", Name: "Piano", Staves: 2}, {ID: "P2", Name: "Oboe", Staves: 1}}}
	for m := range 8 {
		s.Measures = append(s.Measures, score.Measure{Number: strconv.Itoa(m + 1), Start: score.Tick(48 * m), Length: 48, Nominal: 48, Beats: 4, BeatUnit: 4})
		for b := range 4 {
			for p := range 2 {
				s.Notes = append(s.Notes, score.Note{Onset: score.Tick(48*m + q*b), Duration: q, Part: p, Staff: 1, Voice: 1, Measure: m,
					Pitch: score.Pitch{Step: (m + b) % 7, Octave: 4 + (m*4+b)%2}})
			}
		}
	}
	return s
}

// put puts one item on the score.
func put(s *score.Score, item string) error {
	fields := strings.SplitN(item, " ", 2)
	if len(fields) < 2 {
		return fmt.Errorf("no text in %q", item)
	}
	at, err := At(fields[0])
	if err != nil {
		return err
	}
	text := fields[1]
	switch {
	case strings.HasPrefix(text, "<") || strings.HasPrefix(text, ">"):
		return placeHairpin(s, at, text)
	case strings.HasPrefix(text, "rest "):
		end, err := At(text[5:])
		s.Notes = slices.DeleteFunc(s.Notes, func(n score.Note) bool { return n.Part == at.Part && n.Onset >= at.At && n.Onset < end.At })
		return err
	case strings.HasPrefix(text, "---"):
		end, err := At(text[3:])
		s.Dashes = append(s.Dashes, score.Dashes{Span: score.Span{Start: at.At, End: end.At, Part: at.Part}})
		return err
	case strings.HasPrefix(text, "sound "):
		v, err := strconv.ParseFloat(text[6:], 64)
		s.Sounds = append(s.Sounds, score.SoundLevel{Place: at, Percent: v})
		return err
	case strings.HasPrefix(text, "ending "):
		n, err := strconv.Atoi(text[7:])
		m := s.MeasureAt(at.At)
		s.Endings = append(s.Endings, score.Ending{Start: at.At, End: s.Measures[m].End(), First: m, Last: m, Numbers: []int{n}})
		return err
	case strings.HasPrefix(text, `"`):
		s.Words = append(s.Words, score.Words{Place: at, Written: at.At, Text: strings.Trim(text, `"`)})
	default:
		s.Dynamics = append(s.Dynamics, score.Dynamic{Place: at, Written: at.At, Mark: text})
	}
	return nil
}

func placeHairpin(s *score.Score, at score.Place, text string) error {
	h := score.Hairpin{Kind: score.Crescendo}
	if text[0] == '>' {
		h.Kind = score.Diminuendo
	}
	text, h.Niente = strings.CutSuffix(text[1:], " niente")
	end, err := At(strings.TrimSpace(text))
	h.Span = score.Span{Start: at.At, End: end.At, Part: at.Part, Staff: at.Staff}
	s.Hairpins = append(s.Hairpins, h)
	return err
}

// At reads a place: "3:2", "3:2@2" (staff), "3:2#2" (part).
func At(text string) (score.Place, error) {
	var p score.Place
	text, part, _ := strings.Cut(text, "#")
	text, staff, _ := strings.Cut(text, "@")
	if part == "2" {
		p.Part = 1
	}
	if staff != "" {
		p.Staff, _ = strconv.Atoi(staff)
	}
	m, b, ok := strings.Cut(text, ":")
	beat, err := strconv.ParseFloat(b, 64)
	if !ok || err != nil {
		return p, fmt.Errorf("%q is no place", text)
	}
	n, err := strconv.Atoi(m)
	p.At = score.Tick(48*(n-1)) + score.Tick(12*(beat-1))
	return p, err
}

// Letters is a score of 4/4 measures in quarters, one measure a letter; the
// same letter is the same music, "-" an empty measure.
func Letters(form string) *score.Score {
	const q = 12
	s := &score.Score{Division: q, Parts: []score.Part{{ID: "P1", Name: "Piano", Staves: 2}}}
	for m, c := range form {
		s.Measures = append(s.Measures, score.Measure{Number: strconv.Itoa(m + 1), Start: score.Tick(48 * m), Length: 48, Nominal: 48, Beats: 4, BeatUnit: 4})
		for b := 0; b < 4 && c != '-'; b++ {
			k := int(c - 'a')
			s.Notes = append(s.Notes, score.Note{Onset: score.Tick(48*m + q*b), Duration: q, Staff: 1, Voice: 1, Measure: m,
				Pitch: score.Pitch{Step: (k + b*(k/7+1)) % 7, Octave: 4}})
		}
	}
	return s
}
