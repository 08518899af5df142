// Command shape fits the weights of the shaping on performances.
//
//	go run ./tools/fit/shape [-o dynamics/shaping/shape.tsv] [-pred DIR] DATADIR
//
// DATADIR holds scores/SET/ID.mxl and truth/SET/ID.tsv, the mean loudness of
// performers a beat: columns onset (quarter notes from the start as written),
// level, zone (a number for each stretch between printed level marks). It
// prints the mean correlation a piece, each piece predicted by weights fitted
// on other works, and writes the table fitted on all of them. -pred writes the predictions of works left out.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"

	"hairpin/tools/fit/levels"
)

func main() {
	out := flag.String("o", "", "write the table of weights here")
	pred := flag.String("pred", "", "write predictions of works left out into this folder")
	cache := flag.String("cache", "", "keep analyses in this folder between runs")
	without := flag.Bool("without", false, "also report what each cause adds: the figures without it")
	flag.Parse()
	if flag.NArg() != 1 {
		flag.Usage()
		os.Exit(2)
	}
	if err := run(flag.Arg(0), *out, *pred, *cache, *without, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "shape: error:", err)
		os.Exit(1)
	}
}

func run(data, out, pred, cache string, without bool, w io.Writer) error {
	pieces, err := levels.Load(data, cache)
	if err != nil {
		return err
	}
	f := levels.New(pieces)
	full, err := f.CrossValidate(nil)
	if err != nil {
		return err
	}
	report(w, pieces, full)
	for _, cause := range f.Causes() {
		if !without {
			break
		}
		fmt.Fprintf(w, "\nwithout %s\n", cause)
		less, err := f.CrossValidate(func(c string) bool { return c != cause })
		if err != nil {
			return err
		}
		report(w, pieces, less)
	}
	if pred != "" {
		if err := writePredictions(pred, pieces, full); err != nil {
			return err
		}
	}
	if out == "" {
		return nil
	}
	return f.Write(out)
}
