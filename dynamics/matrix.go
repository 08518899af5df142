package dynamics

import (
	"fmt"
	"io"
	"sort"

	"hairpin/harmony"
	"hairpin/score"
)

// WriteSeries writes what the shaping sees, one row a moment, as tab-separated
// text: onset and end in quarter notes, then every series by name.
func WriteSeries(w io.Writer, s *score.Score, a *harmony.Analysis, p *Page) error {
	o := observe(s, a, p)
	var names []string
	for n := range o.named {
		names = append(names, n)
	}
	sort.Strings(names)
	fmt.Fprint(w, "onset\tend")
	for _, n := range names {
		fmt.Fprint(w, "\t", n)
	}
	for i := range o.quart {
		fmt.Fprintf(w, "\n%.6g\t%.6g", s.Quarters(o.at[i]), s.Quarters(o.at[i+1]))
		for _, n := range names {
			fmt.Fprintf(w, "\t%.5g", o.named[n][i])
		}
	}
	_, err := fmt.Fprintln(w)
	return err
}
