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

// predict writes the model's reading of each piece as a table.
func predict(m *decode.Model, pieces []*piece, dir string) error {
	for _, p := range pieces {
		f, err := os.Create(filepath.Join(dir, p.id+".tsv"))
		if err != nil {
			return err
		}
		fmt.Fprintln(f, "onset\tend\tkey\troman\troot_pc\tbass_pc\tquality\tinversion")
		for _, s := range m.Decode(p.seen) {
			c := harmony.ChordOf(m.Labels[s.Label], s)
			fmt.Fprintf(f, "%g\t%g\t%s\t%s\t%d\t%d\t%s\t%d\n", p.score.Quarters(p.slices[s.Start].Start), p.score.Quarters(p.slices[s.End-1].End),
				c.Key, c.Roman(), c.Root.PC(), c.Bass.PC(), c.Quality.ID(), c.Inversion)
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	return nil
}
