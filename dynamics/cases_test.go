package dynamics

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"hairpin/score"
)

// writtenCase is one small score and the levels a player reads from it.
type writtenCase struct {
	name, why string
	put, want []string
}

// readCases reads testdata/marks.txt: its head explains the format.
func readCases(t *testing.T) []writtenCase {
	t.Helper()
	raw, err := os.ReadFile("testdata/marks.txt")
	if err != nil {
		t.Fatal(err)
	}
	var out []writtenCase
	for _, line := range strings.Split(string(raw), "\n") {
		key, rest, ok := strings.Cut(line, ":")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		rest = strings.TrimSpace(rest)
		switch key {
		case "case":
			name, why, _ := strings.Cut(rest, " | ")
			out = append(out, writtenCase{name: name, why: why})
		case "put":
			out[len(out)-1].put = strings.Split(rest, "; ")
		case "want":
			out[len(out)-1].want = strings.Split(rest, "; ")
		}
	}
	return out
}

// blank is eight measures of 4/4 in quarter notes for two staves of one part,
// and a second part of its own.
func blank() *score.Score {
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

// place puts one item on the score.
func place(s *score.Score, item string) error {
	fields := strings.SplitN(item, " ", 2)
	if len(fields) < 2 {
		return fmt.Errorf("no text in %q", item)
	}
	at, err := parsePlace(s, fields[0])
	if err != nil {
		return err
	}
	text := fields[1]
	switch {
	case strings.HasPrefix(text, "<") || strings.HasPrefix(text, ">"):
		return placeHairpin(s, at, text)
	case strings.HasPrefix(text, "---"):
		end, err := parsePlace(s, text[3:])
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
	end, err := parsePlace(s, strings.TrimSpace(text))
	h.Span = score.Span{Start: at.At, End: end.At, Part: at.Part, Staff: at.Staff}
	s.Hairpins = append(s.Hairpins, h)
	return err
}

// parsePlace reads "3:2", "3:2@2" (staff), "3:2#2" (part).
func parsePlace(s *score.Score, text string) (score.Place, error) {
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

// check compares one expectation: a level, or the number of an outcome.
func check(s *score.Score, p *Page, want string) error {
	fields := strings.Fields(want)
	switch fields[0] {
	case "accent", "contrast", "inference":
		return checkOutcome(s, p, fields)
	}
	before, after, _ := strings.Cut(fields[0], "|")
	at, err := parsePlace(s, before)
	if err != nil {
		return err
	}
	v, err := strconv.ParseFloat(fields[1], 64)
	if err != nil {
		return err
	}
	c := p.Whole
	if strings.Contains(fields[0], "#") {
		c = p.Parts[at.Part]
	}
	for _, q := range p.Parts {
		if at.Staff > 0 && q.Part == at.Part && q.Staff == at.Staff {
			c = q
		}
	}
	got := c.At(at.At)
	if after == "before" {
		got = c.Before(at.At)
	}
	if math.Abs(got-v) > 0.05 {
		return fmt.Errorf("level at %s is %.2f, want %.2f", fields[0], got, v)
	}
	return nil
}

func checkOutcome(s *score.Score, p *Page, fields []string) error {
	at, err := parsePlace(s, fields[1])
	if err != nil {
		return err
	}
	text := strings.Join(fields[2:], " ")
	var seen []string
	for _, a := range p.Accents {
		if fields[0] == "accent" && a.At == at.At {
			seen = append(seen, strconv.FormatFloat(a.Size, 'g', 3, 64))
		}
	}
	for _, c := range p.Contrasts {
		if fields[0] == "contrast" && c.At == at.At {
			seen = append(seen, string(c.Kind))
		}
	}
	for _, c := range p.Inferences {
		if fields[0] == "inference" && c.At == at.At {
			seen = append(seen, c.What)
		}
	}
	for _, x := range seen {
		if strings.Contains(x, text) {
			return nil
		}
	}
	return fmt.Errorf("%s at %s: %q, want %q", fields[0], fields[1], seen, text)
}

func TestMarksToLevels(t *testing.T) {
	cases := readCases(t)
	if len(cases) < 80 {
		t.Errorf("only %d written cases", len(cases))
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := blank()
			for _, item := range c.put {
				if item == "" {
					continue
				}
				if err := place(s, item); err != nil {
					t.Fatal(err)
				}
			}
			p := Printed(s, nil)
			for _, w := range c.want {
				if err := check(s, p, w); err != nil {
					t.Errorf("%v (%s)", err, c.why)
				}
			}
		})
	}
}
