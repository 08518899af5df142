// Command chords fits the chord decoder's weights on a folder of expert
// analyses, or cross-validates them by work.
//
//	go run ./tools/fit/chords -data DIR -folds 5 -predict OUT   cross-validate, write predictions
//	go run ./tools/fit/chords -data DIR -predict OUT -o harmony/hearing/chords.model   also fit on everything and write the model
//
// DIR holds dev/<id>.mxl, dev/<id>.tsv and split.tsv (id, genre, …, group).
// Pieces of one group never stand on both sides of a fold.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"

	"hairpin/harmony/decode"
	"hairpin/harmony/hearing"
)

type settings struct {
	data, predict, out string
	folds, epochs, min int
	rate, decay        float64
	only               string
	seed               int64
	orders             int
	test               int
	use                string
}

func main() {
	var s settings
	flag.StringVar(&s.data, "data", "", "folder with dev/ and split.tsv")
	flag.StringVar(&s.predict, "predict", "", "folder for cross-validated predictions")
	flag.StringVar(&s.out, "o", "", "write the model fitted on everything to this file")
	flag.IntVar(&s.folds, "folds", 5, "number of folds")
	flag.IntVar(&s.test, "test", -1, "run only this fold")
	flag.IntVar(&s.epochs, "epochs", 5, "passes over the data")
	flag.IntVar(&s.min, "min", 4, "a label must occur this often")
	flag.Float64Var(&s.rate, "rate", 0.2, "step size")
	flag.Float64Var(&s.decay, "decay", 0, "pull toward zero")
	flag.StringVar(&s.only, "only", "", "use only this genre")
	flag.Int64Var(&s.seed, "seed", 1, "first order of the examples")
	flag.IntVar(&s.orders, "orders", 4, "orders of the examples the weights are the mean of, fitted at the same time")
	flag.StringVar(&s.use, "use", "", "fit nothing: predict with this model")
	flag.Parse()
	if err := run(s); err != nil {
		fmt.Fprintln(os.Stderr, "chords: error:", err)
		os.Exit(1)
	}
}

func run(s settings) error {
	pieces, err := load(s)
	if err != nil {
		return err
	}
	if s.use != "" {
		return apply(pieces, s)
	}
	labels := vocabulary(pieces, s.min)
	fmt.Fprintf(os.Stderr, "%d pieces, %d labels, %d weights\n", len(pieces), len(labels), decode.Size(labels))
	for i := range pieces {
		pieces[i].align(labels)
	}
	var odds decode.Odds
	if s.predict != "" {
		done, err := crossValidate(pieces, labels, s)
		if err != nil {
			return err
		}
		if odds, err = fitOdds(done.judged); err != nil {
			return err
		}
		table(os.Stdout, done.figures)
		reliability(odds, done.judged)
	}
	if s.out == "" {
		return nil
	}
	m := fit(pieces, labels, s, "all")
	m.Odds = odds
	f, err := os.Create(s.out)
	if err != nil {
		return err
	}
	if err := m.Write(f, provenance); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

// crossValidate fits a model for each fold on the other folds, and returns how
// its readings of the fold fared.
func crossValidate(pieces []*piece, labels []decode.Label, s settings) (outcome, error) {
	fold := folds(pieces, s.folds)
	if err := os.MkdirAll(s.predict, 0o777); err != nil {
		return outcome{}, err
	}
	done := make([]outcome, s.folds)
	errs := make([]error, s.folds)
	for k := 0; k < s.folds; k++ {
		if s.test >= 0 && k != s.test {
			continue
		}
		var learn, test []*piece
		for i, p := range pieces {
			if fold[i] == k {
				test = append(test, p)
			} else {
				learn = append(learn, p)
			}
		}
		m := fit(learn, labels, s, fmt.Sprint("fold ", k))
		done[k], errs[k] = predict(m, test, s.predict)
	}
	var all outcome
	for _, d := range done {
		all.judged = append(all.judged, d.judged...)
		all.figures = append(all.figures, d.figures...)
	}
	return all, errors.Join(errs...)
}

// apply predicts all pieces with a model that is fitted already.
func apply(pieces []*piece, s settings) error {
	text, err := os.ReadFile(s.use)
	if err != nil {
		return err
	}
	m, err := decode.Read(string(text), hearing.Label)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(s.predict, 0o777); err != nil {
		return err
	}
	done, err := predict(m, pieces, s.predict)
	if err != nil {
		return err
	}
	table(os.Stdout, done.figures)
	reliability(m.Odds, done.judged)
	return nil
}
