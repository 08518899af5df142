package events

import (
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Stay is a stretch in another key than home: how the music goes there, where it arrives,
// how it comes back. Short visits are passed over, as for far keys.
type Stay struct {
	Key        tonal.Key
	Start, End score.Tick // from where it is entered to where the next key that lasts is: see hearing.Enter
	From       tonal.Key  // the key before that lasted
	Entry      Entry      // how it is entered
	Arrival    score.Tick // where its tonic is reached: see Close; -1 if it never is
	// Close is the first cadence on its tonic, which is then the arrival. Without one the
	// arrival is the last tonic that follows its dominant, both with their roots below, in
	// the first phrase that ends in the key; "" then.
	Close phrasing.CadenceKind

	Back      score.Tick // where the home key is entered again, or the opening returns soon after; -1 if it never is
	BackEntry Entry      // how the home key is entered
	Theme     bool       // the opening of the piece comes back there, within a measure
	// Stands is where the tonic of home first stands, on its root or third, led to by its
	// dominant or leading-tone chord, from Back on and before the next stay; -1 if it does not:
	// the ear is only passing there. Common practice, no source.
	Stands score.Tick
}

// Stays lists the stretches in other keys than the home key, in order of time. The
// analysis must be of the same score.
func Stays(s *score.Score, a *harmony.Analysis) []Stay {
	if len(a.Slices) == 0 || len(s.Measures) == 0 {
		return nil
	}
	f := keyFinder(s, a)
	keys := f.lasting()
	var out []Stay
	for i, k := range keys {
		if k.Key == a.Home {
			continue
		}
		x := Stay{Key: k.Key, Start: k.Entered, End: k.End, From: a.Home}
		first, _ := f.chordsIn(k.Start, k.End)
		if i > 0 {
			x.From = keys[i-1].Key
			x.Entry, _ = f.entry(x.From, k, first)
		}
		if i+1 < len(keys) {
			x.End = keys[i+1].Entered
		}
		x.Arrival, x.Close = f.arrival(k)
		x.Back, x.BackEntry = f.back(keys[i:])
		x.Back = f.withTheme(x.Back)
		x.Theme = x.Back >= 0 && f.themeAt(x.Back)
		out = append(out, x)
	}
	for i := range out {
		out[i].Stands = f.homeStands(out, out[i].Back)
	}
	return out
}

// homeStands is where the home tonic stands, led to, from t on and before the next of the
// stays; -1 if it does not.
func (f *finder) homeStands(stays []Stay, t score.Tick) score.Tick {
	end := f.s.Length()
	for _, x := range stays {
		if x.Start > t {
			end = min(end, x.Start)
		}
	}
	if t < 0 {
		return -1
	}
	from, to := f.chordsIn(t, end)
	for c := max(from, 1); c < to; c++ {
		if x := &f.a.Chords[c]; x.Start >= t && x.Key == f.a.Home && f.led(c, x.Key) {
			return x.Start
		}
	}
	return -1
}

// led reports whether chord c is the tonic of a key on its root or third, led to by the
// dominant or leading-tone chord of the key.
func (f *finder) led(c int, k tonal.Key) bool {
	x, d := &f.a.Chords[c], &f.a.Chords[c-1]
	leads := dominant(d, k) || d.Key == k && d.Numeral.Degree == 7 && d.Numeral.Target == 0
	return x.Inversion < 2 && triad(x) && isDegree(k, x.Root, 1) && leads
}

// lasting are the keys that last long enough to count; each ends where the next begins.
func (f *finder) lasting() []tonal.KeySpan {
	var out []tonal.KeySpan
	for i := range f.a.Keys {
		k := f.a.Keys[i]
		first, last := f.chordsIn(k.Start, k.End)
		n := len(out)
		switch {
		case f.measuresOf(k.Start, k.End) < farMeasures || last-first < farChords:
		case n > 0 && out[n-1].Key == k.Key:
			out[n-1].End = k.End
		default:
			if n > 0 {
				out[n-1].End = k.Start
			}
			out = append(out, k)
		}
	}
	return out
}

// arrival is where a key's tonic is reached, and by which cadence.
func (f *finder) arrival(k tonal.KeySpan) (score.Tick, phrasing.CadenceKind) {
	for _, c := range f.a.Cadences {
		if c.At >= k.Start && c.At < k.End && c.Key.Tonic == k.Key.Tonic && c.Kind.Authentic() {
			return c.At, c.Kind
		}
	}
	end := k.End
	for _, p := range f.a.Phrases {
		if p.End > k.Start {
			end = min(p.End, k.End)
			break
		}
	}
	if t := f.lastTonic(k, end); t >= 0 {
		return t, ""
	}
	return f.lastTonic(k, k.End), ""
}

// dominant reports whether a chord is the dominant of a key.
func dominant(x *tonal.Chord, k tonal.Key) bool {
	return isDegree(k, x.Root, 5) && !x.Quality.Small()
}

// lastTonic is the last tonic of a key before a moment that follows its dominant, both
// with their roots below, -1 if there is none.
func (f *finder) lastTonic(k tonal.KeySpan, end score.Tick) score.Tick {
	from, to := f.chordsIn(k.Start, end)
	for c := to - 1; c > from; c-- {
		x, d := &f.a.Chords[c], &f.a.Chords[c-1]
		if f.led(c, k.Key) && x.Inversion == 0 && d.Inversion == 0 && dominant(d, k.Key) {
			return x.Start
		}
	}
	return -1
}

// back is where the home key is entered again after the first of the keys, and how; -1 if
// it never is.
func (f *finder) back(keys []tonal.KeySpan) (score.Tick, Entry) {
	for i := 1; i < len(keys); i++ {
		if k := keys[i]; k.Key == f.a.Home {
			from, _ := f.chordsIn(k.Start, k.End)
			entry, _ := f.entry(keys[i-1].Key, k, from)
			return k.Entered, entry
		}
	}
	return -1, ""
}

// themeAt reports whether the opening of the piece comes back within a measure of t.
func (f *finder) themeAt(t score.Tick) bool {
	for _, r := range f.a.Form.Returns {
		if m := f.s.Measures[f.s.MeasureAt(t)]; r.Opening && r.Again.Start >= t-m.Length && r.Again.Start <= t+m.Length {
			return true
		}
	}
	return false
}

// soonAfter is how many measures from where home is entered on the opening may come back and still
// be what is heard as the return: a choice of ours.
const soonAfter = 8

// withTheme is the return of the opening that follows soon after t, or with the first home
// tonic, as after a long dominant; t if none does: what goes before it leads home. Common
// practice, no source.
func (f *finder) withTheme(t score.Tick) score.Tick {
	if t < 0 {
		return t
	}
	m := f.s.MeasureAt(t)
	end := f.s.Measures[min(m+soonAfter, len(f.s.Measures))-1].End()
	end = max(end, f.homeTonic(t)+1)
	for _, r := range f.a.Form.Returns {
		if r.Opening && r.Again.Start > t && r.Again.Start < end {
			return r.Again.Start
		}
	}
	return t
}

// homeTonic is where the home tonic first stands from t on, its root below, as long as the
// home key lasts; t if it does not.
func (f *finder) homeTonic(t score.Tick) score.Tick {
	from, _ := f.chordsIn(t, t+1)
	for _, x := range f.a.Chords[from:] {
		if x.Key != f.a.Home {
			break
		}
		if x.Start >= t && x.Inversion == 0 && triad(&x) && isDegree(x.Key, x.Root, 1) {
			return x.Start
		}
	}
	return t
}
