package report

import (
	"fmt"
	"slices"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// silenceSentence names the measures inside the piece in which nobody sounds: what a
// teacher says first of a page that has them.
func (r *Reading) silenceSentence() string {
	const most = 9
	silent := make([]bool, len(r.Score.Measures))
	for i := range silent {
		silent[i] = r.Score.Measures[i].Length > 0
	}
	for _, n := range r.Score.Notes {
		last := r.Score.MeasureAt(max(n.Onset+n.Duration-1, n.Onset))
		for i := n.Measure; i <= last; i++ {
			silent[i] = false
		}
	}
	var places []Bars
	for i := 1; i+1 < len(silent); i++ {
		j := i
		for j+1 < len(silent) && silent[j] {
			j++
		}
		if j > i && j+1 < len(silent) {
			places = append(places, Bars{r.Score.Measures[i].Number, r.Score.Measures[j-1].Number})
			i = j
		}
	}
	if len(places) == 0 || len(places) > most {
		return ""
	}
	return "nobody sounds in " + named(places) + ": count the silence in full"
}

// majorEnd says that a piece in minor ends on its major chord, and with which tone.
func (r *Reading) majorEnd() string {
	chords := r.Harmony.Chords
	if len(chords) == 0 || !r.Harmony.Home.Minor {
		return ""
	}
	i := len(chords) - 1
	c := chords[i]
	for j := i - 1; j >= 0 && (chords[j].Root == c.Root || chords[j].Bass == c.Root); j-- { // other chords over the tonic, as in a plagal close, stand between
		if chords[j].Root != c.Root {
			continue
		}
		if chords[j].Quality != c.Quality {
			break
		}
		i = j
	}
	if c.Root != r.Harmony.Home.Tonic || c.Quality != tonal.Major || c.Certainty == tonal.Unsure {
		return ""
	}
	third := c.Tones[1].String()
	if c.Tones[1].Alter() == 0 {
		third += " natural"
	}
	return fmt.Sprintf("the last chord is major: hear its %s, from m. %s on", third, r.Score.At(chords[i].Start).Number)
}

// sameAgain names the longest stretch in which the upper line says the same one, two or
// four measures at least four times over, note for note: a player needs a plan for it.
func (r *Reading) sameAgain() string {
	const leastTimes, leastMeasures = 4, 8
	said := r.measureTexts()
	best, size, times := 0, 0, 0
	for _, n := range [...]int{1, 2, 4} {
		for i := range said {
			k := 1
			for i+(k+1)*n <= len(said) && slices.Equal(said[i:i+n], said[i+k*n:i+(k+1)*n]) && !blank(said[i:i+n]) {
				k++
			}
			if k >= leastTimes && n*k >= leastMeasures && n*k > size*times {
				best, size, times = i, n, k
			}
		}
	}
	if times == 0 {
		return ""
	}
	ms := r.Score.Measures
	what := "the same measure"
	if size > 1 {
		what = "the same " + counted(size) + " measures"
	}
	return fmt.Sprintf("in %s the upper line says %s %s times: decide what changes", Bars{ms[best].Number, ms[best+size*times-1].Number}.Named(), what, counted(times))
}

func blank(said []string) bool {
	return slices.ContainsFunc(said, func(x string) bool { return x == "" })
}

func counted(n int) string {
	names := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(names) {
		return names[n]
	}
	return fmt.Sprint(n)
}

// measureTexts are the highest sounding notes of each measure as they are struck,
// written out: equal where they are; "" for a measure of fewer than three, which is no figure.
func (r *Reading) measureTexts() []string {
	const least = 3
	struck := make([][]string, len(r.Score.Measures))
	for _, x := range r.Harmony.Slices {
		if len(x.Notes) == 0 {
			continue
		}
		if n := r.Score.Notes[x.Notes[len(x.Notes)-1]]; n.Onset == x.Start {
			struck[n.Measure] = append(struck[n.Measure], fmt.Sprintf("%d %d", n.Onset-r.Score.Measures[n.Measure].Start, n.Pitch.Key()))
		}
	}
	out := make([]string, len(struck))
	for i, list := range struck {
		if len(list) >= least {
			out[i] = strings.Join(list, ",")
		}
	}
	return out
}

// motive is how many notes of the opening tell its tune.
const motive = 6

// bassTune says where the tune of the opening comes back as the lowest voice, if it was
// not the lowest before.
func (r *Reading) bassTune() string {
	var tunes [][]*score.Note
	for _, l := range r.lines(false) {
		if len(l) >= motive && l[0].Onset <= r.Score.Length()/8 && !r.lowest(l[:motive]) {
			for i := range min(3, len(l)-motive+1) { // an upbeat may be left out
				if varied(l[i : i+motive]) {
					tunes = append(tunes, l[i:i+motive])
				}
			}
		}
	}
	first := score.Tick(-1)
	for _, l := range r.lines(true) {
		for i := 0; i+motive <= len(l); i++ {
			x := l[i : i+motive]
			if (first < 0 || x[0].Onset < first) && slices.ContainsFunc(tunes, func(t []*score.Note) bool { return sameTune(t, x) }) && r.lowest(x) {
				first = x[0].Onset
			}
		}
	}
	const apart = 4 // measures: the bass that answers at once is no news
	if first < 0 || r.Score.MeasureAt(first) < apart {
		return ""
	}
	return "the tune is in the bass in m. " + r.Score.At(first).Number
}

// lines are the notes of every voice of every staff, the highest of each moment or the
// lowest, in the order in which the voices enter.
func (r *Reading) lines(lowest bool) [][]*score.Note {
	type voice struct{ part, staff, voice int }
	var order []voice
	all := map[voice][]*score.Note{}
	for i := range r.Score.Notes {
		n := &r.Score.Notes[i]
		if !n.Pitched() {
			continue
		}
		v := voice{n.Part, n.Staff, n.Voice}
		l := all[v]
		if l == nil {
			order = append(order, v)
		}
		if k := len(l); k > 0 && l[k-1].Onset == n.Onset { // notes of one moment come the lowest first
			if lowest {
				continue
			}
			l = l[:k-1]
		}
		all[v] = append(l, n)
	}
	out := make([][]*score.Note, len(order))
	for i, v := range order {
		out[i] = all[v]
	}
	return out
}

// varied reports whether a motive has a shape of its own: four tones and two lengths.
func varied(l []*score.Note) bool {
	tones, lengths := map[int]bool{}, map[score.Tick]bool{}
	for i, n := range l {
		tones[n.Pitch.Key()] = true
		if i > 0 {
			lengths[n.Onset-l[i-1].Onset] = true
		}
	}
	return len(tones) >= 4 && len(lengths) >= 2
}

// sameTune reports whether b has the rhythm and tones of a, an octave or more lower.
func sameTune(a, b []*score.Note) bool {
	if a[0].Pitch.Key() <= b[0].Pitch.Key() {
		return false
	}
	for i := range a {
		if a[i].Onset-a[0].Onset != b[i].Onset-b[0].Onset || (a[i].Pitch.Key()-b[i].Pitch.Key())%12 != 0 {
			return false
		}
	}
	return true
}

// soundingAt are the notes of the slice that begins at a moment, the lowest first.
func (r *Reading) soundingAt(t score.Tick) []int {
	i, ok := slices.BinarySearchFunc(r.Harmony.Slices, t, func(s tonal.Slice, t score.Tick) int { return int(s.Start - t) })
	if !ok {
		return nil
	}
	return r.Harmony.Slices[i].Notes
}

// lowest reports whether most notes of a line are the lowest that sound, with others above.
func (r *Reading) lowest(l []*score.Note) bool {
	low := 0
	for _, n := range l {
		if notes := r.soundingAt(n.Onset); len(notes) > 1 && r.Score.Notes[notes[0]].Pitch.Key() == n.Pitch.Key() {
			low++
		}
	}
	return 3*low > 2*len(l)
}
