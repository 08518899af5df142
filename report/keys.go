package report

import (
	"slices"
	"sort"
	"strings"

	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// visit is a key away from home that is told.
type visit struct {
	key   tonal.Key
	start score.Tick // where its first stay that is settled is told: see keyStart
	home  score.Tick // where home stands after that stay, -1 if it does not
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
		if i+1 < len(away) && r.staysHome(stays, v, away[i+1].start) {
			names = append(names, "home (m. "+r.number(v.home)+")")
		}
	}
	text := "from " + r.Harmony.Home.Name() + " it goes to " + join(names)
	keys := r.Harmony.Keys
	if last := keys[len(keys)-1]; last.Key != r.Harmony.Home {
		if daCapo(r.Harmony.Form) { // the end is that of the first part
			return text
		}
		return text + ", and ends in " + last.Key.Name()
	}
	if t := away[len(away)-1].home; t >= 0 {
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

// staysHome reports whether home, where it stands after a visit, lasts before the next
// stay, and that before a moment.
func (r *Reading) staysHome(stays []events.Stay, v visit, before score.Tick) bool {
	for _, x := range stays {
		if x.Start > v.home {
			before = min(before, x.Start)
		}
	}
	return v.home >= 0 && before-v.home >= homeMeasures*r.measureAt(v.home)
}

// home is where a stay's way home is told: with the opening of the piece, or where the tonic
// stands; -1 if neither comes.
func home(x events.Stay) score.Tick {
	if x.Theme {
		return x.Back
	}
	return x.Stands
}

// What a key needs to be told. Of 478 keys that the program heard in scores whose harmony is
// annotated (the development set of the harmony figures), and that last for a twentieth of the
// piece, the annotator hears 88 % of those with a close of their own, and as many of those of
// five measures whose tonic stands after its dominant; 83 % of those that open on their tonic,
// last four measures and begin a section or hold a half cadence; 61 % of the others.
const (
	arrivedMeasures = 5
	openedMeasures  = 4
)

// settled reports whether a key is more than passed through.
func (r *Reading) settled(x events.Stay) bool {
	lasts := (x.End - x.Start) / r.measureAt(x.Start)
	return x.Close != "" || x.Arrival >= 0 && lasts >= arrivedMeasures ||
		lasts >= openedMeasures && r.opensOnTonic(x) && (r.beginsSection(x) || r.closesHalf(x))
}

// opensOnTonic reports whether the first chord of a stay is its tonic on its root.
func (r *Reading) opensOnTonic(x events.Stay) bool {
	list := r.Harmony.Chords
	i := sort.Search(len(list), func(i int) bool { return list[i].End > x.Start })
	return i < len(list) && list[i].Key == x.Key && list[i].Inversion == 0 && tonicTriad(&list[i])
}

// beginsSection reports whether a section begins within a measure of a stay's start.
func (r *Reading) beginsSection(x events.Stay) bool {
	m := r.measureAt(x.Start)
	return slices.ContainsFunc(r.Harmony.Form.Sections, func(s form.Section) bool {
		return s.Start > 0 && s.Start >= x.Start-m && s.Start <= x.Start+m
	})
}

// closesHalf reports whether a stay holds a half cadence in its key.
func (r *Reading) closesHalf(x events.Stay) bool {
	return slices.ContainsFunc(r.Harmony.Cadences, func(c phrasing.Cadence) bool {
		return c.At >= x.Start && c.At < x.End && c.Key == x.Key && (c.Kind == phrasing.Half || c.Kind == phrasing.Phrygian)
	})
}

// keyStart is where a stay is told to start: where it is entered, but with its own key signature
// if that is printed within a measure from there, or after a phrase that ends so soon and does not close in
// it. The stop of the old key comes first.
func (r *Reading) keyStart(x events.Stay) score.Tick {
	for _, k := range r.Score.Keys {
		if k.Fifths == x.Key.Fifths() && k.Fifths != r.Harmony.Home.Fifths() && k.At >= x.Start && k.At <= x.Start+r.measureAt(x.Start) {
			return r.fullMeasure(k.At)
		}
	}
	for _, p := range r.Harmony.Phrases {
		if p.End > x.Start && p.End <= x.Start+r.measureAt(x.Start) && p.End < x.End && !(x.Arrival >= x.Start && x.Arrival < p.End) {
			return r.fullMeasure(p.End)
		}
	}
	return x.Start
}

// fullMeasure is where the first full measure of a phrase that starts at t begins.
func (r *Reading) fullMeasure(t score.Tick) score.Tick {
	ms, i := r.Score.Measures, r.Score.MeasureAt(t)
	if (t > ms[i].Start || ms[i].Head() > 0) && i+1 < len(ms) {
		return ms[i+1].Start
	}
	return t
}

// visits are the keys away from home that last longest, at most four, in the order
// in which they are reached.
func (r *Reading) visits(stays []events.Stay) []visit {
	const most, least = 4, 20 // a key is told if it has a twentieth of the piece
	var list []visit
	time := map[tonal.Key]score.Tick{}
	for _, x := range stays {
		time[x.Key] += x.End - x.Start
		if r.settled(x) && !slices.ContainsFunc(list, func(v visit) bool { return v.key == x.Key }) {
			list = append(list, visit{key: x.Key, start: r.keyStart(x), home: home(x)})
		}
	}
	for i := range list {
		list[i].time = time[list[i].key]
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
