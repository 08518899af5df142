package main

import (
	"fmt"
	"hash/fnv"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/optimize"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony/tonal"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/fit/levels"
)

// A musician's word counts as much as the players of sixteen pieces, so that a climax is what
// musicians name and players' loudness only a help; the pull is for both together. Chosen on
// works left out, once.
const (
	musicianCounts = 16.0
	summitPull     = 8.0
)

// movementOf is what follows a work's name, and its number, in an id.
var movementOf = regexp.MustCompile(`[-_]\d$`)

// rise is a piece with what players and musicians say of its climax.
type rise struct {
	m       advice.Material
	signs   []advice.Sign
	fold    int
	crest   crest  // of players; without measures if nobody played it
	named   []bool // by measure: a musician names it; nil if none was asked
	allowed []bool // that, or named as nearly as good
}

// summits fits the climax that musicians name, and prints how often it is one of theirs, and
// among players' loudest, works left out in turn.
func summits(w io.Writer, pieces []*heard, t *advice.Table, table, cache string) error {
	all, err := rises(pieces, table, cache)
	if err != nil {
		return err
	}
	n := make([]int, 2)
	for _, r := range all {
		n[0], n[1] = n[0]+len(r.crest.high)/max(len(r.crest.high), 1), n[1]+len(r.named)/max(len(r.named), 1)
	}
	fmt.Fprintf(w, "climax, %d pieces of players and %d of musicians left out in turn\n", n[0], n[1])
	if t.Signs, err = fitSigns(all, -1); err != nil {
		return err
	}
	got, err := summitsLeftOut(all, t)
	if err != nil {
		return err
	}
	t.SignOffset, t.SignSlope = calibrate(got.musicians, got.named, -1)
	t.HeardOffset, t.HeardSlope = calibrate(got.players, got.loud, -1)
	got.print(w, all)
	return nil
}

// rises are the pieces of players, then those of musicians that nobody played: lines "score,
// measures, measures nearly as good", separated by tabs, "44,52" or "71-73".
func rises(pieces []*heard, table, cache string) (out []rise, err error) {
	of := map[string]int{}
	for i, c := range crestsOf(pieces, nil) {
		h := pieces[i]
		of[h.ID] = i
		out = append(out, rise{m: h.material, signs: h.material.Signs(), fold: h.fold, crest: c})
	}
	text, err := os.ReadFile(table)
	if err != nil {
		return nil, err
	}
	for i, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		cells := append(strings.Split(line, "\t"), "", "")
		id := strings.TrimSuffix(filepath.Base(cells[0]), ".mxl")
		k, played := of[id]
		if !played {
			r, err := unplayed(cells[0], id, cache)
			if err != nil {
				return nil, err
			}
			k, out = len(out), append(out, r)
		}
		s := out[k].m.Score
		if out[k].named, err = measuresOf(s, cells[1]); err == nil {
			out[k].allowed, err = measuresOf(s, cells[1]+","+cells[2])
		}
		if err != nil {
			return nil, fmt.Errorf("%s, line %d: %w", table, i+1, err)
		}
	}
	return out, nil
}

// unplayed reads a score that nobody played, by the shaping as it is.
func unplayed(path, id, cache string) (rise, error) {
	f, err := musicxml.Open(path)
	if err != nil {
		return rise{}, err
	}
	a, err := levels.Analyse(f.Score, cache, "summit-"+id)
	if err != nil {
		return rise{}, err
	}
	p := page.Printed(f.Score, a.Phrases)
	sh, err := shaping.Shape(f.Score, a, p)
	if err != nil {
		return rise{}, err
	}
	m := advice.Material{Score: f.Score, Analysis: a, Page: p, Says: sh.Says, Beats: advice.Beats(f.Score)}
	for _, x := range sh.Proposals {
		m.Grid = append(m.Grid, x.At)
	}
	work := fnv.New32()
	work.Write([]byte(movementOf.ReplaceAllString(id, "")))
	return rise{m: m, signs: m.Signs(), fold: int(work.Sum32() % levels.Folds)}, nil
}

// measuresOf reads printed measure numbers, "44,52" or "71-73".
func measuresOf(s *score.Score, text string) ([]bool, error) {
	out, wanted := make([]bool, len(s.Measures)), map[string]bool{}
	for _, x := range strings.Split(text, ",") {
		if x == "" {
			continue
		}
		lo, hi, both := strings.Cut(x, "-")
		if !both {
			hi = lo
		}
		a, err := strconv.Atoi(lo)
		if err != nil {
			return nil, err
		}
		b, err := strconv.Atoi(hi)
		if err != nil {
			return nil, err
		}
		for i := a; i <= b; i++ {
			wanted[strconv.Itoa(i)] = true
		}
	}
	for i, m := range s.Measures {
		out[i] = wanted[m.Number]
	}
	return out, nil
}

// fitSigns makes likely what musicians name and players make loudest, on all folds but one
// (-1: all).
func fitSigns(all []rise, without int) ([]float64, error) {
	loss := func(w, grad []float64) float64 {
		sum := 0.0
		for k := range w {
			sum += summitPull / 2 * w[k] * w[k]
			if grad != nil {
				grad[k] = summitPull * w[k]
			}
		}
		for _, r := range all {
			if r.fold != without {
				sum += r.loss(w, grad)
			}
		}
		return sum
	}
	problem := optimize.Problem{Func: func(w []float64) float64 { return loss(w, nil) }, Grad: func(grad, w []float64) { loss(w, grad) }}
	r, err := optimize.Minimize(problem, make([]float64, len(advice.SignNames())), &optimize.Settings{GradientThreshold: 1e-2}, &optimize.LBFGS{})
	if r == nil {
		return nil, err
	}
	return r.X, nil // a line search that cannot go further has arrived
}

// loss is the negative log-likelihood of a piece, its gradient added if wanted. Of what
// musicians name one measure is enough; of players' loudest, each counts.
func (r rise) loss(w, grad []float64) float64 {
	const tiny = 1e-12
	q := r.m.Heights(r.signs, w)
	sum, named := 0.0, 0.0
	for i, x := range q {
		if r.named != nil && r.named[i] {
			named += x
		}
		if r.crest.n > 0 && r.crest.high[i] {
			sum -= math.Log(x+tiny) / float64(r.crest.n)
		}
	}
	if r.named != nil {
		sum -= musicianCounts * math.Log(named+tiny)
	}
	for k := range grad {
		for i, x := range q {
			pull := 0.0
			if r.named != nil {
				pull += musicianCounts * (one(r.named[i])*x/(named+tiny) - x)
			}
			if r.crest.n > 0 {
				pull += one(r.crest.high[i])/float64(r.crest.n) - x
			}
			grad[k] -= pull * r.signs[k].Values[i]
		}
	}
	return sum
}

func one(is bool) float64 {
	if is {
		return 1
	}
	return 0
}

// climbed is what was told of works left out.
type climbed struct {
	musicians, players []example
	named, loud        []told
	at                 []int // by piece
	sure               []tonal.Certainty
}

// summitsLeftOut tells the climax of every piece by weights from the other works. How sure it
// is, too, comes from them.
func summitsLeftOut(all []rise, t *advice.Table) (*climbed, error) {
	out := &climbed{at: make([]int, len(all)), sure: make([]tonal.Certainty, len(all))}
	about, heard := make([]float64, len(all)), make([]float64, len(all))
	for k := range levels.Folds {
		w, err := fitSigns(all, k)
		if err != nil {
			return nil, err
		}
		for i, r := range all {
			if r.fold != k {
				continue
			}
			q := r.m.Heights(r.signs, w)
			at := advice.Highest(q)
			out.at[i], about[i] = at, advice.About(q, at, 1)
			heard[i] = advice.About(r.m.Crests(nil).Chances(t.Loud, t.Place), at, advice.Reach(len(q)))
			if r.named != nil {
				out.musicians, out.named = append(out.musicians, example{fold: k}), append(out.named, told{mass: about[i], hit: r.allowed[at]})
			}
			if r.crest.n > 0 {
				out.players, out.loud = append(out.players, example{fold: k}), append(out.loud, told{mass: heard[i], hit: r.crest.near(at)})
			}
		}
	}
	for k := range levels.Folds {
		own := *t
		own.SignOffset, own.SignSlope = calibrate(out.musicians, out.named, k)
		own.HeardOffset, own.HeardSlope = calibrate(out.players, out.loud, k)
		for i, r := range all {
			if r.fold == k {
				_, _, out.sure[i] = own.Summits(about[i], heard[i], len(r.m.Score.Measures))
			}
		}
	}
	return out, nil
}

// print prints hits by certainty: the very measure named, it or one nearly as good, and among
// players' loudest.
func (c climbed) print(w io.Writer, all []rise) {
	for _, sure := range [...]tonal.Certainty{tonal.Sure, tonal.Likely, tonal.Unsure} {
		var named, allowed, loud []told
		for i, r := range all {
			if c.sure[i] != sure {
				continue
			}
			if r.named != nil {
				named, allowed = append(named, told{hit: r.named[c.at[i]]}), append(allowed, told{hit: r.allowed[c.at[i]]})
			}
			if r.crest.n > 0 {
				loud = append(loud, told{hit: r.crest.near(c.at[i])})
			}
		}
		fmt.Fprintf(w, "  %-26s named %s, nearly %s of %d; loudest %s of %d\n", sure, summary(named), summary(allowed), len(named), summary(loud), len(loud))
	}
}
