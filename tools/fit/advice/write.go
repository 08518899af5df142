package main

import (
	"fmt"
	"os"
	"sort"
	"strings"

	"hairpin/dynamics/advice"
)

const head = `# Goals of phrases and shares of advice: see advice.Table. Written by tools/fit/advice.
# Fitted on mean performed loudness a beat of 124 piano pieces: MazurkaBL (Kosta, Bandtlow & Chew 2018),
# Vienna 4x22 (Goebl 1999), Batik-plays-Mozart (Hu & Widmer 2023), (n)ASAP (Foscarin et al. 2020;
# Peter et al. 2023); taking time on single performances of (n)ASAP, Vienna 4x22 and Batik-plays-Mozart.
# Only these statistics are kept here, no data. Licences of the data, from memory: (n)ASAP,
# Batik-plays-Mozart and Vienna 4x22 CC BY-NC-SA 4.0; MazurkaBL as its project states.
# The climax (summit): on the measures that musicians name in 55 pieces, songs and quartets among them, noted
# by helpers of this project from the notes alone, and a little on those performances.
# goal quantity weight / confidence offset slope / crest loudness place / crest confidence offset slope / summit sign weight / summit confidence, heard offset slope / share kind class share baseline places
`

// write writes the table.
func write(path string, t *advice.Table) error {
	var b strings.Builder
	b.WriteString(head)
	names, _ := advice.Quantities()
	for k, n := range names {
		fmt.Fprintf(&b, "goal\t%s\t%.3g\n", n, t.Weights[k])
	}
	fmt.Fprintf(&b, "confidence\t%.3g\t%.3g\n", t.Offset, t.Slope)
	fmt.Fprintf(&b, "crest\t%.3g\t%.3g\ncrest confidence\t%.3g\t%.3g\n", t.Loud, t.Place, t.CrestOffset, t.CrestSlope)
	for k, n := range advice.SignNames() {
		fmt.Fprintf(&b, "summit\t%s\t%.3g\n", n, t.Signs[k])
	}
	fmt.Fprintf(&b, "summit confidence\t%.3g\t%.3g\nsummit heard\t%.3g\t%.3g\n", t.SignOffset, t.SignSlope, t.HeardOffset, t.HeardSlope)
	var rows []string
	for c, s := range t.Shares {
		rows = append(rows, fmt.Sprintf("share\t%s\t%s\t%.3f\t%.3f\t%d\n", c.Kind, c.Class, s.Share, s.Baseline, s.N))
	}
	sort.Strings(rows)
	b.WriteString(strings.Join(rows, ""))
	tmp := path + ".part"
	if err := os.WriteFile(tmp, []byte(b.String()), 0o644); err != nil {
		return err
	}
	return os.Rename(tmp, path)
}
