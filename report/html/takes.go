package html

import (
	"fmt"
	"math"
	"slices"

	"hairpin/dynamics/page"
	"hairpin/report"
	"hairpin/report/take"
	"hairpin/score"
)

// MostTakes is how many takes are drawn over one another: more cannot be told apart.
const MostTakes = 4

// stepDecibels is how many decibels of a take are drawn as a step of the printed
// level: 16 of MIDI's velocity, around mp and mf, by 40·log10 (see the package
// performance). A scale to draw with, no measure of what a mark asks for.
const stepDecibels = 4.0

// takeLine is a take as it is drawn.
type takeLine struct {
	*take.Take
	n    int          // from 1
	runs [][]takeBeat // stretches played on without a stop or jump
}

// takeBeat is a beat of it: loudness in steps of the printed level, tempo in beats a
// minute, 0 where unknown.
type takeBeat struct {
	at    score.Tick
	level float64
	tempo float64
	loud  bool
}

// takeLines readies takes: their loudness less what texture and register alone give,
// each over its own mean, which is laid on the mean of the printed level there.
func takeLines(r *report.Reading, takes []take.Take) (out []takeLine) {
	for i := range takes[:min(len(takes), MostTakes)] {
		l := takeLine{Take: &takes[i], n: i + 1}
		above := l.middle(r)
		for k, b := range l.Beats {
			if k == 0 || b.Pass != l.Beats[k-1].Pass || b.Onset <= l.Beats[k-1].Onset {
				l.runs = append(l.runs, nil)
			}
			x := takeBeat{at: tickWithin(r, float64(b.Onset)), tempo: min(float64(b.Tempo), fastest), loud: b.Relative != nil}
			if x.loud {
				x.level = above + steps(b)
			}
			last := &l.runs[len(l.runs)-1]
			*last = append(*last, x)
		}
		for k := range l.runs {
			l.runs[k] = calmed(l.runs[k])
		}
		out = append(out, l)
	}
	return out
}

// What is drawn of a take that makes no sense, as a page might send it.
const (
	farthest = 40.0  // dB over or under the take's mean
	fastest  = 600.0 // beats a minute
)

// steps is how far a beat is drawn above its take's mean.
func steps(b take.Beat) float64 {
	return min(max(float64(*b.Relative), -farthest), farthest) / stepDecibels
}

// tickWithin is the moment so many quarter notes after the start, inside the score.
func tickWithin(r *report.Reading, quarters float64) score.Tick {
	return tickAt(r, min(max(quarters, 0), r.Score.Quarters(r.Score.Length())))
}

// middle is the printed level that a loudness of 0 dB is drawn at.
func (l takeLine) middle(r *report.Reading) float64 {
	sum, count := 0.0, 0
	for _, b := range l.Beats {
		if b.Relative != nil {
			sum, count = sum+r.Page.Whole.At(tickWithin(r, float64(b.Onset)))-steps(b), count+1
		}
	}
	if count == 0 || !r.Page.Marked {
		return (page.MP + page.MF) / 2
	}
	return sum / float64(count)
}

// calmed is a stretch with each beat's loudness half its own, half its neighbours':
// a player differs from himself by nearly 2 dB a beat, and that is not to be read.
func calmed(list []takeBeat) []takeBeat {
	out := append([]takeBeat{}, list...)
	for i, b := range list {
		a, c := b, b
		if i > 0 && list[i-1].loud {
			a = list[i-1]
		}
		if i+1 < len(list) && list[i+1].loud {
			c = list[i+1]
		}
		out[i].level = (a.level + 2*b.level + c.level) / 4
	}
	return out
}

// takeRange widens a range of levels so that it holds the takes.
func takeRange(lines []takeLine, lo, hi float64) (float64, float64) {
	for _, l := range lines {
		for _, run := range l.runs {
			for _, b := range run {
				if b.loud {
					lo, hi = min(lo, b.level), max(hi, b.level)
				}
			}
		}
	}
	return lo, hi
}

// tempoRange is the slowest and the fastest that the takes go, with a little room;
// false where no tempo is known.
func tempoRange(lines []takeLine) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), 0
	for _, l := range lines {
		for _, run := range l.runs {
			for _, b := range run {
				if b.tempo > 0 {
					lo, hi = min(lo, b.tempo), max(hi, b.tempo)
				}
			}
		}
	}
	const least = 1.3 // times the slowest, so that small changes stay small
	if hi < least*lo {
		middle := math.Sqrt(lo * hi)
		lo, hi = middle/math.Sqrt(least), middle*math.Sqrt(least)
	}
	return lo, hi, hi > 0
}

// TakeParts are the takes on a page: their legend, and what is told of them in words.
type TakeParts struct {
	List        []takeWords
	Differences *takeTable // nil of a single take
	Caution     string
}

// takeWords is one take in words.
type takeWords struct {
	N     int
	File  string
	Words []string
	Table []takeTable
}

// takeTable is a table with a name of its own among all on the page.
type takeTable struct {
	Name string
	take.Table
}

// newTakeParts is nil without takes.
func newTakeParts(r *report.Reading, takes []take.Take) *TakeParts {
	if len(takes) == 0 {
		return nil
	}
	takes = slices.Clone(takes[:min(len(takes), MostTakes)])
	for i := range takes { // the folder is nobody's business who reads the report
		takes[i].File = plainName(takes[i].File)
	}
	all := take.Again(r, takes)
	out := &TakeParts{Caution: all.Caution}
	for i := range takes {
		w := takeWords{N: i + 1, File: takes[i].File, Words: takes[i].Overview()}
		for _, t := range takes[i].Tables() {
			w.Table = append(w.Table, takeTable{fmt.Sprintf("Take %d: %s", i+1, t.Title), t})
		}
		out.List = append(out.List, w)
	}
	if len(takes) > 1 {
		out.Differences = &takeTable{"Take beside take", all.Differences()}
	}
	return out
}
