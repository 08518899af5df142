package hearing

import (
	"math"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// keyNumber is the decoder's number of a key.
func keyNumber(k tonal.Key) int {
	if k.Minor {
		return 12 + k.Tonic.PC()
	}
	return k.Tonic.PC()
}

// Keys are the local keys of the chords.
func Keys(chords []tonal.Chord) []tonal.KeySpan {
	var keys []tonal.KeySpan
	for _, c := range chords {
		n := len(keys)
		if n > 0 && keys[n-1].Key == c.Key {
			extendKey(&keys[n-1], c)
			continue
		}
		if n > 0 {
			keys[n-1].End = c.Start
		}
		keys = append(keys, tonal.KeySpan{Start: c.Start, End: c.End, Key: c.Key, Confidence: c.KeyConfidence})
	}
	return keys
}

// Home is the key that homeOf weighs most, and how sure it is. sign is the printed
// signature at the start in sharps, nil if there is none to go by.
func Home(chords []tonal.Chord, keys []tonal.KeySpan, sign *int) (tonal.Key, float64) {
	length := map[tonal.Key]score.Tick{}
	var total score.Tick
	for _, c := range chords {
		length[c.Key] += c.Duration()
		total += c.Duration()
	}
	return homeOf(keys, length, total, sign)
}

// extendKey lengthens a key by a chord; its confidence is the mean over time.
func extendKey(k *tonal.KeySpan, c tonal.Chord) {
	before, now := float64(k.End-k.Start), float64(c.End-k.End)
	if before+now > 0 {
		k.Confidence = (k.Confidence*before + c.KeyConfidence*now) / (before + now)
	}
	k.End = c.End
}

// homeOf weighs each key by its share of the piece, with a bonus for the close,
// a smaller one for the opening, and one for the printed signature: a piece ends
// at home far oftener than it stays there, and its signature is home's (common
// practice, no source).
func homeOf(keys []tonal.KeySpan, length map[tonal.Key]score.Tick, total score.Tick, sign *int) (tonal.Key, float64) {
	if len(keys) == 0 || total == 0 {
		return tonal.Key{}, 0
	}
	const closing, opening, signature = 0.5, 0.25, 0.5
	most := 1 + closing + opening
	if sign != nil {
		most += signature
	}
	last := closingKey(keys, total)
	weight := func(k tonal.Key) float64 {
		w := float64(length[k]) / float64(total)
		if last == k {
			w += closing
		}
		if keys[0].Key == k {
			w += opening
		}
		if sign != nil && k.Fifths() == *sign {
			w += signature
		}
		return w
	}
	var home tonal.Key
	best := -1.0
	for _, k := range keys {
		if w := weight(k.Key); w > best {
			home, best = k.Key, w
		}
	}
	return home, homeOdds(best / most)
}

// homeOdds turns the weight of the home key, as a share of the most it can have,
// into the probability that an analyst ends the piece in that key: a line of
// log-odds (Platt 1999, from memory) fitted on the 382 whole pieces of the scores
// that the chords were fitted on. Told sure it was right in 99 of 100 of them,
// told likely in 63, told unsure in 50.
func homeOdds(share float64) float64 {
	const offset, slope = -6.45, 13.15
	return 1 / (1 + math.Exp(-offset-slope*share))
}

// longestPicardy is the share of the piece up to which a major close after the
// parallel minor is a raised third, and no change of key: a choice of ours.
const longestPicardy = 0.125

// closingKey is the key in which the piece closes. A short close in major after
// the same tonic's minor is minor with its third raised (common practice, no source).
func closingKey(keys []tonal.KeySpan, total score.Tick) tonal.Key {
	last := keys[len(keys)-1]
	if n := len(keys); n > 1 && !last.Key.Minor && float64(last.End-last.Start) <= longestPicardy*float64(total) {
		if before := keys[n-2].Key; before.Minor && before.Tonic == last.Key.Tonic {
			return before
		}
	}
	return last.Key
}

// OpeningSign is the signature that all parts with one print at the start of
// the piece, at concert pitch; nil if there is none, or parts differ.
func OpeningSign(s *score.Score) *int {
	var sign *int
	for _, k := range s.Keys {
		if k.At > 0 || k.NonStandard != "" {
			continue
		}
		if sign != nil && *sign != k.Fifths {
			return nil
		}
		sign = &k.Fifths
	}
	return sign
}
