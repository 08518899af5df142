package main

import (
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"sync"
	"time"

	"hairpin/harmony/decode"
	"hairpin/harmony/hearing"
	"hairpin/harmony/tonal"
)

// fit learns the weights from the pieces' examples several times over, each
// time in another order, and returns their mean.
func fit(pieces []*piece, labels []decode.Label, s settings, what string) *decode.Model {
	learnt := make([][]float64, s.orders)
	var wait sync.WaitGroup
	for n := range learnt {
		wait.Go(func() {
			learnt[n] = learn(pieces, labels, s, s.seed+int64(n), fmt.Sprintf("%s, order %d", what, n+1))
		})
	}
	wait.Wait()
	mean := make([]float64, len(learnt[0]))
	for _, w := range learnt {
		for i, x := range w {
			mean[i] += x / float64(len(learnt))
		}
	}
	return decode.NewModel(labels, mean)
}

// learn learns the weights once, in an order fixed by the seed.
func learn(pieces []*piece, labels []decode.Label, s settings, seed int64, what string) []float64 {
	m := decode.NewModel(labels, nil)
	m.Seed()
	t := newTrainer(m)
	t.rate, t.decay = s.rate, s.decay
	var all []example
	for _, p := range pieces {
		all = append(all, p.examples...)
	}
	r := rand.New(rand.NewSource(seed))
	for e := 0; e < s.epochs; e++ {
		start := time.Now()
		r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		sum := 0.0
		for _, x := range all {
			sum += t.learn(x)
		}
		fmt.Fprintf(os.Stderr, "%s, pass %d: %.3f of slices right while learning, %.0f s\n", what, e+1, sum/float64(len(all)), time.Since(start).Seconds())
	}
	return t.mean()
}

// outcome is how a model's readings fared against the experts'.
type outcome struct {
	judged  []judged
	figures []figures
}

// predict writes the model's reading of each piece as a table, and compares it
// with the expert's.
func predict(m *decode.Model, pieces []*piece, dir string) (outcome, error) {
	var out outcome
	for _, p := range pieces {
		var chords []timed
		for _, s := range m.Decode(p.seen) {
			c := timed{hearing.ChordOf(m.Labels[s.Label], s), p.score.Quarters(p.slices[s.Start].Start), p.score.Quarters(p.slices[s.End-1].End)}
			chords = append(chords, c)
			out.judged = append(out.judged, p.judge(c.Chord, s.Doubt, c.onset, c.end)...)
		}
		out.figures = append(out.figures, p.compare(chords))
		if err := write(filepath.Join(dir, p.id+".tsv"), chords); err != nil {
			return outcome{}, err
		}
	}
	return out, nil
}

// write writes a reading as a table.
func write(path string, chords []timed) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	fmt.Fprintln(f, "onset\tend\tkey\troman\troot_pc\tbass_pc\tquality\tinversion")
	for _, c := range chords {
		fmt.Fprintf(f, "%g\t%g\t%s\t%s\t%d\t%d\t%s\t%d\n", c.onset, c.end, c.Key, c.Roman(), c.Root.PC(), c.Bass.PC(), c.Quality.ID(), c.Inversion)
	}
	return f.Close()
}

// judge compares a chord with every expert's row it overlaps.
func (p *piece) judge(c tonal.Chord, d decode.Doubt, on, end float64) []judged {
	var out []judged
	for _, r := range p.rows {
		shared := min(end, r.end) - max(on, r.onset)
		if shared <= 1e-9 {
			continue
		}
		k, _ := tonal.ParseKey(r.key)
		out = append(out, judged{Doubt: d, weight: shared,
			chordOK: c.Root.PC() == r.root && c.Quality.ID() == r.quality,
			keyOK:   sameKey(c.Key, k)})
	}
	return out
}

// reliability prints how often readings called sure, likely and unsure are right.
func reliability(o decode.Odds, data []judged) {
	var time, right, keyTime, keyRight [3]float64
	all := 0.0
	for _, j := range data {
		all += j.weight
		c, k := tonal.CertaintyOf(o.ChordRight(j.Doubt)), tonal.CertaintyOf(o.KeyRight(j.Doubt))
		time[c] += j.weight
		keyTime[k] += j.weight
		if j.chordOK {
			right[c] += j.weight
		}
		if j.keyOK {
			keyRight[k] += j.weight
		}
	}
	for c := tonal.Unsure; c <= tonal.Sure; c++ {
		fmt.Printf("%-7s chords %4.1f %% of time, %4.1f %% right; keys %4.1f %% of time, %4.1f %% right\n", c,
			100*time[c]/all, 100*right[c]/max(time[c], 1e-9), 100*keyTime[c]/all, 100*keyRight[c]/max(keyTime[c], 1e-9))
	}
}
