package analyses

import (
	"fmt"
	"regexp"
	"strconv"

	"hairpin/harmony/tonal"
)

// Chord is one chord of an analyst.
type Chord struct {
	Onset, End float64 // quarter notes from the start as written
	tonal.Chord
	PhraseEnd bool
}

// Chords reads the table of an analyst's chords: columns onset, end, key, roman,
// root_pc, quality, inversion, and phrase_end (may be missing).
func Chords(file string) ([]Chord, error) {
	table, err := Read(file)
	if err != nil {
		return nil, err
	}
	var out []Chord
	for i, cells := range table {
		r, err := readRow(cells)
		if err != nil {
			return nil, fmt.Errorf("%s: line %d: %w", file, i+2, err)
		}
		out = append(out, r)
	}
	return out, nil
}

// added is a suspension or omission noted behind a numeral: "[add4]".
var added = regexp.MustCompile(`\[[^\]]*\]`)

func readRow(cells Row) (Chord, error) {
	onset, err := strconv.ParseFloat(cells["onset"], 64)
	if err != nil {
		return Chord{}, err
	}
	end, err := strconv.ParseFloat(cells["end"], 64)
	if err != nil {
		return Chord{}, err
	}
	k, ok := tonal.ParseKey(cells["key"])
	if !ok {
		return Chord{}, fmt.Errorf("key %q is not understood", cells["key"])
	}
	r := Chord{Onset: onset, End: end, PhraseEnd: cells["phrase_end"] == "1"}
	r.Chord = tonal.Chord{Key: k}
	root, _ := strconv.Atoi(cells["root_pc"])
	inversion, _ := strconv.Atoi(cells["inversion"])
	if n, ok := numeral(added.ReplaceAllString(cells["roman"], ""), root, cells["quality"], k); ok {
		n.Inversion = inversion
		r.Numeral, r.Quality, r.Inversion = n, n.Quality, inversion
		r.Root, r.Bass, r.Tones = n.Root(k), n.Bass(k), n.Tones(k)
	}
	return r, nil
}

// numeral reads an analyst's numeral; where the notation is not ours, the
// degree with the stated root and quality.
func numeral(text string, root int, quality string, k tonal.Key) (tonal.Numeral, bool) {
	n, ok := tonal.ParseNumeral(text, k)
	if ok && n.Root(k).PC() == root && n.Quality.ID() == quality {
		return n, true
	}
	for _, q := range tonal.Qualities() {
		for i := 0; q.ID() == quality && i < 21; i++ {
			n := tonal.Numeral{Degree: i%7 + 1, Alter: []int{0, 1, -1}[i/7], Quality: q}
			if n.Root(k).PC() == root {
				return n, true
			}
		}
	}
	return tonal.Numeral{}, false
}
