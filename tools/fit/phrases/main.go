// Command phrases measures the phrases hairpin finds against phrase ends marked by
// analysts, and fits the weights of the marks, by work in four folds.
//
//	go run ./tools/fit/phrases -data DIR                    measure, chords of the analysts
//	go run ./tools/fit/phrases -data DIR -heard -fermatas   measure as hairpin hears them
//	go run ./tools/fit/phrases -closes FILE [-list]         the same for measured music, and each kind of cadence
//	go run ./tools/fit/phrases -closes FILE -signs          cross-validate and fit the signs that a formula closes
//	go run ./tools/fit/phrases -data DIR -fit               cross-validate and fit the weights of chorales
//	go run ./tools/fit/phrases -closes FILE -fit            the same for measured music
//
// DIR holds dev/<id>.mxl, dev/<id>.tsv (with a column phrase_end) and split.tsv.
// Ends at repeat signs, which analysts leave unmarked, and the end of the piece are
// not counted. Ends count as found within -within quarters.
package main

import (
	"flag"
	"fmt"
	"os"

	"hairpin/harmony/phrasing"
)

type settings struct {
	data, closes         string
	heard, fermatas, fit bool
	list, signs          bool
	within               float64
}

func main() {
	var s settings
	flag.StringVar(&s.data, "data", "", "folder with dev/ and split.tsv")
	flag.StringVar(&s.closes, "closes", "", "table of scores with the closes marked in them")
	flag.BoolVar(&s.heard, "heard", false, "use the chords hairpin hears, not the analysts'")
	flag.BoolVar(&s.fermatas, "fermatas", false, "leave the fermatas in")
	flag.BoolVar(&s.list, "list", false, "list each cadence missed or not marked")
	flag.BoolVar(&s.signs, "signs", false, "cross-validate and fit the signs that a formula closes, by work")
	flag.BoolVar(&s.fit, "fit", false, "fit the weights")
	flag.Float64Var(&s.within, "within", 1, "tolerance in quarters")
	flag.Parse()
	if err := run(s); err != nil {
		fmt.Fprintln(os.Stderr, "phrases: error:", err)
		os.Exit(1)
	}
}

func run(s settings) error {
	pieces, usual, err := s.pieces()
	if err != nil {
		return err
	}
	if s.fermatas || s.closes != "" {
		measureEach(pieces, func(p *piece) phrasing.Weights { return phrasing.WeightsFor(p.score) }).print("as hairpin hears them")
	} else {
		measure(pieces, usual).print("weights of chorales")
	}
	for _, l := range lengths(pieces) {
		fmt.Println(" ", l)
	}
	ends, closes := bands(pieces)
	printBands("phrase ends", ends)
	printBands("phrase ends with a cadence, by the cadence", closes)
	if s.closes != "" {
		printKinds(pieces, s.list)
		printRows(pieces, s.list)
	}
	if s.signs {
		crossClosings(pieces)
	}
	if !s.fit {
		return nil
	}
	apart := tally{}
	for fold := range folds {
		rest, own := split(pieces, fold)
		w := fit(rest, usual)
		fmt.Printf("without fold %d: %+v\n", fold, w)
		apart.add(measure(own, w))
	}
	apart.print("cross-validated")
	fmt.Printf("on everything: %+v\n", fit(pieces, usual))
	return nil
}

// pieces are the pieces to measure, and the weights to begin with.
func (s settings) pieces() ([]*piece, phrasing.Weights, error) {
	if s.closes != "" {
		list, err := loadCloses(s.closes)
		return list, phrasing.DefaultWeights(), err
	}
	list, err := load(s)
	return list, phrasing.ChoraleWeights(), err
}

// fitted are the weights that are fitted; the others are set by hand.
func fitted(w *phrasing.Weights) []*float64 {
	list := []*float64{&w.None, &w.Cadence, &w.Lead, &w.All, &w.Long, &w.Held, &w.Echo, &w.Broken, &w.Odd, &w.Length}
	if w.Bars {
		list = append(list, &w.Two, &w.Slur, &w.Open, &w.Waiting, &w.Print, &w.Silence, &w.Opening, &w.Return, &w.Alike)
	}
	return list
}

// fit climbs from the given weights, one weight at a time, with shrinking steps.
func fit(pieces []*piece, from phrasing.Weights) phrasing.Weights {
	best, top := from, worth(pieces, from, from)
	for _, step := range []float64{0.5, 0.25} {
		for range 2 {
			before := top
			for i := range fitted(&best) {
				for _, by := range []float64{step, -step} {
					w := best
					*fitted(&w)[i] += by
					if x := worth(pieces, w, from); x > top+1e-6 {
						best, top = w, x
					}
				}
			}
			if top == before {
				break
			}
		}
	}
	return best
}

// worth is the mean F measure of chorales, madrigals and, at half weight, songs,
// of which only the larger sections are marked, or of sonatas and mazurkas; less a little for each step away
// from where the fit began.
func worth(pieces []*piece, w, from phrasing.Weights) float64 {
	t := measure(pieces, w)
	x := (t["chorales"].f() + t["madrigals"].f() + t["lieder"].f()/2) / 2.5
	if w.Bars {
		x = (t["sonatas"].f() + rowsWorth(pieces)) / 2
	}
	start := fitted(&from)
	for i, v := range fitted(&w) {
		d := *v - *start[i]
		x -= 0.002 * d * d
	}
	return x
}
