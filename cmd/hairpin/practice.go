package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"hairpin/report/practice"
)

// practiceFlags are the options of a ladder, as a sheet or as sound.
type practiceFlags struct {
	steps bool
	plan  practice.Plan
}

func (f *practiceFlags) register(fs *pflag.FlagSet) {
	fs.BoolVar(&f.steps, "steps", false, "the measures as a ladder of practice")
	fs.IntVar(&f.plan.Hardest, "hardest", 0, "`N` ladders of single measures, the hardest of those shown, with reasons")
	fs.StringVar((*string)(&f.plan.Hands), "hands", "", "`HANDS` one, two, two-mallets, four-mallets; else by the part's name")
	fs.IntVar(&f.plan.Rest, "rest", 2, "`N` beats of rest inside each repeat")
}

// choose checks the options of a ladder; tempo is the range of its metronome, "" for
// the page's.
func (f *practiceFlags) choose(fs *pflag.FlagSet, tempo string) error {
	f.steps = f.steps || f.plan.Hardest > 0
	if tempo != "" {
		low, high, ranged := strings.Cut(tempo, "-")
		if !ranged {
			high = low
		}
		var err1, err2 error
		f.plan.From, err1 = strconv.ParseFloat(low, 64)
		f.plan.To, err2 = strconv.ParseFloat(high, 64)
		if err1 != nil || err2 != nil || f.plan.From == 0 {
			return usage(fs, fmt.Sprintf("--tempo is a range such as 50-80, not %q", tempo))
		}
	}
	return f.plan.Check()
}
