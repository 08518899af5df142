package take

import (
	"fmt"
	"math"
	"strconv"
)

// What of two takes is told: measures whose loudness differs by so many decibels, or
// whose tempo by such a share. One player differs from himself by less (see the
// package performance).
const (
	apartLoud  = 3.0
	apartTempo = 0.15
)

// bar is a measure of one take: means over its beats, all passes together.
type bar struct {
	loud, tempo   float64
	beats, tempos int
}

// Differences are the measures in which takes differ, a row each.
func (t *Report) Differences() Table {
	var bars []map[string]bar
	for _, k := range t.Takes {
		bars = append(bars, k.bars())
	}
	out := Table{Title: "Where the takes differ: loudness over each take's own mean, and tempo", Head: []string{"measure"}, Right: []bool{false}}
	for i := range t.Takes {
		out.Head, out.Right = append(out.Head, "dB "+strconv.Itoa(i+1), "tempo "+strconv.Itoa(i+1)), append(out.Right, true, true)
	}
	last := ""
	for _, m := range t.reading.Score.Measures {
		if row := barRow(m.Number, bars); row != nil && m.Number != last {
			out.Rows = append(out.Rows, row)
		}
		last = m.Number
	}
	if len(out.Rows) == 0 {
		out.Title = "No measure that the takes share differs by 3 dB or by 15 % in tempo."
	}
	return out
}

// bars are the measures of a take by their numbers.
func (k *Take) bars() map[string]bar {
	out := map[string]bar{}
	for _, b := range k.Beats {
		x := out[b.Measure]
		if b.Relative != nil {
			x.loud, x.beats = x.loud+float64(*b.Relative), x.beats+1
		}
		if b.Tempo > 0 {
			x.tempo, x.tempos = x.tempo+float64(b.Tempo), x.tempos+1
		}
		out[b.Measure] = x
	}
	for m, x := range out {
		x.loud /= float64(max(x.beats, 1))
		x.tempo /= float64(max(x.tempos, 1))
		out[m] = x
	}
	return out
}

// barRow is a measure's row, nil where a take lacks it or none differs.
func barRow(number string, bars []map[string]bar) []string {
	row := []string{number}
	differ := false
	for _, list := range bars {
		x, first := list[number], bars[0][number]
		if x.beats == 0 || x.tempos == 0 {
			return nil
		}
		differ = differ || math.Abs(x.loud-first.loud) >= apartLoud || math.Abs(math.Log(x.tempo/first.tempo)) >= apartTempo
		row = append(row, signed(x.loud, 1), fmt.Sprintf("%.0f", x.tempo))
	}
	if !differ {
		return nil
	}
	return row
}
