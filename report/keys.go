package report

import (
	"slices"
	"strings"

	"hairpin/harmony/events"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// visit is a stay in a key away from home.
type visit struct {
	key   tonal.Key
	start score.Tick // of its first long stay
	time  score.Tick // in all
}

// keySentence says where the music goes and how it comes home: "from D minor it
// goes to F major (m. 11), and is home again in m. 19"; "" if it stays at home.
func (r *Reading) keySentence(stays []events.Stay) string {
	away := r.visits()
	if len(away) == 0 {
		return ""
	}
	var names []string
	for i, v := range away {
		names = append(names, v.key.Name()+" (m. "+r.number(v.start)+")")
		if t := homeAgain(stays, v); i+1 < len(away) && t >= 0 && t < away[i+1].start {
			names = append(names, "home (m. "+r.number(t)+")")
		}
	}
	text := "from " + r.Harmony.Home.Name() + " it goes to " + join(names)
	keys := r.Harmony.Keys
	if last := keys[len(keys)-1]; last.Key != r.Harmony.Home {
		return text + ", and ends in " + last.Key.Name()
	}
	if t := homeAgain(stays, away[len(away)-1]); t >= 0 {
		text += ", and is home again in m. " + r.number(t)
	}
	return text
}

// homeAgain is where the home tonic stands again after a visit, as the list of stays has
// it, -1 if it is not heard to.
func homeAgain(stays []events.Stay, v visit) score.Tick {
	for _, x := range stays {
		if x.Key == v.key && x.End > v.start {
			return x.Back
		}
	}
	return -1
}

// long reports whether a stay is no passing one: two measures, or a twentieth of a short piece.
func (r *Reading) long(k tonal.KeySpan) bool {
	m := r.Score.Measures[r.Score.MeasureAt(k.Start)]
	return k.End-k.Start >= min(r.Score.Length()/20, 2*m.Length)
}

// visits are the keys away from home that last longest, at most four, in the order
// in which they are reached.
func (r *Reading) visits() []visit {
	const most, least = 4, 20 // a key is told if it has a twentieth of the piece
	var list []visit
	for _, k := range r.Harmony.Keys {
		if k.Key == r.Harmony.Home {
			continue
		}
		i := slices.IndexFunc(list, func(v visit) bool { return v.key == k.Key })
		if i < 0 {
			i, list = len(list), append(list, visit{key: k.Key, start: -1})
		}
		if list[i].start < 0 && r.long(k) {
			list[i].start = k.Start
		}
		list[i].time += k.End - k.Start
	}
	list = slices.DeleteFunc(list, func(v visit) bool { return v.start < 0 || least*v.time < r.Score.Length() })
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
