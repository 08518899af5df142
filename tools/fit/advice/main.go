// Command advice fits the goals of phrases and the shares of advice on performances.
//
//	go run ./tools/fit/advice [-o dynamics/advice/advice.tsv] [-takes DIR] [-climaxes FILE] [-cache DIR] DATADIR
//
// DATADIR is that of tools/fit/shape: scores/SET/ID.mxl and truth/SET/ID.tsv. DIR
// holds scores/PIECE.mxl, manifest.tsv and takes/TAKE.beats.tsv, single
// performances with the time of every beat; without it nothing is said of taking
// time. FILE holds the climaxes that musicians name, see rises; without it the weights of
// the climax stay as they are. It prints how often the goal is where players are loudest, by what is
// weighed, how often the loudest measure of a piece is among theirs, and how often
// they do what each kind of advice asks: all with works left out, of these weights
// and of those of the shaping alike.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"

	"hairpin/dynamics/advice"
	"hairpin/tools/fit/levels"
)

func main() {
	out := flag.String("o", "", "write the table here")
	takes := flag.String("takes", "", "folder of single performances with beat times")
	climaxes := flag.String("climaxes", "", "table of climaxes that musicians name")
	cache := flag.String("cache", "", "keep analyses in this folder between runs")
	flag.Parse()
	if flag.NArg() != 1 {
		flag.Usage()
		os.Exit(2)
	}
	if err := run(flag.Arg(0), *out, *takes, *climaxes, *cache, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "advice: error:", err)
		os.Exit(1)
	}
}

func run(data, out, takes, climaxes, cache string, w io.Writer) error {
	pieces, err := levels.Load(data, cache)
	if err != nil {
		return err
	}
	heard, err := hear(pieces)
	if err != nil {
		return err
	}
	t, err := goals(w, heard)
	if err != nil {
		return err
	}
	if err := crests(w, heard, t); err != nil {
		return err
	}
	if climaxes != "" {
		if err := summits(w, heard, t, climaxes, cache); err != nil {
			return err
		}
	}
	counts := moves(w, heard)
	if takes != "" {
		if err := times(w, takes, cache, counts); err != nil {
			return err
		}
	}
	t.Shares = map[advice.Comparable]advice.Share{}
	for c, n := range counts {
		t.Shares[c] = n.share()
	}
	if out == "" {
		return nil
	}
	return write(out, t)
}
