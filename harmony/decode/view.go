package decode

import "math"

// view is a piece prepared for scoring.
type view struct {
	*Piece
	entries   [][]entry // by slice
	low       []lowest  // by slice; of the last sounding slice where it is silent
	mass      []float64 // by slice: evidence mass of a tone that lasts through it
	center    []int     // by slice: centre of the spelling around it, on the line of fifths
	tonics    [][24]int8
	fit       [len(reaches)][][24]float64 // by reach and slice, once for the whole piece: how well each key fits the notes around
	homeKey   int
	attack    []int   // class of the share of notes struck
	fresh     []int   // class of the share of pitch classes that are new
	bassMoves []int   // class of the interval the bass enters by, 0 where its pitch class stays
	pedal     []int   // class of how long the bass stays on its pitch class
	goal      []place // by slice: the end of its phrase
	origin    []place // by slice: the start of its phrase
	texture   []int   // 0 figured, 1 mixed, 2 where nearly all chords around are struck together
	pace      []int   // the same, 3 where all are
	change    []bool  // whether a chord may change there
}

// entry is the part of a slice one note fills.
type entry struct {
	fifths, pc int
	kind       int     // of note, if it is out of the chord
	mass       float64 // evidence by length
	onset      float64 // evidence by being struck here
	note       int
	from, to   int  // other pitch classes next to it in its voice, -1 if none
	next       int  // the one after it, on the line of fifths; see steps
	steps      bool // whether there is one

	// Its weights if it is out of the chord, and more if a neighbour is in it.
	foreign, prepared, resolved float64
}

type lowest struct {
	pc   int // -1 before the first note
	midi float64
}

// widestStep is the limit between steps and leaps of the bass, in semitones.
const widestStep = 2.5

// findBass finds the bass of every slice: the lowest note, or in figuration the
// one before it in its beat, if that was left by leap upward and so rings on in the ear.
func (v *view) findBass() {
	last := lowest{pc: -1}
	for i := range v.Slices {
		if notes := v.Slices[i].Notes; len(notes) > 0 {
			b := v.Notes[notes[0]]
			now := lowest{pc(b.Fifths), b.MIDI}
			if !v.ringsOn(i, last, now) {
				v.bassMoves[i] = bassInterval(last, now)
				last = now
			}
		}
		v.low[i] = last
	}
}

// ringsOn tells whether the bass before slice i is still heard under its lowest note.
func (v *view) ringsOn(i int, bass, low lowest) bool {
	return bass.pc >= 0 && v.texture[i] == 0 && v.Slices[i].Metric > Beat && !v.Slices[i].Phrase && low.midi-bass.midi > widestStep
}

// isBass tells whether the note of entry n of slice i is its bass.
func (v *view) isBass(i, n int) bool { return n == 0 && v.entries[i][0].pc == v.low[i].pc }

// bassInterval is the class of the interval from one lowest note to the next: 0
// if the pitch class stays, 1 by step or from nothing, 2 by third, 3 by fourth
// or fifth, 4 by more.
func bassInterval(from, to lowest) int {
	if from.pc == to.pc {
		return 0
	}
	semitones := math.Abs(to.midi - from.midi)
	switch {
	case from.pc < 0 || semitones < widestStep:
		return 1
	case semitones < 4.5:
		return 2
	case semitones < 7.5:
		return 3
	}
	return intervals
}

const fifthsMin, fifthsRange = -20, 48

// clampFifths keeps absurd spellings inside the tables, at the same pitch class.
func clampFifths(f int) int {
	for f < fifthsMin {
		f += 12
	}
	for f >= fifthsMin+fifthsRange {
		f -= 12
	}
	return f
}

// evidence is what a stretch of beats counts: in full to one beat, half beyond.
func evidence(beats float64) float64 {
	if beats <= 1 {
		return beats
	}
	return 1 + (beats-1)/2
}

func newView(p *Piece) *view {
	n := len(p.Slices)
	v := &view{Piece: p, entries: make([][]entry, n), low: make([]lowest, n), mass: make([]float64, n),
		attack: make([]int, n), fresh: make([]int, n), bassMoves: make([]int, n)}
	room := 0
	for i := range p.Slices {
		room += len(p.Slices[i].Notes)
	}
	slab := make([]entry, room)
	for i := range p.Slices {
		s := &p.Slices[i]
		v.mass[i] = evidence(s.Beats)
		v.entries[i], slab = slab[:len(s.Notes):len(s.Notes)], slab[len(s.Notes):]
		v.fill(i)
		v.attack[i], v.fresh[i] = v.boundaryClasses(i)
	}
	v.feelTexture()
	v.findBass()
	v.findPedals()
	v.findPhrases()
	v.spell()
	v.fitKeys()
	if v.homeKey = v.guessHome(); p.HomeGiven {
		v.homeKey = p.Home
	}
	return v
}

// fill shares a slice among its notes; doubled tones count by the root of their number.
func (v *view) fill(i int) {
	var count [fifthsRange]int
	notes := v.Slices[i].Notes
	for _, k := range notes {
		count[clampFifths(v.Notes[k].Fifths)-fifthsMin]++
	}
	out := v.entries[i]
	for a, k := range notes {
		n := &v.Notes[k]
		f := clampFifths(n.Fifths)
		w := 1 / math.Sqrt(float64(count[f-fifthsMin]))
		kind := (int(n.Approach)*int(steps)+int(n.Departure))*2 + b2i(n.Accented)
		out[a] = entry{fifths: f, pc: pc(f), kind: kind, mass: v.mass[i] * w, note: k, from: -1, to: -1}
		if n.Start == i {
			out[a].onset = w
		}
		if p := pc(n.From); n.Approach != Alone && p != out[a].pc {
			out[a].from = p
		}
		if n.Departure == Alone {
			continue
		}
		out[a].steps, out[a].next = true, clampFifths(n.To)
		if p := pc(n.To); p != out[a].pc {
			out[a].to = p
		}
	}
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (v *view) boundaryClasses(i int) (attack, fresh int) {
	struck, total := 0, len(v.entries[i])
	var now, before [12]bool
	for _, e := range v.entries[i] {
		if e.onset > 0 {
			struck++
		}
		now[e.pc] = true
	}
	if i > 0 {
		for _, e := range v.entries[i-1] {
			before[e.pc] = true
		}
	}
	count, novel := 0, 0
	for p, on := range now {
		if on {
			count++
			novel += b2i(!before[p])
		}
	}
	if total == 0 {
		return 0, 0
	}
	return shareClass(float64(struck) / float64(total)), shareClass(float64(novel) / float64(count))
}

// spell finds the centre of the spelling around each slice, and from it the
// spelling of all 24 tonics there.
func (v *view) spell() {
	n := len(v.Slices)
	sum, weight, beats := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	for i := range v.Slices {
		sum[i+1], weight[i+1] = sum[i], weight[i]
		beats[i+1] = beats[i] + v.Slices[i].Beats
		for _, e := range v.entries[i] {
			sum[i+1] += e.mass * float64(e.fifths)
			weight[i+1] += e.mass
		}
	}
	v.center = make([]int, n)
	v.tonics = make([][24]int8, n)
	const reach = 16 // beats on each side
	for i := range v.Slices {
		a, b := window(beats, i, reach)
		mean := 2.0
		if w := weight[b] - weight[a]; w > 0 {
			mean = (sum[b] - sum[a]) / w
		} else if weight[n] > 0 {
			mean = sum[n] / weight[n]
		}
		v.center[i] = int(math.Round(mean))
		for k := range v.tonics[i] {
			v.tonics[i][k] = int8(nearestTonic(k, mean))
		}
	}
}

// window is the range of slices within reach beats of slice i.
func window(beats []float64, i int, reach float64) (a, b int) {
	a, b = i, i+1
	for a > 0 && beats[i]-beats[a] < reach {
		a--
	}
	for b < len(beats)-1 && beats[b]-beats[i+1] < reach {
		b++
	}
	return a, b
}

// nearestTonic spells a key's tonic so that its scale lies around the mean
// spelling: a major scale centres two fifths above its tonic, a minor one
// about one below.
func nearestTonic(key int, mean float64) int {
	middle := mean - 2
	if mode(key) == 1 {
		middle = mean + 1
	}
	t := mod12(7 * (key % 12)) // some spelling of the pitch class
	return t + 12*int(math.Round((middle-float64(t))/12))
}

// mixedShare and blockShare are the shares of full attacks around a slice from
// which its texture counts as mixed, and as block chords.
const (
	mixedShare = 0.5
	blockShare = 0.85
)

// feelTexture tells passages in block chords from figured ones, by the share of
// onsets at which every sounding note is struck, and so where chords may change.
func (v *view) feelTexture() {
	n := len(v.Slices)
	full, onsets, beats := make([]int, n+1), make([]int, n+1), make([]float64, n+1)
	for i := range v.Slices {
		beats[i+1] = beats[i] + v.Slices[i].Beats
		onsets[i+1] = onsets[i] + b2i(v.Slices[i].Change)
		full[i+1] = full[i] + b2i(v.Slices[i].Change && v.attack[i] == shares-1 && len(v.entries[i]) > 2)
	}
	v.texture, v.pace, v.change = make([]int, n), make([]int, n), make([]bool, n)
	for i := range v.Slices {
		a, b := window(beats, i, 6)
		share := float64(full[b]-full[a]) / float64(max(1, onsets[b]-onsets[a]))
		v.texture[i] = b2i(share >= mixedShare) + b2i(share >= blockShare)
		v.pace[i] = v.texture[i] + b2i(share == 1)
		v.change[i] = v.Slices[i].Change && !(v.texture[i] == 0 && v.passing(i))
	}
}

// passing tells whether slice i is struck by one note at a weak place, which in
// figuration is not where chords change.
func (v *view) passing(i int) bool {
	return v.struck(i) == 1 && v.Slices[i].Metric >= QuarterBeat && !v.Slices[i].Phrase
}

// findPedals notes how long the bass stays on each pitch class.
func (v *view) findPedals() {
	n := len(v.Slices)
	v.pedal = make([]int, n)
	for a, b := 0, 0; a < n; a = b {
		beats := 0.0
		for b = a; b < n && v.low[b].pc == v.low[a].pc; b++ {
			beats += v.Slices[b].Beats
		}
		for i := a; i < b; i++ {
			v.pedal[i] = pedalClass(beats)
		}
	}
}

// struck is how many notes are struck in slice i.
func (v *view) struck(i int) int {
	n := 0
	for _, e := range v.entries[i] {
		n += b2i(e.onset > 0)
	}
	return n
}

// place is the bass of a moment, as seen from elsewhere.
type place struct {
	pc       int // -1 if nothing sounds there
	distance int // class
}

// findPhrases notes for every slice the bass at both ends of its phrase.
func (v *view) findPhrases() {
	n := len(v.Slices)
	v.goal, v.origin = make([]place, n), make([]place, n)
	beats := 0.0
	for i := range v.Slices {
		if i == 0 || v.Slices[i].Phrase {
			v.origin[i], beats = place{pc: v.low[i].pc}, 0
		} else {
			v.origin[i] = place{v.origin[i-1].pc, distanceClass(beats)}
		}
		beats += v.Slices[i].Beats
	}
	beats = 0
	for i := n - 1; i >= 0; i-- {
		if i == n-1 || v.Slices[i+1].Phrase {
			v.goal[i], beats = place{pc: v.low[i].pc}, 0
		} else {
			v.goal[i] = place{v.goal[i+1].pc, distanceClass(beats)}
		}
		beats += v.Slices[i].Beats
	}
}
