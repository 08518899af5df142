package report

import (
	"slices"
	"strings"

	"hairpin/harmony/events"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// visit is a key away from home.
type visit struct {
	key   tonal.Key
	start score.Tick // of its first stay
	back  score.Tick // where home is reached again after that, -1 if it is not
	time  score.Tick // in all
}

// keySentence says where the music goes and how it comes home: "from D minor it
// goes to F major (m. 11), and is home again in m. 19"; "" if it stays at home. The
// measures are those of the list of stays.
func (r *Reading) keySentence(stays []events.Stay) string {
	away := r.visits(stays)
	if len(away) == 0 {
		return ""
	}
	var names []string
	for i, v := range away {
		names = append(names, v.key.Name()+" (m. "+r.number(v.start)+")")
		if i+1 < len(away) && v.back >= 0 && r.staysHome(stays, v.back, away[i+1].start) {
			names = append(names, "home (m. "+r.number(v.back)+")")
		}
	}
	text := "from " + r.Harmony.Home.Name() + " it goes to " + join(names)
	keys := r.Harmony.Keys
	if last := keys[len(keys)-1]; last.Key != r.Harmony.Home {
		return text + ", and ends in " + last.Key.Name()
	}
	if t := away[len(away)-1].back; t >= 0 {
		text += ", and is home again in m. " + r.number(t)
	}
	return text
}

// KeySpans are the local keys of what is shown, each from where it is entered to where the
// next one is.
func (r *Reading) KeySpans() []tonal.KeySpan {
	var out []tonal.KeySpan
	keys := r.Harmony.Keys
	for i, k := range keys {
		if k.Start = k.Entered; i+1 < len(keys) {
			k.End = keys[i+1].Entered
		}
		if k.Start < k.End && r.Shows(k.Start, k.End) {
			out = append(out, k)
		}
	}
	return out
}

// homeMeasures is how long home must last between two visits to be told: a choice of ours.
const homeMeasures = 4

// staysHome reports whether home, reached at t, lasts before the next stay, and that
// before a moment.
func (r *Reading) staysHome(stays []events.Stay, t, before score.Tick) bool {
	for _, x := range stays {
		if x.Start > t {
			before = min(before, x.Start)
		}
	}
	m := r.Score.Measures[r.Score.MeasureAt(t)]
	return before-t >= homeMeasures*m.Length && r.homeStands(t, before)
}

// homeStands reports whether the tonic of home stands on its root between two moments, led
// to by its dominant or leading-tone chord: without it the ear is only passing (common
// practice, no source).
func (r *Reading) homeStands(from, to score.Tick) bool {
	list := r.Harmony.Chords
	for i := 1; i < len(list); i++ {
		c, d := list[i], list[i-1]
		if c.Start >= from && c.Start < to && c.Key == r.Harmony.Home && c.Numeral.Degree == 1 && c.Numeral.Target == 0 && c.Inversion == 0 &&
			d.Key == c.Key && d.Numeral.Target == 0 && (d.Numeral.Degree == 5 || d.Numeral.Degree == 7) {
			return true
		}
	}
	return false
}

// visits are the keys away from home that last longest, at most four, in the order
// in which they are reached.
func (r *Reading) visits(stays []events.Stay) []visit {
	const most, least = 4, 20 // a key is told if it has a twentieth of the piece
	var list []visit
	for _, x := range stays {
		i := slices.IndexFunc(list, func(v visit) bool { return v.key == x.Key })
		if i < 0 {
			i, list = len(list), append(list, visit{key: x.Key, start: x.Start, back: x.Back})
		}
		list[i].time += x.End - x.Start
	}
	list = slices.DeleteFunc(list, func(v visit) bool { return least*v.time < r.Score.Length() })
	slices.SortStableFunc(list, func(a, b visit) int { return int(b.time - a.time) })
	list = list[:min(most, len(list))]
	slices.SortFunc(list, func(a, b visit) int { return int(a.start - b.start) })
	return list
}

// join lists words as a sentence does: "a, b and c".
func join(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
