package phrasing

import (
	"math"
	"sort"

	"hairpin/score"
)

// line is one voice as a listener follows it: events one after the other.
type line struct {
	part, staff, voice int
	events             []event
	height             float64    // mean of the top notes, as MIDI keys, weighted by duration
	sounding           score.Tick // total sounding time
}

// event is one attack of a line: a note or a chord.
type event struct {
	onset, end score.Tick
	top        int // index of its highest note in Score.Notes
}

// lines sorts the pitched notes into voices, in the order of part and voice;
// part 0 takes all parts, otherwise only that part, counted from 1.
func lines(s *score.Score, part int) []line {
	type id struct{ part, voice int }
	index := map[id]int{}
	var out []line
	for i, n := range s.Notes {
		if !n.Pitched() || n.Cue || part != 0 && n.Part != part-1 {
			continue
		}
		k := id{n.Part, n.Voice}
		at, known := index[k]
		if !known {
			at = len(out)
			index[k] = at
			out = append(out, line{part: n.Part, staff: n.Staff, voice: n.Voice})
		}
		out[at].add(s, i)
	}
	for i := range out {
		out[i].measureUp(s)
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		return a.part < b.part || a.part == b.part && a.voice < b.voice
	})
	return out
}

// add appends a note; notes come in the order of their onsets.
func (l *line) add(s *score.Score, i int) {
	n := s.Notes[i]
	if last := len(l.events) - 1; last >= 0 && l.events[last].onset == n.Onset {
		e := &l.events[last]
		e.end = max(e.end, n.End())
		if n.Pitch.MIDI() > s.Notes[e.top].Pitch.MIDI() {
			e.top = i
		}
		return
	}
	l.events = append(l.events, event{n.Onset, n.End(), i})
}

func (l *line) measureUp(s *score.Score) {
	for _, e := range l.events {
		d := e.end - e.onset
		l.sounding += d
		l.height += float64(d) * s.Notes[e.top].Pitch.MIDI()
	}
	l.height /= float64(max(l.sounding, 1))
}

// around is how many events on either side tell what is usual at a place.
const around = 8

// usual is the mean time between two attacks around event i, its own left out.
func (l *line) usual(i int) float64 {
	from, to := max(0, i-around), min(len(l.events)-1, i+1+around)
	if to-from < 2 {
		return math.Inf(1)
	}
	span := l.events[to].onset - l.events[from].onset
	count := to - from
	if i < to {
		span -= l.events[i+1].onset - l.events[i].onset
		count--
	}
	return math.Max(float64(span)/float64(max(count, 1)), 1)
}

// gap is the silence after event i, up to the next event or the end of the music.
func (l *line) gap(i int, end score.Tick) score.Tick {
	if i+1 < len(l.events) {
		end = l.events[i+1].onset
	}
	return max(end-l.events[i].end, 0)
}

// usualGap is the mean silence after the events around event i, its own left
// out: a figure full of rests does not pause at each of them.
func (l *line) usualGap(i int, end score.Tick) float64 {
	sum, count := score.Tick(0), 0
	for j := max(0, i-around); j < min(len(l.events)-1, i+1+around); j++ {
		if j != i {
			sum += l.gap(j, end)
			count++
		}
	}
	return float64(sum) / float64(max(count, 1))
}

// before is the index of the last event that starts before t, -1 if there is none.
func (l *line) before(t score.Tick) int {
	return sort.Search(len(l.events), func(i int) bool { return l.events[i].onset >= t }) - 1
}

// soundingAt is the event that sounds at t, false in a rest.
func (l *line) soundingAt(t score.Tick) (event, bool) {
	i := l.before(t + 1)
	if i < 0 || l.events[i].end <= t {
		return event{}, false
	}
	return l.events[i], true
}

// leadingLine picks the line the ear follows: the only single-staff part beside a
// keyboard, otherwise the highest line among those that sound for at least
// 0.4 of the time of the busiest. It is -1 if there is no line. The 0.4 is a choice of
// ours; that the outer, upper voice leads is common practice, no source.
func leadingLine(s *score.Score, ls []line) int {
	var longest score.Tick
	for _, l := range ls {
		longest = max(longest, l.sounding)
	}
	solo := soloist(s)
	best := -1
	for i, l := range ls {
		if solo >= 0 && l.part != solo || solo < 0 && float64(l.sounding) < 0.4*float64(longest) {
			continue
		}
		if best < 0 || l.height > ls[best].height && (solo < 0 || 2*l.sounding > ls[best].sounding) {
			best = i
		}
	}
	if best < 0 && len(ls) > 0 {
		best = 0
	}
	return best
}

// LeadingPart is the part, counted from 0, of the line the ear follows; 0 if there is no line.
func LeadingPart(s *score.Score) int {
	ls := lines(s, 0)
	if i := leadingLine(s, ls); i >= 0 {
		return ls[i].part
	}
	return 0
}

// soloist is the only part on one staff beside parts on several, -1 if there is no such part.
func soloist(s *score.Score) int {
	solo, keyboards := -1, 0
	for i, p := range s.Parts {
		switch {
		case p.Percussion:
		case p.Staves > 1:
			keyboards++
		case solo >= 0:
			return -1
		default:
			solo = i
		}
	}
	if keyboards == 0 {
		return -1
	}
	return solo
}
