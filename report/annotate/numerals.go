package annotate

import (
	"math"
	"slices"
	"sort"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// rows are the lines of text below the lowest staff, so that numerals and numbers
// can be read along: numerals on one line, on up to three where the harmony is
// fast, and numbers below. Each is a height in tenths of a stave space below the
// staff's top line, as MusicXML's default-y counts.
type rows struct {
	numeral [lanes]int
	tension int
}

const (
	lanes     = 3
	rowHeight = 20 // tenths: 9 point text on a staff of seven millimetres
)

// numeral is a text below a chord.
type numeral struct {
	at   score.Tick
	x    float64 // as the ruler has it
	key  string  // before the text where the key changes
	text string
	lane int
}

func (n numeral) width() float64 {
	if n.key == "" {
		return textWidth(n.text)
	}
	return textWidth(n.key + " " + n.text)
}

// layRows lays out the numerals and sets the rows.
func (a *annotator) layRows() {
	a.scale = newRuler(a.onto.Score)
	a.list = inLanes(a.numeralTexts())
	y, used := a.depth(a.bottom), 0
	for _, n := range a.list {
		used = max(used, n.lane)
	}
	for lane := range a.rows.numeral {
		a.rows.numeral[lane] = y - rowHeight*(1+min(lane, used))
	}
	a.rows.tension = y - rowHeight*(2+used)
}

// numeralTexts are the numerals of the shown chords; one that repeats the one
// before it is left out. A key is named by a letter where its full name does not
// fit.
func (a *annotator) numeralTexts() (list []numeral) {
	var keys []tonal.Key
	for _, c := range a.shownChords() {
		n := numeral{at: c.Start, x: a.x(c.Start), text: numeralOf(c)}
		k := len(list) - 1
		if k >= 0 && n.text == list[k].text && c.Key == keys[k] {
			continue
		}
		if k < 0 || c.Key != keys[k] {
			n.key = a.keyText(c.Key) + ":"
		}
		list, keys = append(list, n), append(keys, c.Key)
	}
	for i := range list[:max(len(list)-1, 0)] {
		if n := &list[i]; i > 0 && n.key != "" && n.x+n.width()+gapNumerals > list[i+1].x {
			n.key = a.opt.Names.ShortKey(keys[i]) + ":"
		}
	}
	return list
}

// inLanes deals the numerals out on lines, each on the first on which it fits.
// One alone that does not fit is joined to the one before it by a dash, if that
// moves it by no more than a notehead.
func inLanes(list []numeral) (out []numeral) {
	const notehead = 1.3
	var full [lanes]float64 // how far each line is taken
	for i, n := range list {
		k := len(out) - 1
		joined := full[0] + textWidth("–"+n.text)
		if alone := i+1 == len(list) || list[i+1].x >= joined; i > 0 && n.key == "" && out[k].lane == 0 &&
			n.x < full[0] && full[0]-n.x <= notehead && alone {
			out[k].text += "–" + n.text
			full[0] = joined
			continue
		}
		for lane := range full {
			if full[lane] < full[n.lane] && full[n.lane] > n.x {
				n.lane = lane
			}
		}
		full[n.lane] = n.x + n.width() + gapNumerals
		out = append(out, n)
	}
	return out
}

func numeralOf(c tonal.Chord) string {
	text := c.Roman()
	if c.Certainty == tonal.Unsure && !c.Given && text != "?" {
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
	gapNumerals = 0.4
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

// newRuler spaces the moments at which a note begins: 3.6 spaces a quarter
// note, for others less than in proportion, two at least, and one more at a bar
// line (the tighter systems of our own engraver's pictures; no source).
func newRuler(s *score.Score) *ruler {
	const quarter, power, least, bar = 3.6, 0.6, 1.9, 1
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
