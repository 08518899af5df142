package practice

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"hairpin/report"
)

// Hands says who plays the chords of a ladder.
type Hands string

// The ways to play. The empty one goes by the part's name and staves.
const (
	OneHand     Hands = "one"          // one hand, or one player who reaches all of a chord
	TwoHands    Hands = "two"          // a hand a staff, or lower and upper hand on one staff
	TwoMallets  Hands = "two-mallets"  // one note a hand
	FourMallets Hands = "four-mallets" // two notes a hand
)

// grip is what a way to play can hold at once. The figures are common practice,
// no source: a hand spans an octave with ease and a tenth at most.
type grip struct {
	hands int
	notes int // in each hand
	span  int // semitones in each hand
}

var grips = map[Hands]grip{OneHand: {1, 6, 24}, TwoHands: {2, 5, 16}, TwoMallets: {2, 1, 0}, FourMallets: {2, 2, 16}}

const octave = 12

func (h Hands) mallets() bool { return h == TwoMallets || h == FourMallets }

func (h Hands) check() error {
	if _, ok := grips[h]; h != "" && !ok {
		return &report.ChoiceError{Text: fmt.Sprintf("there are no hands %q", h), Hint: "choose one, two, two-mallets or four-mallets"}
	}
	return nil
}

// usualHands goes by the part's name, its staves and what it plays at once.
func usualHands(r *report.Reading, part int) Hands {
	name := strings.ToLower(r.Score.Parts[part].Name)
	has := func(list ...string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return strings.Contains(name, w) })
	}
	switch {
	case has("marimba", "vibra", "xylo", "glock", "mallet", "crotales"):
		if r.Score.Parts[part].Staves > 1 || mostAtOnce(r, part) > 2 {
			return FourMallets
		}
		return TwoMallets
	case r.Score.Parts[part].Percussion || has("timpani", "pauken", "drum"):
		return TwoMallets
	case r.Score.Parts[part].Staves > 1 || has("piano", "klavier", "harp", "celesta", "clavi", "keyboard"):
		return TwoHands
	}
	return OneHand
}

// mostAtOnce is how many notes the part strikes at once at most.
func mostAtOnce(r *report.Reading, part int) (most int) {
	count, at := 0, r.Score.Length()
	for _, n := range r.Score.Notes {
		if n.Part != part || n.Grace || n.Cue {
			continue
		}
		if n.Onset != at {
			count, at = 0, n.Onset
		}
		count++
		most = max(most, count)
	}
	return most
}

// tone is a written pitch of a position.
type tone struct {
	key   int    // for its height: the MIDI key as written, or where it stands on the staff
	name  string // what tells it from others
	staff int
	from  *element // its note in the source
}

var semitones = map[string]int{"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}

func toneOf(i item) tone {
	p, step, oct := i.el.find("pitch"), "step", "octave"
	if p == nil {
		p, step, oct = i.el.find("unpitched"), "display-step", "display-octave"
	}
	t := tone{staff: i.staff, from: i.el}
	if p != nil {
		t.name = p.flat() + i.el.get("instrument")
		t.key = semitones[p.get(step)] + p.whole("alter", 0) + octave*(p.whole(oct, 4)+1)
	}
	if x := i.el.find("instrument"); x != nil {
		t.name += x.attr("id")
	}
	return t
}

// position is a set of written pitches that the hands can hold at once.
type position struct {
	at          int // where its first note stands, in divisions
	left, right []tone
	wide        int // semitones of the hand that reaches furthest
}

// furthest are the tones of the hand that reaches furthest.
func (p position) furthest() []tone {
	if span(p.left) > span(p.right) {
		return p.left
	}
	return p.right
}

// flagged reports whether spans over an octave are flagged: where a hand holds chords.
func (h Hands) flagged() bool { return h == TwoHands || h == FourMallets }

func (p position) tones() []tone { return append(slices.Clone(p.left), p.right...) }

// positions divides a bar into hand positions, in order of time. Each holds as
// many moments as the hands can reach without moving; together they have every
// written pitch of the bar and no other. A note that still sounds is held on in
// the next position if there is a finger left for it. A position that brings
// nothing new is left out.
func positions(b bar, g grip, staves int) (list []position) {
	moments := byMoment(b.items)
	var had []tone
	for i := 0; i < len(moments); {
		now, at := moments[i].tones, moments[i].at
		left, right, _ := g.deal(now, staves)
		for i++; i < len(moments); i++ {
			more := joined(now, moments[i].tones)
			l, r, ok := g.deal(more, staves)
			if !ok {
				break
			}
			now, left, right = more, l, r
		}
		for _, t := range sounding(b.items, at) {
			if l, r, ok := g.deal(joined(now, []tone{t}), staves); ok {
				now, left, right = joined(now, []tone{t}), l, r
			}
		}
		p := position{at: at, left: left, right: right, wide: max(span(left), span(right))}
		if all := joined(had, now); len(all) > len(had) {
			list, had = append(list, p), all
		}
	}
	return list
}

// moment is what is struck at once.
type moment struct {
	at    int
	tones []tone
}

func byMoment(items []item) (list []moment) {
	items = slices.Clone(items)
	slices.SortStableFunc(items, func(a, b item) int { return cmp.Compare(a.at, b.at) })
	for _, i := range items {
		if !i.sounds() {
			continue
		}
		if k := len(list); k == 0 || list[k-1].at != i.at || i.grace != (list[k-1].tones[0].from.find("grace") != nil) {
			list = append(list, moment{at: i.at})
		}
		k := len(list) - 1
		list[k].tones = joined(list[k].tones, []tone{toneOf(i)})
	}
	return list
}

// sounding are the notes that began before a moment and still sound at it.
func sounding(items []item, at int) (list []tone) {
	for _, i := range items {
		if i.sounds() && !i.grace && i.at < at && i.at+i.length > at {
			list = append(list, toneOf(i))
		}
	}
	return list
}

// joined adds tones that are not there yet, in order of height.
func joined(list, more []tone) []tone {
	list = slices.Clone(list)
	for _, t := range more {
		if !slices.ContainsFunc(list, func(x tone) bool { return x.name == t.name && x.staff == t.staff }) {
			list = append(list, t)
		}
	}
	slices.SortStableFunc(list, func(a, b tone) int { return cmp.Compare(a.key, b.key) })
	return list
}

func span(list []tone) int {
	if len(list) == 0 {
		return 0
	}
	return list[len(list)-1].key - list[0].key
}

// deal gives tones to the hands and says whether they can hold them: a staff
// each on two staves, else lower and upper where the hands reach least.
func (g grip) deal(list []tone, staves int) (left, right []tone, ok bool) {
	fits := func(l []tone) bool { return len(l) <= g.notes && span(l) <= g.span }
	switch {
	case g.hands == 1:
		return nil, list, fits(list)
	case staves > 1 && g.notes > 2:
		for _, t := range list {
			if t.staff > 1 {
				left = append(left, t)
			} else {
				right = append(right, t)
			}
		}
		return left, right, fits(left) && fits(right)
	}
	least := 1 << 20
	for k := range len(list) + 1 {
		l, r := list[:k], list[k:]
		cost := 4*max(span(l), span(r)) + abs(len(r)-len(l))
		if over := max(len(l), len(r)) - g.notes; over > 0 {
			cost += 1000 * over
		}
		if cost < least {
			least, left, right = cost, l, r
		}
	}
	return left, right, fits(left) && fits(right)
}

func abs(n int) int { return max(n, -n) }

// isRun reports whether the passage is made of scales, where block chords do not
// help: most of what its hands play follows by step, one note at a time.
func (p *passage) isRun() bool {
	steps, all := 0, 0
	for _, b := range p.bars {
		for staff := 1; staff <= p.staves; staff++ {
			var before *tone
			for _, m := range byMoment(slices.DeleteFunc(slices.Clone(b.items), func(i item) bool { return i.staff != staff })) {
				if len(m.tones) == 1 && before != nil {
					all++
					if d := abs(m.tones[0].key - before.key); d == 1 || d == 2 {
						steps++
					}
				}
				before = nil
				if len(m.tones) == 1 {
					before = &m.tones[0]
				}
			}
		}
	}
	const enough, share = 4, 0.6 // our own figures: a turn around one note is no run
	return all >= enough && float64(steps) >= share*float64(all)
}
