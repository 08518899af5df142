package events

import (
	"fmt"
	"sort"
	"strconv"
	"strings"
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// quarter is a quarter note in the tests' scores.
const quarter = 12

// sheet is a small invented score: a metre, "4/4", the chords as numerals with their
// quarters, "C: I:4 V7:2 a: i:2", and voices, the highest first: "c5:2 b4 r:1", a number
// after the colon for quarters other than one, ">" after a note for an accent.
func sheet(t testing.TB, metre, chords string, voices ...string) (*score.Score, *harmony.Analysis) {
	t.Helper()
	s := &score.Score{Division: quarter, Parts: []score.Part{{ID: "P1", Name: "Piano", Staves: 1}}}
	a := &harmony.Analysis{Chords: stated(t, chords)}
	for v, text := range voices {
		sing(t, s, v+1, text)
	}
	sort.SliceStable(s.Notes, func(i, j int) bool {
		a, b := s.Notes[i], s.Notes[j]
		return a.Onset < b.Onset || a.Onset == b.Onset && a.Pitch.Key() < b.Pitch.Key()
	})
	bars(s, metre)
	a.Slices = tonal.Slices(s, 0)
	a.Home = a.Chords[0].Key
	for _, c := range a.Chords {
		if last := len(a.Keys) - 1; last >= 0 && a.Keys[last].Key == c.Key {
			a.Keys[last].End = c.End
			continue
		}
		a.Keys = append(a.Keys, tonal.KeySpan{Start: c.Start, Entered: c.Start, End: c.End, Key: c.Key, Confidence: 1})
	}
	return s, a
}

// bars rules the measures.
func bars(s *score.Score, metre string) {
	var beats, unit int
	fmt.Sscanf(metre, "%d/%d", &beats, &unit)
	length := score.Tick(4 * quarter * beats / unit)
	end := score.Tick(0)
	for _, n := range s.Notes {
		end = max(end, n.End())
	}
	for at := score.Tick(0); at < end; at += length {
		s.Measures = append(s.Measures, score.Measure{Number: strconv.Itoa(len(s.Measures) + 1), Start: at, Length: length, Nominal: length, Beats: beats, BeatUnit: unit})
	}
	for i := range s.Notes {
		s.Notes[i].Measure = s.MeasureAt(s.Notes[i].Onset)
	}
}

// lasting splits "c5:1.5" into its word and its ticks; a quarter without a number.
func lasting(t testing.TB, item string) (string, score.Tick) {
	t.Helper()
	word, length, ok := strings.Cut(item, ":")
	if !ok {
		return word, quarter
	}
	q, err := strconv.ParseFloat(length, 64)
	if err != nil {
		t.Fatalf("%q: %v", item, err)
	}
	return word, score.Tick(q*quarter + 0.5)
}

func sing(t testing.TB, s *score.Score, voice int, text string) {
	t.Helper()
	at := score.Tick(0)
	for _, item := range strings.Fields(text) {
		item, accent := strings.CutSuffix(item, ">")
		word, length := lasting(t, item)
		if word != "r" {
			c, ok := score.ParseClass(word[:len(word)-1])
			octave, err := strconv.Atoi(word[len(word)-1:])
			if !ok || err != nil {
				t.Fatalf("%q is no note", item)
			}
			n := score.Note{Onset: at, Duration: length, Staff: 1, Voice: voice, Pitch: score.Pitch{Step: c.Step(), Alter: float64(c.Alter()), Octave: octave}}
			if accent {
				n.Signs = score.Accent
			}
			s.Notes = append(s.Notes, n)
		}
		at += length
	}
}

// stated are chords from numerals, all sure.
func stated(t testing.TB, text string) []tonal.Chord {
	t.Helper()
	var out []tonal.Chord
	var k tonal.Key
	at := score.Tick(0)
	for _, item := range strings.Fields(text) {
		if name, ok := strings.CutSuffix(item, ":"); ok {
			if k, ok = tonal.ParseKey(name); !ok {
				t.Fatalf("%q is no key", name)
			}
			continue
		}
		word, length := lasting(t, item)
		n, ok := tonal.ParseNumeral(word, k)
		if !ok {
			t.Fatalf("%q is no numeral in %s", word, k.Name())
		}
		c := tonal.Spell(n, k)
		c.Start, c.End, c.Confidence, c.KeyConfidence = at, at+length, 1, 1
		at += length
		out = append(out, c)
	}
	return out
}

// told are the places of one kind: "2:1 3:1".
func told(s *score.Score, found []Event, k Kind) string {
	var out []string
	for _, e := range found {
		if e.Kind == k {
			out = append(out, s.At(e.Start).String())
		}
	}
	return strings.Join(out, " ")
}

// only is the one event of a kind.
func only(t testing.TB, found []Event, k Kind) Event {
	t.Helper()
	var out []Event
	for _, e := range found {
		if e.Kind == k {
			out = append(out, e)
		}
	}
	if len(out) != 1 {
		t.Fatalf("%d events of kind %s, want one: %+v", len(out), k, found)
	}
	return out[0]
}

// blocks is a score of the chords alone, each struck once: the bass, and the tones above
// it in close position.
func blocks(t testing.TB, chords string) (*score.Score, *harmony.Analysis) {
	t.Helper()
	voices := make([]string, 5)
	for _, c := range stated(t, chords) {
		length := fmt.Sprintf(":%g ", float64(c.Duration())/quarter)
		for v := range voices[:4] {
			if v < len(c.Tones) {
				voices[v] += c.Tones[v].String() + "4" + length
			} else {
				voices[v] += "r" + length
			}
		}
		voices[4] += c.Bass.String() + "3" + length
	}
	return sheet(t, "4/4", chords, voices...)
}
