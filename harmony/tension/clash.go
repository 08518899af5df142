package tension

import (
	"hairpin/harmony/tonal"
)

// clash is the dissonance of what is heard in slice i: the sounding notes and,
// where the texture is so thin or broken that they do not show the chord, the
// chord's other tones that sound within a figure's length under the same chord.
// chord is -1 if none governs.
func (r *rater) clash(i, chord int) float64 {
	r.keys = r.keys[:0]
	var heard tonal.Set
	for _, n := range r.a.Slices[i].Notes {
		k := r.s.Notes[n].Pitch.Key()
		r.keys = append(r.keys, k)
		heard |= 1 << tonal.Mod(k, 12)
	}
	if chord >= 0 && (heard&r.tones[chord]).Size() < 3 {
		if missing := r.tones[chord] &^ heard; missing != 0 {
			r.fill(i, chord, missing&^r.resolutions(i, chord))
		}
		if heard.Size() < 3 {
			r.fillFree(i, chord)
		}
	}
	return r.meter.rate(r.keys)
}

// resolutions are the pitch classes that a waiting tone of the slice stands
// for: they are not heard while it waits.
func (r *rater) resolutions(i, chord int) tonal.Set {
	var out tonal.Set
	for j, n := range r.a.Slices[i].Notes {
		if f, ok := r.foreignAt(n, chord, j == 0); ok && f.Next >= 0 && f.Kind.opensExpectation() {
			out |= 1 << r.s.Notes[f.Next].Pitch.Class().PC()
		}
	}
	return out
}

// figureBeats is how far a broken figure is heard as one chord, in beats to
// either side: most figures are a half or a whole bar long. figureSlices is a
// limit beyond any music, for files that have thousands in a beat.
const figureBeats, figureSlices = 2, 200

// fill adds, for each missing class, the key nearest in time within a figure.
func (r *rater) fill(i, chord int, missing tonal.Set) {
	slices, c := r.a.Slices, &r.a.Chords[chord]
	reach := figureBeats * r.beat(slices[i].Start)
	for step := 1; missing != 0 && step <= figureSlices; step++ {
		back, ahead := i-step, i+step
		inBack := back >= 0 && slices[back].End > slices[i].Start-reach && slices[back].Start >= c.Start
		inAhead := ahead < len(slices) && slices[ahead].Start < slices[i].Start+reach && slices[ahead].Start < c.End
		if !inBack && !inAhead {
			return
		}
		if inBack {
			missing = r.addMissing(back, missing)
		}
		if inAhead {
			missing = r.addMissing(ahead, missing)
		}
	}
}

// fillFree adds the free tones of the figure so far: in a broken chord a tone that
// neither comes nor goes by step is part of the figure, such as the ninth of a
// broken dominant, and sounds on in the ear.
func (r *rater) fillFree(i, chord int) {
	slices, c := r.a.Slices, &r.a.Chords[chord]
	from := max(c.Start, slices[i].Start-figureBeats*r.beat(slices[i].Start)+1)
	for j := i - 1; j >= max(i-figureSlices, 0) && slices[j].Start >= from; j-- {
		for at, n := range slices[j].Notes {
			if f, ok := r.foreignAt(n, chord, at == 0); ok && f.Kind == FreeTone {
				r.keys = append(r.keys, r.s.Notes[n].Pitch.Key())
			}
		}
	}
}

func (r *rater) addMissing(slice int, missing tonal.Set) tonal.Set {
	for _, n := range r.a.Slices[slice].Notes {
		k := r.s.Notes[n].Pitch.Key()
		if missing.Has(k) {
			r.keys = append(r.keys, k)
			missing &^= 1 << tonal.Mod(k, 12)
		}
	}
	return missing
}

// waitingTones is what the slice's non-chord tones add by asking to be
// resolved: the most urgent in full, each further pitch class half of it.
func (r *rater) waitingTones(i, chord int) float64 {
	c := &r.a.Chords[chord]
	if len(c.Tones) == 0 {
		return 0
	}
	var counted tonal.Set
	most, sum := 0.0, 0.0
	for j, n := range r.a.Slices[i].Notes {
		f, ok := r.foreignAt(n, chord, j == 0)
		if !ok {
			continue
		}
		class := r.s.Notes[n].Pitch.Class()
		if counted.Has(class.PC()) {
			continue
		}
		counted |= 1 << class.PC()
		v := waitingPoints * waiting[f.Kind] * MelodicCharge(class, c.Root) / 6.5
		most = max(most, v)
		sum += v
	}
	return most + (sum-most)/2
}

// foreignAt names a sounding note under a chord; ok is false for a chord tone.
func (r *rater) foreignAt(note, chord int, lowest bool) (Foreign, bool) {
	if r.tones[chord].Has(r.s.Notes[note].Pitch.Key()) || r.tones[chord] == 0 {
		return Foreign{}, false
	}
	name := [2]int{note, chord}
	f, ok := r.kinds[name]
	if !ok {
		f = r.foreign(note, chord, lowest)
		r.kinds[name] = f
		if r.rates {
			r.pulls.wait(f, chord, r)
		}
	}
	return f, true
}
