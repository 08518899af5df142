package events

import (
	_ "embed"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"sync"

	"hairpin/harmony"
	"hairpin/score"
)

// corpusTable is how often each kind is found: kind, events, and the measures looked
// through. Counted by tools/fit/events; sources and licences stand in its head.
//
//go:embed corpus.tsv
var corpusTable string

// PerHundred is how many events of a kind are found in a hundred measures of the corpus.
func PerHundred(k Kind) float64 { return corpus()[k] }

var corpus = sync.OnceValue(func() map[Kind]float64 {
	out := map[Kind]float64{}
	for _, line := range strings.Split(corpusTable, "\n") {
		f := strings.Split(line, "\t")
		if len(f) < 3 || strings.HasPrefix(line, "#") {
			continue
		}
		n, err1 := strconv.ParseFloat(f[1], 64)
		measures, err2 := strconv.ParseFloat(f[2], 64)
		if err1 == nil && err2 == nil && measures > 0 {
			out[Kind(f[0])] = 100 * n / measures
		}
	}
	return out
})

// How rare a kind is here: its rate in the piece, with corpusMeasures of the corpus beside
// it, in bits; rarest of them is once in some thousand measures. Numbers of ours.
const (
	corpusMeasures = 50.0
	rarest         = 10.0
)

// repeated is what is left of the weight of what has come before: a choice of ours.
const repeated = 0.5

// weigh fills in Again, Times, Rarity and Weight; the events come in order of time.
func weigh(s *score.Score, a *harmony.Analysis, events []Event) {
	times, seen := map[Kind]int{}, map[string]bool{}
	for i := range events {
		e := &events[i]
		times[e.Kind]++
		e.Again = seen[shape(s, a, e)]
		seen[shape(s, a, e)] = true
	}
	for i := range events {
		e := &events[i]
		e.Times = times[e.Kind]
		e.Rarity = rarity(float64(e.Times), float64(len(s.Measures)), PerHundred(e.Kind)/100)
		e.Weight = e.Confidence * (0.2 + 0.8*e.Rarity) * size(s, e)
		if e.Again || e.Home {
			e.Weight *= repeated
		}
	}
}

// shape is what two events that are the same have alike.
func shape(s *score.Score, a *harmony.Analysis, e *Event) string {
	notes := ""
	if e.Kind == Appoggiatura || e.Kind == Suspension {
		for _, n := range e.Notes {
			notes += s.Notes[n].Pitch.String() + " "
		}
	}
	numeral := ""
	if e.Chord >= 0 && e.Kind != Sequence && e.Kind != Quickening {
		numeral = a.Chords[e.Chord].Roman()
	}
	return fmt.Sprint(e.Kind, e.Key, e.From, e.To, e.Tones, e.Step, e.Members, e.Before, e.After, numeral, notes)
}

// rarity is the surprise of an event that comes times in so many measures, and at a rate
// of a measure in the corpus, from 0 to 1.
func rarity(times, measures, rate float64) float64 {
	p := (times + corpusMeasures*rate) / (measures + corpusMeasures)
	return min(max(-math.Log2(max(p, 1e-9))/rarest, 0), 1)
}

// size is how much of an event there is to hear, from 0 to 1: numbers of ours.
func size(s *score.Score, e *Event) float64 {
	m := s.Measures[s.MeasureAt(e.Start)]
	measures := float64(e.End-e.Start) / float64(max(m.Length, 1))
	beats := float64(e.End-e.Start) / float64(max(s.BeatAt(e.Start), 1))
	switch e.Kind {
	case Appoggiatura, Suspension:
		last := e.Notes[len(e.Notes)-1]
		return 0.3 + 0.35*min(float64(s.Notes[last].Onset-e.Start)/float64(s.BeatAt(e.Start))/2, 1) + 0.35*s.Weight(e.Start)
	case Sequence, Pedal:
		return 0.4 + 0.6*min(measures/8, 1)
	case BassLine:
		return min(0.3+0.06*float64(len(e.Notes))+0.2*truth(e.Chromatic)+0.3*truth(e.Lament), 1)
	case Quickening:
		return 0.5
	case FarKey:
		return 0.7 + 0.3*min(measures/16, 1)
	case Borrowed, Neapolitan, AugmentedSixth:
		return 0.6 + 0.4*min(beats/4, 1)
	}
	return 0.8
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// again is what is left of the weight of an event for every one of its kind told before it.
const again = 0.75

// Rank is a copy of the events with the most telling first: by weight, that is by
// confidence, rarity and size, and each kind less with every time it has been told.
func Rank(events []Event) []Event {
	rest := append([]Event(nil), events...)
	sort.SliceStable(rest, func(i, j int) bool { return rest[i].Weight > rest[j].Weight })
	queues := map[Kind][]Event{}
	var kinds []Kind
	for _, e := range rest {
		if queues[e.Kind] == nil {
			kinds = append(kinds, e.Kind)
		}
		queues[e.Kind] = append(queues[e.Kind], e)
	}
	out := make([]Event, 0, len(events))
	told := map[Kind]float64{}
	for len(out) < len(events) {
		var best Kind
		for _, k := range kinds {
			if len(queues[k]) > 0 && (best == "" || queues[k][0].Weight*discount(told[k]) > queues[best][0].Weight*discount(told[best])) {
				best = k
			}
		}
		out = append(out, queues[best][0])
		queues[best] = queues[best][1:]
		told[best]++
	}
	return out
}

func discount(told float64) float64 { return math.Pow(again, told) }
