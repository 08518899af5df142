package decode

import "fmt"

// block is a range of weights for one kind of fact.
type block struct {
	name string
	dims [3]int // sizes of its up to three indices, 1 where unused
	at   int    // index of its first weight
}

func (b block) i(x, y, z int) int { return b.at + (x*b.dims[1]+y)*b.dims[2] + z }

func (b block) size() int { return b.dims[0] * b.dims[1] * b.dims[2] }

// The kinds of notes out of the chord: approach × departure × accented.
const noteKinds = int(steps) * int(steps) * 2

const (
	durations  = 9 // classes of segment length
	shares     = 6 // classes of a share between 0 and 1
	textures   = 3 // figured, mixed, or mostly in block chords
	paces      = 4 // the same, and in nothing but block chords
	roles      = 4 // root, third, fifth, seventh
	profileMin = -9
	profileLen = 22 // fifths above the tonic from profileMin
	sigRange   = 15
	families   = MaxFamily
	pedals     = 3 // classes of how long the bass stays on its pitch class
	intervals  = 4 // classes of the interval by which the bass moves
	distances  = 2 // classes of the distance to an end of the phrase, as far as it tells
)

// layout places every kind of fact in one row of weights.
type layout struct {
	tone, toneOnset, missing       block // how chord tones sound
	respelled                      block
	foreign, foreignOnset, heldOn  block // notes out of the chord
	prepared, resolved             block // such notes next to a chord tone
	explained                      block
	quality, qualityBeats          block
	bassOnset, bassLow, bassShare  block // what the bass says of the inversion
	bassForeign, foreignLow        block // a bass out of the chord
	change, bassMoves, attack, new block // where chords change
	inside, insideBass             block // what a segment runs over
	profile, bassProfile, window   block // how notes speak for a key
	melody                         block // how steps and leaps speak for it
	signature, home                block
	goal, origin                   block // what the bass at the end and the start of the phrase says of the key
	label, labelInv, labelMetric   block
	next, rootMotion, again        block // how chords follow each other
	keyChange, keyMetric, keyRest  block
	exit, entry, pivot             block
	bassMotion                     block
	first, last                    block
	phraseEnd, phraseStart         block
	total                          int
	all                            []*block
}

func newLayout(labels int) *layout {
	l := &layout{}
	add := func(b *block, name string, x, y, z int) {
		*b = block{name, [3]int{x, y, z}, l.total}
		l.total += b.size()
		l.all = append(l.all, b)
	}
	q, m := MaxQuality, int(metrics)
	add(&l.tone, "tone", q, roles, textures)
	add(&l.toneOnset, "tone-onset", q, roles, textures)
	add(&l.missing, "missing", q, roles, textures)
	add(&l.respelled, "respelled", q, 1, 1)
	add(&l.foreign, "foreign", noteKinds, textures, 1)
	add(&l.foreignOnset, "foreign-onset", noteKinds, textures, 1)
	add(&l.foreignLow, "foreign-low", pedals, textures, 1)
	add(&l.prepared, "prepared", noteKinds, textures, 1)
	add(&l.resolved, "resolved", noteKinds, textures, 1)
	add(&l.heldOn, "held", int(steps), 1, 1)
	add(&l.explained, "explained", 2, shares, textures)
	add(&l.quality, "quality", q, 1, 1)
	add(&l.qualityBeats, "quality-beats", q, 1, 1)
	add(&l.bassOnset, "bass-onset", families, roles, textures)
	add(&l.bassLow, "bass-low", families, roles, 1)
	add(&l.bassShare, "bass-share", families, roles, 1)
	add(&l.bassForeign, "bass-foreign", families, textures, pedals)
	add(&l.change, "change", m, durations, paces)
	add(&l.bassMoves, "bass-moves", m, paces, intervals)
	add(&l.attack, "attack", shares, 1, 1)
	add(&l.new, "new", shares, 1, 1)
	add(&l.inside, "inside", m, paces, 1)
	add(&l.insideBass, "inside-bass", m, paces, intervals)
	add(&l.profile, "profile", 2, profileLen, 1)
	add(&l.bassProfile, "bass-profile", 2, profileLen, 1)
	add(&l.melody, "melody", 2, profileLen, profileLen)
	add(&l.window, "window", 2, len(reaches), 1)
	add(&l.signature, "signature", 2, sigRange, 1)
	add(&l.home, "home", 2, 2, 12)
	add(&l.goal, "goal", 2, distances, 12)
	add(&l.origin, "origin", 2, distances, 12)
	add(&l.label, "label", labels, 1, 1)
	add(&l.labelInv, "label-inversion", labels, roles, 1)
	add(&l.labelMetric, "label-metric", labels, 3, 1)
	add(&l.next, "next", labels, labels, 1)
	add(&l.rootMotion, "root-motion", 12, families, families)
	add(&l.again, "again", 3, paces, 1)
	add(&l.keyChange, "key-change", 2, 2, 12)
	add(&l.keyMetric, "key-metric", m, 1, 1)
	add(&l.keyRest, "key-rest", 1, 1, 1)
	add(&l.exit, "exit", labels, 1, 1)
	add(&l.entry, "entry", labels, 1, 1)
	add(&l.pivot, "pivot", labels, 1, 1)
	add(&l.bassMotion, "bass-motion", 2, 13, 13)
	add(&l.first, "first", labels, 1, 1)
	add(&l.last, "last", labels, 1, 1)
	add(&l.phraseEnd, "phrase-end", labels, 1, 1)
	add(&l.phraseStart, "phrase-start", labels, 1, 1)
	return l
}

// name says which fact the weight with this index belongs to.
func (l *layout) name(i int) string {
	for _, b := range l.all {
		if i < b.at+b.size() {
			k := i - b.at
			return fmt.Sprintf("%s %d %d %d", b.name, k/(b.dims[1]*b.dims[2]), k/b.dims[2]%b.dims[1], k%b.dims[2])
		}
	}
	return ""
}

func durationClass(beats float64) int {
	for i, b := range [...]float64{0.3, 0.55, 1.05, 1.55, 2.05, 3.05, 4.05, 6.05} {
		if beats <= b {
			return i
		}
	}
	return durations - 1
}

func pedalClass(beats float64) int {
	return b2i(beats > 3.95) + b2i(beats > 7.95)
}

func distanceClass(beats float64) int {
	return b2i(beats > 2.05) + b2i(beats > 8.05)
}

func shareClass(x float64) int {
	switch {
	case x <= 0.001:
		return 0
	case x >= 0.999:
		return shares - 1
	}
	return 1 + min(int(x*4), 3)
}

func metricClass(m Metric) int {
	switch {
	case m <= HalfBar:
		return 0
	case m == Beat:
		return 1
	}
	return 2
}

func mod12(a int) int {
	if a %= 12; a < 0 {
		a += 12
	}
	return a
}

// pc is the pitch class of a place on the line of fifths.
func pc(fifths int) int { return mod12(7 * fifths) }
