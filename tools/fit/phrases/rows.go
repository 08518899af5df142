package main

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// seam is where a musician begins a new phrase: from the close of the one before to a beat
// after the next begins. One that is no fault to leave out is free.
type seam struct {
	from, to score.Tick
	free     bool
}

// addSeams reads a musician's seams: "9:3<9:1" is a phrase that begins on the third beat of
// measure 9, after a close on the first, "26:1=" one that begins with the close, "9:3=9:1"
// one that may, "46:1?" one that is no fault to leave out. Beats are those of the metre's
// denominator.
func (p *piece) addSeams(text string) error {
	for _, t := range strings.Fields(text) {
		u := seam{free: strings.Contains(t, "?")}
		t = strings.Replace(t, "?", "", 1)
		next, close, shared := t, "", strings.Contains(t, "=")
		if i := strings.IndexAny(t, "<="); i >= 0 {
			next, close = t[:i], t[i+1:]
		}
		at, err := p.place(next)
		if err != nil {
			return err
		}
		m := p.score.Measures[p.score.MeasureAt(at)]
		beat := m.Beat(p.score.Division)
		u.from, u.to = at-beat, at+beat
		if at > m.Start { // what begins in the course of a measure may be counted from the next
			u.to = max(u.to, m.End())
		}
		if close != "" {
			c, err := p.place(close)
			if err != nil {
				return err
			}
			if u.from = c + 1; shared {
				u.from = c - beat
			}
		}
		p.seams = append(p.seams, u)
	}
	return nil
}

// place is the moment of "measure:beat".
func (p *piece) place(text string) (score.Tick, error) {
	number, offset, _ := strings.Cut(text, ":")
	beat, ok := new(big.Rat).SetString(offset)
	if !ok {
		return 0, fmt.Errorf("seam %q", text)
	}
	b, _ := beat.Float64()
	for _, m := range p.score.Measures {
		if m.Number == number {
			return m.Start + p.tick((b-1)*4/float64(max(m.BeatUnit, 1))), nil
		}
	}
	return 0, fmt.Errorf("seam %q: no such measure", text)
}

// at reports whether a moment lies in a seam, a free one included.
func (p *piece) seamAt(t score.Tick) bool {
	return slices.ContainsFunc(p.seams, func(u seam) bool { return u.from <= t && t <= u.to })
}

// rows counts, by genre and the certainty of a row's end, the phrases that begin and end as the
// musician's do with none of the musician's seams passed over, and the ends that are seams.
func rows(pieces []*piece) (phrases, ends map[string][3]band, missed map[string]counts) {
	phrases, ends, missed = map[string][3]band{}, map[string][3]band{}, map[string]counts{}
	for _, p := range pieces {
		if len(p.seams) == 0 {
			continue
		}
		list := p.analysis.Phrases
		hit := map[int]bool{}
		for i, ph := range list {
			start, end := i == 0 || p.seamAt(ph.Start), i == len(list)-1 || p.seamAt(ph.End)
			right := start && end
			for k, u := range p.seams {
				inside := u.from > ph.Start && u.to < ph.End
				right = right && (u.free || !inside)
				if u.from <= ph.End && ph.End <= u.to {
					hit[k] = true
				}
			}
			c := tonal.CertaintyOf(ph.Confidence)
			if i > 0 {
				c = min(c, tonal.CertaintyOf(list[i-1].Confidence))
			}
			count(phrases, p.genre, c, right)
			count(phrases, "all", c, right)
			if i < len(list)-1 {
				count(ends, p.genre, tonal.CertaintyOf(ph.Confidence), end)
				count(ends, "all", tonal.CertaintyOf(ph.Confidence), end)
			}
		}
		for k, u := range p.seams {
			if u.free {
				continue
			}
			for _, g := range []string{p.genre, "all"} {
				x := missed[g]
				if x.marked++; hit[k] {
					x.hit++
				}
				missed[g] = x
			}
		}
	}
	return phrases, ends, missed
}

// printRows prints what [rows] counts, and each end that is no seam and each seam passed over.
func printRows(pieces []*piece, list bool) {
	fmt.Printf("worth of rows %.4f\n", rowsWorth(pieces))
	phrases, ends, missed := rows(pieces)
	printBands("rows", phrases)
	printBands("ends", ends)
	for _, g := range slices.Sorted(maps.Keys(missed)) {
		fmt.Printf("  %-10s seams found %.2f of %d\n", g, share(missed[g].hit, missed[g].marked), missed[g].marked)
	}
	for g, b := range phrases {
		told, right := 0, 0
		for _, x := range b {
			told, right = told+x.told, right+x.right
		}
		fmt.Printf("  %-10s rows right %.3f of %d\n", g, share(right, told), told)
	}
	if !list {
		return
	}
	for _, p := range pieces {
		if len(p.seams) == 0 {
			continue
		}
		fmt.Println(p.name)
		for i, ph := range p.analysis.Phrases {
			mark := " "
			if i < len(p.analysis.Phrases)-1 && !p.seamAt(ph.End) {
				mark = "x"
			}
			for _, u := range p.seams {
				if !u.free && u.from > ph.Start && u.to < ph.End {
					fmt.Printf("    passed over %s-%s\n", p.score.At(u.from), p.score.At(u.to))
				}
			}
			kind := "-"
			if ph.Cadence >= 0 {
				c := p.analysis.Cadences[ph.Cadence]
				kind = fmt.Sprintf("%s %.2f", kindOf(c.Kind), c.Confidence)
			}
			fmt.Printf("  %s end %s %.2f %s (%s)\n", mark, p.score.At(ph.End), ph.Confidence, kind, ph.Why)
		}
	}
}

// rowsWorth is the F measure of the rows.
func rowsWorth(pieces []*piece) float64 {
	phrases, _, missed := rows(pieces)
	told, right, n := 0, 0, missed["all"].marked
	for _, b := range phrases["all"] {
		told, right = told+b.told, right+b.right
	}
	for _, p := range pieces {
		if len(p.seams) > 0 {
			n++
		}
	}
	if told+n == 0 {
		return 0
	}
	return 2 * float64(right) / float64(told+n)
}
