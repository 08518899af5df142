package stated

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// writeCorrections writes corrections in the format ReadCorrections reads.
func writeCorrections(w io.Writer, s *score.Score, list []Correction) error {
	out := bufio.NewWriter(w)
	fmt.Fprintln(out, "# measure beat key numeral")
	for _, c := range list {
		p := s.At(c.At)
		key, numeral := "-", "-"
		in := tonal.Key{}
		if c.Key != nil {
			in = *c.Key
			key = in.String()
		}
		if c.Numeral != nil {
			numeral = c.Numeral.Format(in)
		}
		fmt.Fprintf(out, "%s %s %s %s\n", p.Number, strconv.FormatFloat(p.Beat, 'f', -1, 64), key, numeral)
	}
	return out.Flush()
}
