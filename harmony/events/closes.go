package events

import "hairpin/harmony/phrasing"

// withheld are the cadences that do not come to rest.
func (f *finder) withheld() []Event {
	var out []Event
	for _, c := range f.a.Cadences {
		kind := DeceptiveCadence
		switch c.Kind {
		case phrasing.Deceptive:
		case phrasing.Evaded:
			kind = EvadedCadence
		default:
			continue
		}
		e := f.atChord(kind, c.Chord, c.Confidence)
		e.Key = c.Key
		e.Reasons = []Reason{Reason(c.Why)}
		out = append(out, e)
	}
	return out
}

// atChord is an event that is one chord.
func (f *finder) atChord(kind Kind, chord int, confidence float64) Event {
	c := &f.a.Chords[chord]
	return Event{Kind: kind, Start: c.Start, End: c.End, Part: -1, Chord: chord, Key: c.Key, Confidence: confidence}
}
