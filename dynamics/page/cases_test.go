package page

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"hairpin/dynamics/written"
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

// check compares one expectation: a level, or the number of an outcome.
func check(p *Page, want string) error {
	fields := strings.Fields(want)
	switch fields[0] {
	case "accent", "contrast", "inference":
		return checkOutcome(p, fields)
	}
	before, after, _ := strings.Cut(fields[0], "|")
	at, err := written.At(before)
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

func checkOutcome(p *Page, fields []string) error {
	at, err := written.At(fields[1])
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
			seen = append(seen, strings.Join([]string{c.Cause.Text, string(c.Cause.Kind), c.Cause.Mark, c.Cause.Then}, " "))
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
			s := written.Blank()
			for _, item := range c.put {
				if item != "" {
					written.Put(t, s, item)
				}
			}
			p := Printed(s, nil)
			for _, w := range c.want {
				if err := check(p, w); err != nil {
					t.Errorf("%v (%s)", err, c.why)
				}
			}
		})
	}
}
