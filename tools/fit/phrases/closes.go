package main

import (
	"fmt"
	"hash/fnv"
	"math/big"
	"path/filepath"
	"strings"

	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/fit/analyses"
)

// loadCloses reads tables, parted by commas, of scores with the closes that analysts marked:
// path, genre, group, and closes such as "8:1/4=PAC", which is a perfect authentic cadence a
// quarter after the start of measure 8. Kinds are those of [kinds] and END, a close of unknown
// kind; those withheld, DC and EC, end no phrase. A column of seams may follow, see addSeams.
func loadCloses(paths string) ([]*piece, error) {
	var list []analyses.Row
	for _, path := range strings.Split(paths, ",") {
		rows, err := analyses.Read(path)
		if err != nil {
			return nil, err
		}
		list = append(list, rows...)
	}
	var out []*piece
	for _, r := range list {
		f, err := musicxml.Open(r["path"])
		if err != nil {
			return nil, err
		}
		p := &piece{name: nameOf(r["path"]), genre: r["genre"], group: r["group"], score: f.Score, closes: true, repeats: map[score.Tick]bool{}}
		if p.analysis, err = harmony.Analyse(f.Score, harmony.Options{}); err != nil {
			return nil, err
		}
		for _, text := range strings.Fields(r["closes"]) {
			if err := p.addClose(text); err != nil {
				return nil, fmt.Errorf("%s: %w", r["path"], err)
			}
		}
		if err := p.addSeams(r["seams"]); err != nil {
			return nil, fmt.Errorf("%s: %w", r["path"], err)
		}
		p.ends = p.inside(p.ends)
		p.fold = foldOf(p.group)
		out = append(out, p)
	}
	return out, nil
}

func (p *piece) addClose(text string) error {
	place, kind, _ := strings.Cut(text, "=")
	number, offset, _ := strings.Cut(place, ":")
	part, ok := new(big.Rat).SetString(offset)
	if !ok {
		return fmt.Errorf("close %q", text)
	}
	for _, m := range p.score.Measures {
		if m.Number != number {
			continue
		}
		whole, _ := part.Float64()
		at := m.Start + p.tick(4*whole)
		p.marks = append(p.marks, mark{at, kind})
		if kind != "DC" && kind != "EC" {
			p.ends = append(p.ends, at)
		}
		return nil
	}
	return fmt.Errorf("close %q: no such measure", text)
}

// foldOf puts a work into a fold.
func foldOf(group string) int {
	h := fnv.New32a()
	h.Write([]byte(group))
	return int(h.Sum32() % folds)
}

// spanOf is the time in which the phrase that closes at t must end: up to a
// measure and a beat later.
func (p *piece) spanOf(t score.Tick) (from, to score.Tick) {
	if !p.closes {
		return t - p.within, t + p.within
	}
	m := p.score.Measures[p.score.MeasureAt(t)]
	return t, t + max(m.Nominal, m.Length) + p.score.Division
}

// nameOf is the file name of a path without its extension.
func nameOf(path string) string {
	base := filepath.Base(path)
	return strings.TrimSuffix(base, filepath.Ext(base))
}
