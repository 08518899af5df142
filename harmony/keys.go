package harmony

import "hairpin/score"

// keyNumber is the decoder's number of a key.
func keyNumber(k Key) int {
	if k.Minor {
		return 12 + k.Tonic.PC()
	}
	return k.Tonic.PC()
}

// findKeys fills in the local keys, from the chords, and the home key: the one
// stated, or that of the close if it also rules most of the piece or its
// opening, or else the key that rules longest.
func (a *Analysis) findKeys(home *Key) {
	a.Keys = nil
	length := map[Key]score.Tick{}
	var total score.Tick
	for _, c := range a.Chords {
		length[c.Key] += c.Duration()
		total += c.Duration()
		n := len(a.Keys)
		if n > 0 && a.Keys[n-1].Key == c.Key {
			a.Keys[n-1].extend(c)
			continue
		}
		if n > 0 {
			a.Keys[n-1].End = c.Start
		}
		a.Keys = append(a.Keys, KeySpan{c.Start, c.End, c.Key, c.KeyConfidence})
	}
	if home != nil {
		a.Home, a.HomeConfidence = *home, 1
		return
	}
	a.Home, a.HomeConfidence = homeOf(a.Keys, length, total)
}

// extend lengthens a key by a chord; its confidence is the mean over time.
func (k *KeySpan) extend(c Chord) {
	before, now := float64(k.End-k.Start), float64(c.End-k.End)
	if before+now > 0 {
		k.Confidence = (k.Confidence*before + c.KeyConfidence*now) / (before + now)
	}
	k.End = c.End
}

// homeOf weighs each key by its share of the piece, with a bonus for the close
// and a smaller one for the opening: a piece ends at home far oftener than it
// stays there (common practice, no source).
func homeOf(keys []KeySpan, length map[Key]score.Tick, total score.Tick) (Key, float64) {
	if len(keys) == 0 || total == 0 {
		return Key{}, 0
	}
	const closing, opening = 0.5, 0.25
	weight := func(k Key) float64 {
		w := float64(length[k]) / float64(total)
		if keys[len(keys)-1].Key == k {
			w += closing
		}
		if keys[0].Key == k {
			w += opening
		}
		return w
	}
	var home Key
	best := -1.0
	for _, k := range keys {
		if w := weight(k.Key); w > best {
			home, best = k.Key, w
		}
	}
	return home, best / (1 + closing + opening)
}
