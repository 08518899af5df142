// Command longline asks how much of players' loudness harmony can tell, at the scale of
// one to four and of four to sixteen measures.
//
//	go run ./tools/fit/longline [-cache DIR] DATADIR
//
// DATADIR is that of tools/fit/shape. It prints, by set, the mean correlation a piece
// between loudness and the local tension, the long line, each cause of the long line, and
// the best linear mix of all that the shaping measures of harmony and phrase, with the
// weights fitted on other works: what could be had at most. Loudness and line are both
// taken between two moving means, of the shorter and of the longer stretch.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"sort"

	"hairpin/tools/fit/levels"
)

func main() {
	cache := flag.String("cache", "", "keep analyses in this folder between runs")
	flag.Parse()
	if flag.NArg() != 1 {
		flag.Usage()
		os.Exit(2)
	}
	if err := run(flag.Arg(0), *cache, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "longline: error:", err)
		os.Exit(1)
	}
}

// scales are the stretches, in measures, between which lines are compared.
var scales = [...][2]float64{{1, 4}, {4, 16}}

func run(data, cache string, w io.Writer) error {
	pieces, err := levels.Load(data, cache)
	if err != nil {
		return err
	}
	fold := levels.New(pieces).Fold
	for _, s := range scales {
		fmt.Fprintf(w, "%.0f to %.0f measures\n", s[0], s[1])
		list := make([]sample, len(pieces))
		for i, p := range pieces {
			list[i] = take(p, fold[i], s)
		}
		for k, name := range lines {
			tell(w, name, list, func(x sample) float64 { return correlation(x.lines[k], x.loud) })
		}
		mix, err := mixed(list)
		if err != nil {
			return err
		}
		i := 0
		tell(w, "best mix", list, func(sample) float64 { i++; return mix[i-1] })
	}
	return nil
}

// tell prints the mean by set.
func tell(w io.Writer, name string, list []sample, of func(sample) float64) {
	sum, count := map[string]float64{}, map[string]float64{}
	for _, x := range list {
		sum[x.set] += of(x)
		count[x.set]++
	}
	var sets []string
	for s := range sum {
		sets = append(sets, s)
	}
	sort.Strings(sets)
	fmt.Fprintf(w, "  %-12s", name)
	for _, s := range sets {
		fmt.Fprintf(w, "  %s %.3f", s, sum[s]/count[s])
	}
	fmt.Fprintln(w)
}
