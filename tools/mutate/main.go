// Command mutate asks whether the tests notice faults: it sets small faults
// into rules, thresholds and weights, one at a time and in memory only, and
// runs the tests on each.
//
//	go run ./tools/mutate -n 60 ./harmony/... ./dynamics/...
//
// A fault counts as caught if the tests of its own package fail, or else those
// named by -then, which read the demo scores as a player does. Faults that do
// not compile are drawn anew. Without -n every fault of the packages is tried.
// -list prints the faults drawn and runs nothing. The exit status is 1 if so few
// are caught that a share of -least or more can be ruled out: a sample of ten says
// little, and a good tree must not fail by the luck of the draw.
package main

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"time"
)

// goldens are the tests that compare what is heard, proposed and printed with what was.
const goldens = "./harmony ./harmony/events ./dynamics ./musicxml ./report ./report/annotate ./report/practice ./report/sound ./report/survey ./report/html -run Golden"

func main() {
	n := flag.Int("n", 0, "how many faults to draw, 0: all")
	seed := flag.Uint64("seed", 1, "which faults are drawn")
	then := flag.String("then", goldens, "the second tests a fault must get past, packages one by one, then their options")
	least := flag.Float64("least", 0, "the least share caught, 0 to 1: fails if the sample rules it out")
	limit := flag.Duration("limit", 2*time.Minute, "the longest one run of tests may take; a fault that hangs is caught")
	within := flag.Duration("within", 24*time.Hour, "no new fault is tried after so long: what was tried by then counts")
	skip := flag.String("skip", "", "packages whose path holds this are left out: those with slow tests")
	list := flag.Bool("list", false, "only list the faults drawn")
	flag.Parse()
	caught, tried, err := run(plan{flag.Args(), *n, *seed, strings.Fields(*then), *limit, *within, *skip, *list})
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate: error:", err)
		os.Exit(2)
	}
	if most := atMost(caught, tried, inHundred); most < *least {
		fmt.Fprintf(os.Stderr, "mutate: error: %d of %d caught: %.0f %% at the most, fewer than %.0f %%\n", caught, tried, 100*most, 100**least)
		os.Exit(1)
	}
}

// plan is what to try.
type plan struct {
	patterns []string
	n        int
	seed     uint64
	then     []string
	limit    time.Duration
	within   time.Duration
	skip     string
	list     bool
}

// run draws faults, tries them and prints the survivors; it returns how many were
// caught of how many tried.
func run(p plan) (caught, tried int, err error) {
	packages, err := find(p.patterns)
	if err != nil {
		return 0, 0, err
	}
	if p.skip != "" {
		packages = slices.DeleteFunc(packages, func(s source) bool { return strings.Contains(s.ImportPath, p.skip) })
	}
	var all []fault
	for _, pkg := range packages {
		f, err := faults(pkg)
		if err != nil {
			return 0, 0, err
		}
		all = append(all, f...)
	}
	rand.New(rand.NewPCG(p.seed, 0)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	if p.n == 0 || p.n > len(all) {
		p.n = len(all)
	}
	if p.list {
		for _, f := range all[:p.n] {
			fmt.Println(f)
		}
		return 0, 0, nil
	}
	if err := p.sound(packages); err != nil {
		return 0, 0, err
	}
	results := try(p, all)
	return tally(results), len(results), nil
}

// tally prints what became of the faults and returns how many were caught.
func tally(results []result) (caught int) {
	own, late := 0, 0
	for _, r := range results {
		switch r.fate {
		case byOwn:
			own++
			caught++
		case byThen:
			caught++
		case hung:
			late++
			caught++
			fmt.Println("past the limit:", r.fault)
		case survived:
			fmt.Println("not noticed:", r.fault)
		}
	}
	fmt.Printf("%d faults, %d caught (%.0f %%), %d of them by the tests of their own package, %d because the tests ran past the limit\n", len(results), caught, 100*float64(caught)/float64(max(len(results), 1)), own, late)
	return caught
}

// inHundred spans an interval that holds the true share in 99 of 100 samples, in standard errors.
const inHundred = 2.576

// atMost is the upper end of the interval of z standard errors about a share, 0 to 1; 1 of
// none tried (Wilson 1927, Probable inference, J. Am. Stat. Assoc. 22).
func atMost(caught, tried int, z float64) float64 {
	if tried == 0 {
		return 1
	}
	n := float64(tried)
	p, zz := float64(caught)/n, z*z/n
	return (p + zz/2 + z*math.Sqrt(p*(1-p)/n+zz/n/4)) / (1 + zz)
}
