package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"

	"hairpin/harmony"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/fit/analyses"
)

const folds = 4

// piece is a score with its chords and the phrase ends an analyst marked.
type piece struct {
	name     string
	genre    string
	group    string
	fold     int
	score    *score.Score
	page     *form.Page
	analysis *harmony.Analysis
	ends     []score.Tick // phrase ends; if closes, the arrivals of their last chords
	marks    []mark       // all closes marked, the last and those withheld included
	closes   bool
	seams    []seam // where a musician begins phrases
	repeats  map[score.Tick]bool
	within   score.Tick // tolerance
}

// load reads the pieces in which at least one phrase end is marked.
func load(s settings) ([]*piece, error) {
	list, err := analyses.Read(filepath.Join(s.data, "split.tsv"))
	if err != nil {
		return nil, err
	}
	var out []*piece
	for _, r := range list {
		base := filepath.Join(s.data, "dev", r["id"])
		rows, err := analyses.Read(base + ".tsv")
		if os.IsNotExist(err) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if !marked(rows) {
			continue
		}
		f, err := musicxml.Open(base + ".mxl")
		if err != nil {
			return nil, err
		}
		p, err := newPiece(f.Score, rows, s)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", r["id"], err)
		}
		p.name, p.genre, p.group, p.fold = r["id"], r["genre"], r["group"], foldOf(r["group"])
		out = append(out, p)
	}
	return out, nil
}

func marked(rows []analyses.Row) bool {
	for _, r := range rows {
		if r["phrase_end"] == "1" {
			return true
		}
	}
	return false
}

func newPiece(s *score.Score, rows []analyses.Row, set settings) (*piece, error) {
	p := &piece{score: s, page: form.Read(s, 0), analysis: &harmony.Analysis{}, repeats: map[score.Tick]bool{}}
	p.within = p.tick(set.within)
	for _, r := range s.Repeats {
		p.repeats[r.At] = true
	}
	if !set.fermatas {
		s.Fermatas = nil
		for i := range s.Notes {
			s.Notes[i].Signs &^= score.FermataSign
		}
	}
	for _, r := range rows {
		c, err := p.chord(r)
		if err != nil {
			return nil, err
		}
		if c.End > c.Start {
			p.analysis.Chords = append(p.analysis.Chords, c)
		}
		if r["phrase_end"] == "1" && !p.repeats[c.End] {
			p.ends = append(p.ends, c.End)
		}
	}
	p.ends = p.inside(p.ends)
	if set.heard {
		a, err := harmony.Analyse(s, harmony.Options{})
		if err != nil {
			return nil, err
		}
		p.analysis = a
	}
	return p, nil
}

// chord is an analyst's row; a numeral hairpin does not know leaves it nameless.
func (p *piece) chord(row analyses.Row) (tonal.Chord, error) {
	start, err := strconv.ParseFloat(row["onset"], 64)
	if err != nil {
		return tonal.Chord{}, err
	}
	end, err := strconv.ParseFloat(row["end"], 64)
	if err != nil {
		return tonal.Chord{}, err
	}
	k, _ := tonal.ParseKey(row["key"])
	c := tonal.Chord{Start: p.tick(start), End: p.tick(end), Key: k}
	if n, ok := tonal.ParseNumeral(row["roman"], k); ok {
		c.Numeral, c.Quality, c.Inversion = n, n.Quality, n.Inversion
		c.Root, c.Bass, c.Tones = n.Root(k), n.Bass(k), n.Tones(k)
	}
	return c, nil
}

func (p *piece) tick(quarters float64) score.Tick {
	return score.Tick(math.Round(quarters * float64(p.score.Division)))
}

// inside leaves out the moments within two quarters of the start or the end, and
// repeat signs; of closes, those of the last measure only.
func (p *piece) inside(list []score.Tick) []score.Tick {
	var out []score.Tick
	edge := 2 * p.score.Division
	if p.closes {
		last := p.score.Measures[len(p.score.Measures)-1]
		for _, t := range list {
			if t > edge && t < last.Start-edge {
				out = append(out, t)
			}
		}
		return out
	}
	for _, t := range list {
		if t > edge && t < p.score.Length()-edge && !p.repeats[t] {
			out = append(out, t)
		}
	}
	return out
}

func split(pieces []*piece, fold int) (rest, own []*piece) {
	for _, p := range pieces {
		if p.fold == fold {
			own = append(own, p)
		} else {
			rest = append(rest, p)
		}
	}
	return rest, own
}
