package main

import (
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"time"

	"hairpin/harmony"
	"hairpin/harmony/decode"
)

// fit learns the weights from the pieces' examples, in an order fixed by the seed.
func fit(pieces []*piece, labels []decode.Label, s settings, what string) *decode.Model {
	m := decode.NewModel(labels, nil)
	m.Seed()
	t := decode.NewTrainer(m)
	t.Rate, t.Decay = s.rate, s.decay
	var all []decode.Example
	for _, p := range pieces {
		all = append(all, p.examples...)
	}
	r := rand.New(rand.NewSource(s.seed))
	for e := 0; e < s.epochs; e++ {
		start := time.Now()
		r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		sum := 0.0
		for _, x := range all {
			sum += t.Learn(x)
		}
		fmt.Fprintf(os.Stderr, "%s, pass %d: %.3f of slices right while learning, %.0f s\n", what, e+1, sum/float64(len(all)), time.Since(start).Seconds())
	}
	return decode.NewModel(labels, t.Average())
}

// predict writes the model's reading of each piece as a table and judges its
// segments against the expert's.
func predict(m *decode.Model, pieces []*piece, dir string) ([]decode.Judged, error) {
	var judged []decode.Judged
	for _, p := range pieces {
		f, err := os.Create(filepath.Join(dir, p.id+".tsv"))
		if err != nil {
			return nil, err
		}
		fmt.Fprintln(f, "onset\tend\tkey\troman\troot_pc\tbass_pc\tquality\tinversion\tmargin\tkeymargin\texplained")
		for _, s := range m.Decode(p.seen) {
			c := harmony.ChordOf(m.Labels[s.Label], s)
			on, end := p.score.Quarters(p.slices[s.Start].Start), p.score.Quarters(p.slices[s.End-1].End)
			fmt.Fprintf(f, "%g\t%g\t%s\t%s\t%d\t%d\t%s\t%d\t%.2f\t%.2f\t%.2f\n", on, end,
				c.Key, c.Roman(), c.Root.PC(), c.Bass.PC(), c.Quality.ID(), c.Inversion, s.Doubt.Margin, s.Doubt.KeyMargin, s.Doubt.Explained)
			judged = append(judged, p.judge(c, s.Doubt, on, end)...)
		}
		if err := f.Close(); err != nil {
			return nil, err
		}
	}
	return judged, nil
}

// judge compares a chord with every expert's row it overlaps.
func (p *piece) judge(c harmony.Chord, d decode.Doubt, on, end float64) []decode.Judged {
	var out []decode.Judged
	for _, r := range p.rows {
		shared := min(end, r.end) - max(on, r.onset)
		if shared <= 1e-9 {
			continue
		}
		k, _ := harmony.ParseKey(r.key)
		out = append(out, decode.Judged{Doubt: d, Weight: shared,
			ChordOK: c.Root.PC() == r.root && c.Quality.ID() == r.quality,
			KeyOK:   c.Key.Tonic.PC() == k.Tonic.PC() && c.Key.Minor == k.Minor})
	}
	return out
}

// reliability prints how often readings called sure, likely and unsure are right.
func reliability(o decode.Odds, data []decode.Judged) {
	var time, right, keyTime, keyRight [3]float64
	all := 0.0
	for _, j := range data {
		all += j.Weight
		c, k := harmony.CertaintyOf(o.ChordRight(j.Doubt)), harmony.CertaintyOf(o.KeyRight(j.Doubt))
		time[c] += j.Weight
		keyTime[k] += j.Weight
		if j.ChordOK {
			right[c] += j.Weight
		}
		if j.KeyOK {
			keyRight[k] += j.Weight
		}
	}
	for c := harmony.Unsure; c <= harmony.Sure; c++ {
		fmt.Printf("%-7s chords %4.1f %% of time, %4.1f %% right; keys %4.1f %% of time, %4.1f %% right\n", c,
			100*time[c]/all, 100*right[c]/max(time[c], 1e-9), 100*keyTime[c]/all, 100*keyRight[c]/max(keyTime[c], 1e-9))
	}
}
