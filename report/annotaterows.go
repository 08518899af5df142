package report

import (
	"math"
	"slices"
	"sort"
	"strings"

	"hairpin/harmony"
	"hairpin/score"
)

// rows are the lines of text below the lowest staff, one for each kind, so that
// keys, numerals and numbers can be read along. Each is a height in tenths of a
// stave space below the staff's top line, as MusicXML's default-y counts.
type rows struct{ key, numeral, tension int }

const rowHeight = 20 // tenths: 9 point text on a staff of seven millimetres

// label is a text of a row.
type label struct {
	at   score.Tick
	text string
}

// layRows sets the rows.
func (a *annotator) layRows() {
	a.scale = newRuler(a.onto.Score)
	y := a.depth(a.bottom)
	for _, row := range [...]*int{&a.rows.key, &a.rows.numeral, &a.rows.tension} {
		y -= rowHeight
		*row = y
	}
}

// numeralLabels are the numerals of the shown chords. One that repeats the one
// before it is left out. One for which there is no room is joined to the one
// before it by a dash, unless that moves it too far.
func (a *annotator) numeralLabels() (list []label) {
	const most = 10 // stave spaces
	var before harmony.Chord
	last, end := "", 0.0
	for i, c := range a.shownChords() {
		text := numeralOf(c)
		if i > 0 && text == last && c.Key == before.Key {
			continue
		}
		before, last = c, text
		if x := a.x(c.Start); i > 0 && x < end && end-x <= most {
			list[len(list)-1].text += "–" + text
			end += textWidth("–" + text)
			continue
		}
		list = append(list, label{c.Start, text})
		end = a.x(c.Start) + textWidth(text) + gapNumerals
	}
	return list
}

// keyLabels are the keys where they change, by a letter where the next one is near.
func (a *annotator) keyLabels() (list []label) {
	var keys []harmony.Chord
	for _, c := range a.shownChords() {
		if len(keys) == 0 || keys[len(keys)-1].Key != c.Key {
			keys = append(keys, c)
		}
	}
	for i, c := range keys {
		text := a.keyText(c.Key)
		if i+1 < len(keys) && a.x(c.Start)+textWidth(text)+gapWords > a.x(keys[i+1].Start) {
			text = a.opt.Names.ShortKey(c.Key)
		}
		list = append(list, label{c.Start, text})
	}
	return list
}

func numeralOf(c harmony.Chord) string {
	text := c.Roman()
	if c.Certainty == harmony.Unsure && !c.Given && text != "?" {
		text += "?"
	}
	return text
}

// depth is how far below its top line a staff's own notes and marks reach, in
// tenths. The clef is taken from where its notes lie.
func (a *annotator) depth(d desk) int {
	const stem, deepest, marks = -60, -150, 30
	const lowestTreble, lowestBass = 4*7 + 2, 2*7 + 4 // the lowest lines: E4 and G2, in steps from C0
	on := func(p score.Place) bool { return p.Part == d.part && (p.Staff == d.staff || p.Staff == 0) }
	low, sum, count := math.MaxInt, 0.0, 0.0
	s := a.onto.Score
	for _, n := range s.Notes {
		if n.Part == d.part && n.Staff == d.staff && n.Pitched() {
			low = min(low, n.Pitch.Octave*7+n.Pitch.Step)
			sum, count = sum+n.Pitch.MIDI(), count+1
		}
	}
	lowest := lowestTreble
	if sum < 58*count {
		lowest = lowestBass
	}
	y := stem
	if count > 0 {
		y = max(min(y, -40+5*(low-lowest)-10), deepest)
	}
	if a.marked == d || slices.ContainsFunc(s.Dynamics, func(x score.Dynamic) bool { return on(x.Place) }) {
		y -= marks
	}
	return y
}

// x is where a moment of the piece stands, about, in stave spaces from the start.
func (a *annotator) x(at score.Tick) float64 {
	if a.place != nil {
		at = a.place(at)
	}
	return a.scale.x(at)
}

// Room after a text, in stave spaces: between neighbours that must not be read
// as one, between numerals, and between sentences.
const (
	gapNumbers  = 0.45
	gapNumerals = 0.15
	gapWords    = 0.7
)

// textWidth is about how much room a text of ours needs, in stave spaces: nine
// points of a common serif face.
func textWidth(s string) (width float64) {
	for _, r := range s {
		switch {
		case strings.ContainsRune("iIl:;,.° ft/?", r):
			width += 0.5
		case strings.ContainsRune("VMmwD", r):
			width += 1.2
		default:
			width += 0.88
		}
	}
	return width
}

// ruler says about how far apart engravers set the moments of a score: MusicXML
// does not know, and systems are broken later.
type ruler struct {
	at []score.Tick
	to []float64
}

// newRuler spaces the moments at which a note begins: 3.8 spaces a quarter
// note, for others less than in proportion, two at least, and one more at a bar
// line (the tighter systems of our own engraver's pictures; no source).
func newRuler(s *score.Score) *ruler {
	const quarter, power, least, bar = 3.8, 0.75, 2, 1
	r := &ruler{}
	for _, n := range s.Notes {
		r.at = append(r.at, n.Onset)
	}
	for _, m := range s.Measures {
		r.at = append(r.at, m.Start)
	}
	slices.Sort(r.at)
	r.at = append(slices.Compact(r.at), s.Length())
	r.to = make([]float64, len(r.at))
	for i := 1; i < len(r.at); i++ {
		gap := float64(r.at[i]-r.at[i-1]) / float64(s.Division)
		r.to[i] = r.to[i-1] + max(quarter*math.Pow(gap, power), least)
		if s.Measures[s.MeasureAt(r.at[i])].Start == r.at[i] {
			r.to[i] += bar
		}
	}
	return r
}

func (r *ruler) x(at score.Tick) float64 {
	i := sort.Search(len(r.at), func(i int) bool { return r.at[i] > at })
	switch {
	case i == 0:
		return 0
	case i == len(r.at):
		return r.to[i-1]
	}
	part := float64(at-r.at[i-1]) / float64(r.at[i]-r.at[i-1])
	return r.to[i-1] + part*(r.to[i]-r.to[i-1])
}
