package main

import (
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"

	"hairpin/harmony"
)

// row is one chord of an analyst.
type row struct {
	onset, end float64
	chord      harmony.Chord
	phraseEnd  bool
}

func readRows(file string) ([]row, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	column := map[string]int{}
	for i, name := range strings.Split(lines[0], "\t") {
		column[name] = i
	}
	var out []row
	for i, line := range lines[1:] {
		fields := strings.Split(line, "\t")
		r, err := readRow(func(name string) string {
			if at, ok := column[name]; ok && at < len(fields) {
				return fields[at]
			}
			return ""
		})
		if err != nil {
			return nil, fmt.Errorf("%s: line %d: %w", file, i+2, err)
		}
		out = append(out, r)
	}
	return out, nil
}

// added is a suspension or omission noted behind a numeral: "[add4]".
var added = regexp.MustCompile(`\[[^\]]*\]`)

func readRow(field func(string) string) (row, error) {
	onset, err := strconv.ParseFloat(field("onset"), 64)
	if err != nil {
		return row{}, err
	}
	end, err := strconv.ParseFloat(field("end"), 64)
	if err != nil {
		return row{}, err
	}
	k, ok := harmony.ParseKey(field("key"))
	if !ok {
		return row{}, fmt.Errorf("key %q is not understood", field("key"))
	}
	r := row{onset: onset, end: end, phraseEnd: field("phrase_end") == "1"}
	r.chord = harmony.Chord{Key: k}
	root, _ := strconv.Atoi(field("root_pc"))
	inversion, _ := strconv.Atoi(field("inversion"))
	if n, ok := numeral(added.ReplaceAllString(field("roman"), ""), root, field("quality"), k); ok {
		n.Inversion = inversion
		r.chord.Numeral, r.chord.Quality, r.chord.Inversion = n, n.Quality, inversion
		r.chord.Root, r.chord.Bass, r.chord.Tones = n.Root(k), n.Bass(k), n.Tones(k)
	}
	return r, nil
}

// numeral reads an analyst's numeral; where the notation is not ours, the
// degree with the stated root and quality.
func numeral(text string, root int, quality string, k harmony.Key) (harmony.Numeral, bool) {
	n, ok := harmony.ParseNumeral(text, k)
	if ok && n.Root(k).PC() == root && n.Quality.ID() == quality {
		return n, true
	}
	for _, q := range harmony.Qualities() {
		for i := 0; q.ID() == quality && i < 21; i++ {
			n := harmony.Numeral{Degree: i%7 + 1, Alter: []int{0, 1, -1}[i/7], Quality: q}
			if n.Root(k).PC() == root {
				return n, true
			}
		}
	}
	return harmony.Numeral{}, false
}
