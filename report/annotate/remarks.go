package annotate

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"hairpin/report"
	"hairpin/score"
)

// ReadRemarks reads a teacher's remarks, one a line: measure, beat, text. A
// part other than the highest is named by @ and its number before the text.
// Empty lines and lines that begin with # are passed over.
//
//	12 3 breathe here
//	20 1 @2 left hand softer
//
// An error says in which line.
func ReadRemarks(in io.Reader, s *score.Score) (list []Remark, err error) {
	lines := bufio.NewScanner(in)
	for n := 1; lines.Scan(); n++ {
		text := strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff"))
		if text == "" || text[0] == '#' {
			continue
		}
		m, err := readRemark(text, s)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", n, err)
		}
		list = append(list, m)
	}
	return list, lines.Err()
}

func readRemark(line string, s *score.Score) (Remark, error) {
	m := Remark{Part: -1}
	fields := strings.Fields(line)
	if len(fields) < 3 {
		return m, fmt.Errorf("measure, beat and text are needed: 12 3 breathe here")
	}
	beat, err := strconv.ParseFloat(fields[1], 64)
	if err != nil {
		return m, fmt.Errorf("%q is not a beat", fields[1])
	}
	var ok bool
	if m.At, ok = s.Find(fields[0], beat); !ok {
		return m, fmt.Errorf("the score has no measure %s with a beat %s", fields[0], fields[1])
	}
	words := fields[2:]
	if number, found := strings.CutPrefix(words[0], "@"); found && len(words) > 1 {
		part, err := strconv.Atoi(number)
		if err != nil || part < 1 || part > len(s.Parts) {
			return m, fmt.Errorf("the score has no part %s; %s", number, report.PartsHint(s))
		}
		m.Part, words = part-1, words[1:]
	}
	m.Text = strings.Join(words, " ")
	return m, nil
}
