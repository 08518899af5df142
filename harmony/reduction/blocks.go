package reduction

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Reduction is the piece in block chords, one a span, at its harmonic rhythm.
type Reduction struct {
	Blocks []Block
}

// Block is one chord under two hands.
type Block struct {
	Start, End score.Tick
	Chord      int           // index into Analysis.Chords
	Left       []score.Pitch // lowest first; the bass is Left[0]
	Right      []score.Pitch // lowest first; the melody is the last
}

// Pitches are the block's tones from the bass upward.
func (b Block) Pitches() []score.Pitch {
	return append(append([]score.Pitch(nil), b.Left...), b.Right...)
}

// Reduce makes one block chord of each chord. The bass is the
// chord's bass where it was heard, the melody the tone that was longest on top
// if the chord holds it, otherwise the chord tone next to it; of several that
// were on top for long, the one that leaps least. Two inner voices
// complete the chord near where it sounded. Of all fillings the sequence that
// moves least is taken; parallel fifths and octaves and crossings are avoided.
// Chords without tones are left out.
func Reduce(s *score.Score, chords []tonal.Chord, heard []tonal.Slice) *Reduction {
	var spans []fillings
	next := 0
	for i, c := range chords {
		if len(c.Tones) == 0 || c.End <= c.Start {
			continue
		}
		for next < len(heard) && heard[next].End <= c.Start {
			next++
		}
		h := hear(s, c, heard[next:])
		spans = append(spans, fillings{chord: i, list: h.fill(c)})
	}
	choice := smoothest(spans)
	r := &Reduction{}
	for i, sp := range spans {
		c := chords[sp.chord]
		r.Blocks = append(r.Blocks, sp.list[choice[i]].block(c, sp.chord))
	}
	return r
}

// register is what was heard in a span, as far as the voicing needs it.
type register struct {
	sounding map[int]bool // MIDI keys heard
	bass     int          // MIDI key near which the bass lay
	tops     []crown
}

// hear gathers the register of a span from the slices that touch it.
func hear(s *score.Score, c tonal.Chord, slices []tonal.Slice) register {
	h := register{sounding: map[int]bool{}, bass: 128}
	lowest, lowestBass := 128, 128
	line := crest{s: s, tones: c.Tones, top: map[score.Pitch]float64{}}
	for _, sl := range slices {
		if sl.Start >= c.End {
			break
		}
		if len(sl.Notes) == 0 {
			continue
		}
		time := float64(min(sl.End, c.End)-max(sl.Start, c.Start)) * (0.5 + s.Weight(sl.Start))
		for _, n := range sl.Notes {
			p := s.Notes[n].Pitch
			h.sounding[p.Key()] = true
			lowest = min(lowest, p.Key())
			if p.Class() == c.Bass {
				lowestBass = min(lowestBass, p.Key())
			}
		}
		line.add(sl.Start, s.Notes[sl.Notes[len(sl.Notes)-1]].Pitch, time)
	}
	line.close()
	switch {
	case lowestBass < 128:
		h.bass = lowestBass
	case lowest < 128:
		h.bass = lowest
	default:
		h.bass = 48
	}
	h.tops = crowns(line.top)
	return h
}

// crest follows the highest note beat by beat, so that the low notes of a
// broken chord are not taken for its melody.
type crest struct {
	s     *score.Score
	tones []score.Class
	top   map[score.Pitch]float64 // time at which a pitch was the highest of its beat
	beat  score.Tick
	high  score.Pitch
	time  float64
}

func (l *crest) add(at score.Tick, p score.Pitch, time float64) {
	m := l.s.Measures[l.s.MeasureAt(at)]
	if beat := at - m.Into(at)%m.Beat(l.s.Division); l.time == 0 || beat != l.beat {
		l.close()
		l.beat, l.high = beat, p
	}
	if p.MIDI() > l.high.MIDI() {
		l.high = p
	}
	l.time += time
}

// close counts the beat at hand; a tone foreign to the chord counts little.
func (l *crest) close() {
	if l.time > 0 {
		if !hasClass(l.tones, l.high.Class()) {
			l.time /= 4
		}
		l.top[l.high] += l.time
	}
	l.time = 0
}

func hasClass(list []score.Class, c score.Class) bool {
	for _, x := range list {
		if x == c {
			return true
		}
	}
	return false
}

// crown is a pitch that may stand for the melody of a span.
type crown struct {
	pitch score.Pitch
	cost  float64
}

// crowns are the pitches with the largest shares, the largest first and of
// equals the higher; those with less than two fifths of it are left out. The
// widely broken chord has several, and the one that leaps least is then taken.
func crowns(share map[score.Pitch]float64) (list []crown) {
	const least, most, weight = 0.4, 4, 6
	high := 0.0
	for _, x := range share {
		high = max(high, x)
	}
	for p, x := range share {
		if x >= least*high {
			list = append(list, crown{p, weight * (1 - x/high)})
		}
	}
	slices.SortFunc(list, func(a, b crown) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(b.pitch.MIDI(), a.pitch.MIDI()), cmp.Compare(a.pitch.Step, b.pitch.Step))
	})
	if len(list) == 0 {
		return []crown{{pitch: score.Pitch{Step: 0, Octave: 5}}}
	}
	return list[:min(len(list), most)]
}

// voicing is a possible block: bass, then inner voices and melody upward.
type voicing struct {
	tones []score.Pitch
	cost  float64
}

// fillings are the possible voicings of a chord.
type fillings struct {
	chord int
	list  []voicing
}

const handSpan = 16 // semitones: a major tenth, common practice, no source

// fill lists the voicings of a chord in its register, at most 40, the best
// first.
func (h register) fill(c tonal.Chord) (out []voicing) {
	for _, t := range h.tops {
		for _, v := range h.under(c, t.pitch) {
			v.cost += t.cost
			out = append(out, v)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].cost < out[j].cost })
	return out[:min(len(out), 40)]
}

// under lists the voicings below a melody tone. Where bass and melody lie too
// close for a full chord, the bass may go an octave down, or the melody up where
// the bass is at the bottom.
func (h register) under(c tonal.Chord, melody score.Pitch) []voicing {
	bass, top := tonal.PitchNear(c.Bass, h.bass), nearest(c.Tones, melody)
	for top.Key() <= bass.Key()+2 {
		if bass.Key() > 48 {
			bass.Octave--
		} else {
			top.Octave++
		}
	}
	out := h.between(c, bass, top)
	if top.Key()-bass.Key() < 10 {
		if bass.Key() > 40 {
			bass.Octave--
		} else {
			top.Octave++
		}
		for _, v := range h.between(c, bass, top) {
			v.cost += 4
			out = append(out, v)
		}
	}
	return out
}

// between lists the voicings with the given outer voices.
func (h register) between(c tonal.Chord, bass, top score.Pitch) []voicing {
	inner := innerTones(c.Tones, max(bass.Key()+3, top.Key()-handSpan), top.Key()-1)
	if len(inner) == 0 {
		return []voicing{h.rate(c, []score.Pitch{bass, top})}
	}
	var out []voicing
	for i, x := range inner {
		out = append(out, h.rate(c, []score.Pitch{bass, x, top}))
		for _, y := range inner[i+1:] {
			out = append(out, h.rate(c, []score.Pitch{bass, x, y, top}))
		}
	}
	return out
}

// nearest is the pitch of the chord next to p; p itself if the chord holds it.
func nearest(tones []score.Class, p score.Pitch) score.Pitch {
	best, dist := tonal.PitchNear(tones[0], p.Key()), 100
	for _, t := range tones {
		q := tonal.PitchNear(t, p.Key())
		d := q.Key() - p.Key()
		if d = max(d, -d); t == p.Class() {
			d = -1
		}
		if d < dist {
			best, dist = q, d
		}
	}
	return best
}

// innerTones are the chord's pitches from low to high, both included.
func innerTones(tones []score.Class, low, high int) []score.Pitch {
	var out []score.Pitch
	for _, t := range tones {
		for k := low + 6; k <= high+6; k += 12 {
			if p := tonal.PitchNear(t, k); p.Key() >= low && p.Key() <= high {
				out = append(out, p)
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].MIDI() < out[j].MIDI() })
	return out
}

// rate judges one voicing by itself: tones missing or doubled, clusters, hands
// out of reach, tones that were not heard where they stand.
func (h register) rate(c tonal.Chord, tones []score.Pitch) voicing {
	v := voicing{tones: tones}
	count := map[score.Class]int{}
	for i, p := range tones {
		count[p.Class()]++
		if !h.sounding[p.Key()] {
			v.cost++
		}
		if i > 0 && p.Key()-tones[i-1].Key() < 3 {
			v.cost += 2
		}
	}
	for i, t := range c.Tones {
		switch n := count[t]; {
		case n == 0:
			v.cost += []float64{12, 12, 4, 9, 1, 1, 1}[min(i, 6)]
		case n > 1:
			v.cost += float64(n-1) * []float64{1, 3, 1.5, 10, 4, 4, 4}[min(i, 6)]
		}
	}
	if lead := leadingTone(c); count[lead] > 1 {
		v.cost += 10
	}
	switch len(tones) {
	case 2:
		v.cost += 25
	case 3:
		v.cost += 2
	}
	return v
}

// leadingTone is the leading tone of the chord's region.
func leadingTone(c tonal.Chord) score.Class {
	return c.Numeral.Region(c.Key).Tonic + 5
}

// smoothest picks one voicing a span so that voices move least over the whole piece.
func smoothest(spans []fillings) []int {
	if len(spans) == 0 {
		return nil
	}
	cost := make([][]float64, len(spans))
	from := make([][]int, len(spans))
	for i, sp := range spans {
		cost[i], from[i] = make([]float64, len(sp.list)), make([]int, len(sp.list))
		for j, v := range sp.list {
			cost[i][j] = v.cost
			if i == 0 {
				continue
			}
			best := math.Inf(1)
			for k, u := range spans[i-1].list {
				if x := cost[i-1][k] + moveCost(u, v); x < best {
					best, from[i][j] = x, k
				}
			}
			cost[i][j] += best
		}
	}
	choice := make([]int, len(spans))
	last := len(spans) - 1
	for j := range cost[last] {
		if cost[last][j] < cost[last][choice[last]] {
			choice[last] = j
		}
	}
	for i := last; i > 0; i-- {
		choice[i-1] = from[i][choice[i]]
	}
	return choice
}

// moveCost judges the step from one voicing to the next: how far the inner
// voices move, parallel octaves and fifths, voices that overlap.
func moveCost(a, b voicing) float64 {
	n := min(len(a.tones), len(b.tones))
	cost := 1.5 * math.Abs(float64(len(a.tones)-len(b.tones)))
	for i := range n {
		x, y := i, i
		if i == n-1 { // the melodies belong together
			x, y = len(a.tones)-1, len(b.tones)-1
		}
		step := math.Abs(float64(b.tones[y].Key() - a.tones[x].Key()))
		switch {
		case i > 0 && i < n-1:
			cost += 0.3 * step
		case i == n-1:
			cost += 0.3 * max(step-12, 0) // a melody leaps by more than an octave only for a reason
		}
		for j := range i {
			cost += parallel(a.tones[j], a.tones[x], b.tones[j], b.tones[y])
		}
	}
	for i := 0; i+1 < n; i++ {
		if b.tones[i].Key() > a.tones[i+1].Key() {
			cost++
		}
	}
	return cost
}

// parallel is the cost of octaves, unisons or fifths between two voices that move the same way.
func parallel(lowA, highA, lowB, highB score.Pitch) float64 {
	if lowA.Key() == lowB.Key() || (lowB.Key() > lowA.Key()) != (highB.Key() > highA.Key()) {
		return 0
	}
	before, after := (highA.Key()-lowA.Key())%12, (highB.Key()-lowB.Key())%12
	switch {
	case before != after:
		return 0
	case after == 0:
		return 8
	case after == 7:
		return 5
	}
	return 0
}

// block lays a voicing under two hands: the right takes what it reaches below
// the melody, the left the rest.
func (v voicing) block(c tonal.Chord, chord int) Block {
	b := Block{Start: c.Start, End: c.End, Chord: chord}
	top := v.tones[len(v.tones)-1].Key()
	for i, p := range v.tones {
		if i == 0 || top-p.Key() > handSpan {
			b.Left = append(b.Left, p)
		} else {
			b.Right = append(b.Right, p)
		}
	}
	return b
}
