package annotate

import (
	"fmt"
	"math"

	"hairpin/score"
)

// number is a chord's highest tension as it is printed.
type number struct {
	at      score.Tick
	tension float64
	text    string
	peak    bool // the highest of its phrase
}

// tensions writes the highest tension of the chords, that of each phrase bold.
// Numbers and not a shade: they survive copying machines, and two of them can be
// compared. Students read above the first what the numbers are.
func (a *annotator) tensions() {
	for i, n := range a.numbers() {
		weight := "normal"
		if n.peak {
			weight = "bold"
		}
		a.put(a.bottom, n.at, false, directionXML("below", rowXML(n.text, a.rows.tension, weight)))
		if i == 0 && !a.opt.Shorthand {
			a.put(a.top, n.at, false, directionXML("above", wordsXML("numbers below: tension, 0–100; bold: the highest of a phrase", "italic")))
		}
	}
}

// numbers are the chords' tensions. Of two that would run into each other the
// higher is printed, the first of equals.
func (a *annotator) numbers() (list []number) {
	peaks := a.peaks()
	for _, c := range a.shownChords() {
		n := number{c.Start, c.Tension.Total, fmt.Sprintf("%.0f", c.Tension.Total), peaks[c.Start]}
		for len(list) > 0 && a.runInto(list[len(list)-1], n) && !list[len(list)-1].covers(n) {
			list = list[:len(list)-1]
		}
		if len(list) == 0 || !a.runInto(list[len(list)-1], n) {
			list = append(list, n)
		}
	}
	return list
}

func (a *annotator) runInto(n, next number) bool {
	return a.x(n.at)+textWidth(n.text)+gapNumbers > a.x(next.at)
}

// covers reports whether a number stays where there is room for one of two.
func (n number) covers(next number) bool {
	return n.peak || !next.peak && n.tension >= next.tension
}

// peaks are the starts of the chords that are the highest of their phrase; the
// first of equals.
func (a *annotator) peaks() map[score.Tick]bool {
	peaks := map[score.Tick]bool{}
	chords := a.shownChords()
	for _, ph := range a.r.Harmony.Phrases {
		at, high := score.Tick(-1), math.Inf(-1)
		for _, c := range chords {
			if c.Start >= ph.Start && c.Start < ph.End && c.Tension.Total > high+0.5 {
				at, high = c.Start, c.Tension.Total
			}
		}
		if at >= 0 {
			peaks[at] = true
		}
	}
	return peaks
}
