package report

import (
	"slices"

	"hairpin/harmony/form"
	"hairpin/score"
)

// Which phrases are told as their first time. Choices of ours.
const (
	literal   = 0.95 // likeness of the music, from which nothing new is heard
	leastTold = 2    // phrases that one line may stand for
)

// told is a line of the table: a phrase, or several whose music and reading stood
// before, from the phrase with the number of first on.
type told struct {
	from, count int
	first       int // -1 if the line tells its phrase itself
}

// bars are the measures that a line covers.
func (t told) bars(list []studyPhrase) Bars { return spread(list, t.from, t.count) }

// as says where the same stood before: "as mm. 31–76".
func (t told) as(list []studyPhrase) string { return "as " + spread(list, t.first, t.count).Named() }

func spread(list []studyPhrase, from, count int) Bars {
	return Bars{list[from].bars.First, list[from+count-1].bars.Last}
}

// lines are the phrases as the table tells them, each once: those of a return that is
// heard and read as its first time stand in one line, if they are several of one section.
func (d *studyData) lines() []told {
	var out []told
	for i := 0; i < len(d.Phrases); {
		t := told{from: i, count: 1, first: d.Phrases[i].first}
		for t.first >= 0 && t.from+t.count < len(d.Phrases) && d.goesOn(t) {
			t.count++
		}
		if t.count < leastTold {
			t.count, t.first = 1, -1
		}
		out = append(out, t)
		i += t.count
	}
	return out
}

// goesOn reports whether the next phrase belongs to a line too.
func (d *studyData) goesOn(t told) bool {
	next := d.Phrases[t.from+t.count]
	return next.first == t.first+t.count && d.sectionAt(next.Onset) == ""
}

// firstTimes finds for each phrase the one that is the same and stood first: the same
// music at the same pitch, of which the same is told.
func firstTimes(list []studyPhrase, returns []form.Return) {
	at := map[score.Tick]int{}
	for i := range list {
		list[i].first = -1
		if start, ok := stoodAt(list[i], returns); ok {
			if j, ok := at[start]; ok && list[i].toldAs(list[j]) {
				list[i].first = j
			}
		}
		at[list[i].start] = i
	}
}

// stoodAt is where the music of a phrase that comes back whole and unchanged stood first.
func stoodAt(p studyPhrase, returns []form.Return) (score.Tick, bool) {
	i := slices.IndexFunc(returns, func(x form.Return) bool {
		return x.Likeness >= literal && x.Semitones == 0 && p.start >= x.Again.Start && p.end <= x.Again.End
	})
	if i < 0 {
		return 0, false
	}
	return p.start - returns[i].Again.Start + returns[i].First.Start, true
}

// toldAs reports whether all that the table says of a phrase it says of another.
func (p studyPhrase) toldAs(first studyPhrase) bool {
	if p.Told() != first.Told() || p.Doubted() != first.Doubted() || p.Loudness != first.Loudness || p.end-p.start != first.end-first.start {
		return false
	}
	if to := p.goesTo(); p.Goal == nil || first.Goal == nil || to == "–" {
		return to == first.goesTo()
	}
	return p.Goal.Certainty == first.Goal.Certainty && p.Goal.Onset-p.Onset == first.Goal.Onset-first.Onset
}
