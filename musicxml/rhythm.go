package musicxml

import (
	"slices"

	"hairpin/score"
)

// segment is a stretch of one lane of a measure: a chord or a rest. Times count
// from the start of the measure.
type segment struct {
	start, end score.Tick
	notes      []score.Note // none for a rest
	from, to   bool         // tied from the measure before, into the measure after
}

// piece is a segment, or a part of one, that can be printed as one note value.
type piece struct {
	start, length score.Tick
	typ           string // "" if no note value has this length
	dots          int
	actual        int // tuplet: so many notes ...
	normal        int // ... in the time of so many; 0 for none
	opens, closes bool
	segment       int
	first, last   bool     // of its segment
	beams         []string // kinds by level, none without a beam
}

// rhythm writes time as note values. Its quarter note is a multiple of 96 ticks.
type rhythm struct {
	quarter score.Tick
	beat    score.Tick // of a compound metre: a dotted value; 0 in others
}

// window is a stretch in which so many notes stand in the time of another number.
type window struct {
	start, end     score.Tick
	actual, normal int
}

// pieces splits the segments of a measure into printable note values.
func (r rhythm) pieces(segments []segment) (out []piece) {
	windows := r.tuplets(segments)
	for i, s := range segments {
		first := len(out)
		at := s.start
		for _, w := range windows {
			if w.end <= at || w.start >= s.end {
				continue
			}
			out = append(out, r.split(at, max(w.start, at)-at, window{})...)
			at = max(w.start, at)
			end := min(w.end, s.end)
			out = append(out, r.split(at, end-at, w)...)
			at = end
		}
		out = append(out, r.split(at, s.end-at, window{})...)
		for k := first; k < len(out); k++ {
			out[k].segment, out[k].first, out[k].last = i, k == first, k == len(out)-1
		}
	}
	markTuplets(out, windows)
	return out
}

func markTuplets(list []piece, windows []window) {
	for _, w := range windows {
		for k := range list {
			if list[k].normal == 0 {
				continue
			}
			list[k].opens = list[k].opens || list[k].start == w.start
			list[k].closes = list[k].closes || list[k].start+list[k].length == w.end
		}
	}
}

// tuplets finds the quarters, or pairs of quarters, that need one.
func (r rhythm) tuplets(segments []segment) (list []window) {
	var odd []score.Tick // boundaries that no plain note value reaches
	end := score.Tick(0)
	for _, s := range segments {
		end = max(end, s.end)
		for _, t := range []score.Tick{s.start, s.end} {
			if t%(r.quarter/32) != 0 {
				odd = append(odd, t)
			}
		}
	}
	slices.Sort(odd)
	for i := 0; i < len(odd); {
		start := odd[i] / r.quarter * r.quarter
		pair := start / (2 * r.quarter) * (2 * r.quarter)
		free := len(list) == 0 || list[len(list)-1].end <= pair
		w, ok := r.fit(odd, segments, pair, pair+2*r.quarter, 3)
		if !ok || !free || pair+2*r.quarter > end {
			w, ok = r.fit(odd, segments, start, start+r.quarter, 15)
		}
		if ok && w.end <= end {
			list = append(list, w)
		}
		for i < len(odd) && odd[i] < max(w.end, start+r.quarter) {
			i++
		}
	}
	return list
}

// fit finds the smallest number of equal notes that reaches every boundary in
// a stretch. A pair of quarters is taken only if both halves need it.
func (r rhythm) fit(odd []score.Tick, segments []segment, start, end score.Tick, most int) (window, bool) {
	length := end - start
	if length > r.quarter {
		half := start + r.quarter
		inFirst := slices.ContainsFunc(odd, func(t score.Tick) bool { return t > start && t < half })
		inSecond := slices.ContainsFunc(odd, func(t score.Tick) bool { return t > half && t < end })
		if !inFirst || !inSecond {
			return window{}, false
		}
	}
	for n := 3; n <= most; n++ {
		if length%score.Tick(n) != 0 {
			continue
		}
		unit := length / score.Tick(n)
		missed := slices.ContainsFunc(segments, func(s segment) bool {
			return missesGrid(s.start, start, end, unit) || missesGrid(s.end, start, end, unit)
		})
		if !missed {
			normal := 2
			for normal*2 < n {
				normal *= 2
			}
			return window{start, end, n, normal}, true
		}
	}
	return window{}, false
}

func missesGrid(t, start, end, unit score.Tick) bool {
	return t > start && t < end && (t-start)%unit != 0
}

// split cuts a stretch into note values. In a tuplet it does so in the time
// that is printed, and carries the result to the time that passes.
func (r rhythm) split(at, length score.Tick, w window) (out []piece) {
	actual, normal := score.Tick(1), score.Tick(1)
	if w.actual > 0 {
		actual, normal = score.Tick(w.actual), score.Tick(w.normal)
	}
	pos, left := (at-w.start)*actual/normal, length*actual/normal
	if w.actual == 0 {
		pos = at
	}
	for left > 0 {
		value, typ, dots := r.value(pos, left)
		if r.beat > 0 && w.actual == 0 {
			value, typ, dots = r.compound(pos, left)
		}
		p := piece{start: at, length: value * normal / actual, typ: typ, dots: dots}
		if w.actual > 0 {
			p.actual, p.normal = w.actual, w.normal
		}
		out = append(out, p)
		at += p.length
		pos += value
		left -= value
	}
	return out
}

// compound is the note value to print first in a compound metre: up to the next
// beat, or one, two or four beats as a dotted note.
func (r rhythm) compound(pos, left score.Tick) (length score.Tick, typ string, dots int) {
	if into := pos % r.beat; into > 0 || left < r.beat {
		return r.value(into, min(left, r.beat-into))
	}
	beats := score.Tick(1)
	for beats < 4 && left >= 2*beats*r.beat {
		beats *= 2
	}
	length = beats * r.beat
	_, typ, _ = r.value(0, length/3*2)
	return length, typ, 1
}

// value is the note value to print first for a stretch: all of it if that is
// one value that does not hide the beat too much, or else the largest plain
// value that starts where such values start.
func (r rhythm) value(pos, left score.Tick) (length score.Tick, typ string, dots int) {
	base := 8 * r.quarter
	for _, typ := range [...]string{"breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th"} {
		switch {
		case left == base && pos%(base/2) == 0:
			return base, typ, 0
		case left == base+base/2 && (pos%(base/2) == 0 || pos%left == 0):
			return left, typ, 1
		case left > base && pos%base == 0:
			return base, typ, 0
		}
		base /= 2
	}
	return left, "", 0
}
