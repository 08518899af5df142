package harmony

import (
	"fmt"
	"math"
	"sort"

	"hairpin/score"
)

// surface is what the page shows of points of rest, apart from the harmony.
type surface struct {
	s         *score.Score
	w         weights
	lines     []line
	lead      int // index into lines, -1 if there is none
	beat      score.Tick
	fermatas  []score.Tick
	bars      []score.Tick // double bars and repeat signs
	slurs     []score.Tick // onsets of the last notes under the lead's slurs
	first     score.Tick   // first onset
	end       score.Tick   // last release
	parallels map[score.Tick]bool
}

func newSurface(s *score.Score, part int) *surface {
	v := &surface{s: s, w: phraseWeights(), lines: lines(s, part)}
	v.lead = leadingLine(s, v.lines)
	v.beat = usualBeat(s)
	for _, f := range s.Fermatas {
		v.fermatas = append(v.fermatas, f.At)
	}
	for _, n := range s.Notes {
		if n.Pitched() && n.Signs.Has(score.FermataSign) {
			v.fermatas = append(v.fermatas, n.End()-1)
		}
	}
	v.bars = append(v.bars, s.DoubleBar...)
	for _, r := range s.Repeats {
		v.bars = append(v.bars, r.At)
	}
	sortTicks(v.fermatas)
	sortTicks(v.bars)
	v.bounds()
	if v.lead >= 0 && len(s.Measures) > 0 {
		v.slurs = v.leadSlurs()
		v.parallels = v.findParallels()
	}
	return v
}

func sortTicks(t []score.Tick) {
	sort.Slice(t, func(i, j int) bool { return t[i] < t[j] })
}

// usualBeat is the beat of the metre that governs most measures: a quarter
// where none is printed.
func usualBeat(s *score.Score) score.Tick {
	time := map[score.Tick]score.Tick{}
	best := s.Division
	for _, m := range s.Measures {
		b := beatOf(m, s.Division)
		time[b] += m.Length
		if time[b] > time[best] || time[b] == time[best] && b < best {
			best = b
		}
	}
	return max(best, 1)
}

// beatOf is the length of the measure's beat; compound metres count in groups of three.
func beatOf(m score.Measure, division score.Tick) score.Tick {
	if m.Beats <= 0 || m.BeatUnit <= 0 {
		return division
	}
	unit := 4 * division / score.Tick(m.BeatUnit)
	if m.Beats > 3 && m.Beats%3 == 0 && m.BeatUnit >= 8 {
		return 3 * unit
	}
	return unit
}

func (v *surface) bounds() {
	v.first = math.MaxInt64
	for _, l := range v.lines {
		if len(l.events) == 0 {
			continue
		}
		v.first = min(v.first, l.events[0].onset)
		for _, e := range l.events {
			v.end = max(v.end, e.end)
		}
	}
}

// leadSlurs are the onsets of the last notes under the leading line's slurs.
func (v *surface) leadSlurs() []score.Tick {
	l := v.lines[v.lead]
	var out []score.Tick
	for _, u := range v.s.Slurs {
		if u.Part != l.part || u.Staff != 0 && u.Staff != l.staff || u.End-u.Start < 2*v.beat {
			continue
		}
		if i := l.before(u.End); i >= 0 && l.events[i].end >= u.End && u.End > l.events[i].onset {
			out = append(out, l.events[i].onset)
		}
		if i := l.before(u.End + 1); i >= 0 && l.events[i].onset == u.End {
			out = append(out, u.End)
		}
	}
	sortTicks(out)
	return out
}

// within reports whether a sorted list has a member in [from, to].
func within(list []score.Tick, from, to score.Tick) bool {
	i := sort.Search(len(list), func(i int) bool { return list[i] >= from })
	return i < len(list) && list[i] <= to
}

// rest is the evidence that the music pauses just before t.
type rest struct {
	lead    float64 // silence of the leading line around t, in beats, at most 2
	all     float64 // share of the moving lines that are silent just before t, 0–1
	long    float64 // how much longer the leading line's last note is than usual: 0 usual, 1 nearly three times
	held    float64 // share of the lines that hold a note over t, 0–1
	fermata bool
	slur    bool
	bar     bool // a double bar, a repeat sign, or the end of the music
	ground  bool // a ground bass starts again
	echo    bool // what starts at t repeats or is repeated
}

// restAt gathers the evidence for a boundary at t.
func (v *surface) restAt(t score.Tick) rest {
	var r rest
	active, silent, held := 0, 0, 0
	for i, l := range v.lines {
		p := l.before(t)
		if p < 0 || t-l.events[p].end > 4*v.beat {
			continue
		}
		active++
		gap, next := t-l.events[p].end, v.end
		if p+1 < len(l.events) {
			next = l.events[p+1].onset
		}
		if gap < 0 {
			held++
		} else if next > l.events[p].end {
			silent++
		}
		if i == v.lead {
			v.leadRest(&r, l, p, next, t)
		}
	}
	if active > 0 {
		r.all = float64(silent) / float64(active)
		r.held = float64(held) / float64(active)
	}
	r.fermata = v.fermataBefore(t)
	r.bar = t >= v.end || within(v.bars, t, t)
	r.echo = v.parallels[t]
	return r
}

func (v *surface) leadRest(r *rest, l line, p int, next, t score.Tick) {
	e := l.events[p]
	if e.end > t {
		return
	}
	r.lead = math.Min(2, float64(next-e.end)/float64(v.beat))
	ratio := float64(next-e.onset) / l.usual(p)
	r.long = math.Max(0, math.Min(1, math.Log2(ratio)/1.5))
	r.slur = within(v.slurs, e.onset, e.onset)
}

// fermataBefore reports whether a note or rest that ends at t, at most two
// beats before it without an attack between, is held by a fermata.
func (v *surface) fermataBefore(t score.Tick) bool {
	i := sort.Search(len(v.fermatas), func(i int) bool { return v.fermatas[i] >= t }) - 1
	if i < 0 {
		return false
	}
	f := v.fermatas[i]
	for _, l := range v.lines {
		p := l.before(t)
		if p >= 0 && l.events[p].onset <= f && l.events[p].end > f && l.events[p].end <= t && t-l.events[p].end <= 2*v.beat {
			return true
		}
	}
	return false
}

// passage is how a few attacks of a line go on: what must agree for a listener
// to hear the same beginning again.
type passage struct {
	phase score.Tick // place in the measure
	gaps  [passageSize]score.Tick
	steps [passageSize]int
}

const passageSize = 5

// findParallels are the onsets in the leading line at which a passage starts
// that comes back elsewhere with the same rhythm and the same steps, at the
// same place in the measure, but not so often that it is a mere figure. Only
// where the repetition starts counts: what comes before must differ, and be no
// shorter. The opening of the piece needs no such proof.
func (v *surface) findParallels() map[score.Tick]bool {
	l := v.lines[v.lead]
	found := map[passage][]int{}
	for i := 0; i+passageSize < len(l.events); i++ {
		k := v.passageAt(l, i)
		found[k] = append(found[k], i)
	}
	often := max(4, len(v.s.Measures)/8)
	out := map[score.Tick]bool{}
	for _, at := range found {
		if len(at) >= 2 && len(at) <= often && !v.sameBefore(l, at) {
			for _, i := range at {
				if at[0] == 0 || v.opens(l, i) {
					out[l.events[i].onset] = true
				}
			}
		}
	}
	return out
}

// opens reports whether event i of a line can start a group: the event before
// it is as long as it or longer (Lerdahl & Jackendoff 1983, preference rule 2b).
func (v *surface) opens(l line, i int) bool {
	if i == 0 {
		return true
	}
	before, _ := v.move(l, i-1)
	after, _ := v.move(l, i)
	return before >= after && float64(before) >= l.usual(i-1)
}

func (v *surface) passageAt(l line, i int) passage {
	k := passage{phase: v.phase(l.events[i].onset)}
	for j := range passageSize {
		k.gaps[j], k.steps[j] = v.move(l, i+j)
	}
	return k
}

// phase is the place in the measure; a pickup counts to the end of a full one.
func (v *surface) phase(t score.Tick) score.Tick {
	m := v.s.Measures[v.s.MeasureAt(t)]
	if m.Pickup && m.Nominal > m.Length {
		return t - m.Start + m.Nominal - m.Length
	}
	return t - m.Start
}

// move is the time and the steps of the staff from event i of a line to the next.
func (v *surface) move(l line, i int) (score.Tick, int) {
	a, b := l.events[i], l.events[i+1]
	pa, pb := v.s.Notes[a.top].Pitch, v.s.Notes[b.top].Pitch
	return b.onset - a.onset, 7*(pb.Octave-pa.Octave) + pb.Step - pa.Step
}

// sameBefore reports whether every event of the list is reached by the same move.
func (v *surface) sameBefore(l line, at []int) bool {
	if at[0] == 0 {
		return false
	}
	gap, step := v.move(l, at[0]-1)
	for _, i := range at[1:] {
		if g, st := v.move(l, i-1); g != gap || st != step {
			return false
		}
	}
	return true
}

// grounds are the moments at which a ground bass starts again: the lowest notes
// of the measures repeat with a period of 3 to 16 measures in at least two
// thirds of the piece. The limits are choices of ours.
func (v *surface) grounds() map[score.Tick]bool {
	low := v.lowest()
	for period := 3; period <= 16 && 4*period <= len(low); period++ {
		same, kinds := 0, map[string]bool{}
		for i, x := range low {
			if kinds[x] = true; i >= period && low[i-period] == x && x != "" {
				same++
			}
		}
		if 3*same < 2*(len(low)-period) || len(kinds) < 3 {
			continue
		}
		out := map[score.Tick]bool{}
		for i := period; i < len(low); i += period {
			out[v.s.Measures[i].Start] = true
		}
		return out
	}
	return nil
}

// lowest spells the attacks of the lowest line of each measure.
func (v *surface) lowest() []string {
	out := make([]string, len(v.s.Measures))
	bass := -1
	for i, l := range v.lines {
		if len(l.events) > 0 && (bass < 0 || l.height < v.lines[bass].height) {
			bass = i
		}
	}
	if bass < 0 {
		return out
	}
	for _, e := range v.lines[bass].events {
		n := v.s.Notes[e.top]
		out[n.Measure] += fmt.Sprint(n.Pitch.Class(), e.onset-v.s.Measures[n.Measure].Start, ",")
	}
	return out
}
