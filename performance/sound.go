package performance

import (
	"hairpin/performance/follow"
	"hairpin/performance/spectrum"
	"hairpin/score"
)

// lowCut is the frequency in hertz below which loudness is not measured: there is
// rumble and the wind on the microphone.
const lowCut = 60

// fades is how many seconds the last tones before a pause may take to fade.
const fades = 1.0

// followSound lays a sound over the score.
func followSound(s *score.Score, t *Take, slots []slot) (*Playing, error) {
	x := t.Sound.Samples
	f := follow.Sound(s, x)
	p := &Playing{Name: t.Name, Sound: true, Seconds: t.Seconds(), Sure: f.Sure, Runs: f.Runs, Spread: t.Sound.Spread(), Clipped: t.Sound.Clipped()}
	if err := p.known(leastSound); err != nil {
		return nil, err
	}
	e := spectrum.NewEnergy(x, lowCut)
	p.entries, p.places = noteEntries(s, f.Runs, x), placeEntries(s, f.Runs, e)
	p.Lost = lost(f.Runs, p.Seconds, rest(s, f.Runs), func(from, to float64) bool {
		return e.Power(from+min(fades, 0.6*(to-from)), to-0.1) > soundPower(e, p.Runs)
	})
	p.measure(s, slots, func(from, to float64, _ int, _ slot) (float64, bool) {
		return e.Loudest(from-0.02, max(to-0.05, from+0.04)), true
	}, p.soundListener(s, x))
	return p, nil
}

// soundPower is the power above which something is played: 20 dB below what is
// usual in the runs.
func soundPower(e *spectrum.Energy, runs []follow.Run) float64 {
	var all []float64
	for _, r := range runs {
		all = append(all, e.Power(r.Points[0].Time, r.Points[len(r.Points)-1].Time))
	}
	return median(all) / 100
}

// heard is a place of a run with the notes that begin there.
type heard struct {
	at    score.Tick
	time  float64
	next  float64 // when the next place was heard, 0.6 s later at the end
	notes []int
}

// keys of MIDI; notes beyond are not listened for.
const keys = 128

func heardPlaces(s *score.Score, r follow.Run) (out []heard) {
	for i, q := range r.Points {
		h := heard{at: q.At, time: q.Time, next: q.Time + 0.6}
		if i+1 < len(r.Points) {
			h.next = r.Points[i+1].Time
		}
		for k := s.FirstNote(q.At); k < len(s.Notes) && s.Notes[k].Onset == q.At; k++ {
			if n := s.Notes[k]; !n.Grace && !n.Cue && !n.Unpitched && n.Pitch.Key() >= 0 && n.Pitch.Key() < keys {
				h.notes = append(h.notes, k)
			}
		}
		out = append(out, h)
	}
	return out
}

// placeEntries are the places heard: the loudest moment until the next, less what
// the texture alone gives.
func placeEntries(s *score.Score, runs []follow.Run, e *spectrum.Energy) (out []entry) {
	for i, r := range runs {
		places := heardPlaces(s, r)
		base := texture(s, places)
		for k, h := range places {
			end := max(h.time+0.06, min(h.next-0.03, h.time+0.35))
			l := e.Loudest(h.time-0.01, end)
			out = append(out, entry{at: h.at, run: i, time: h.time, part: -1, level: l, relative: l - base[k], note: -1})
		}
	}
	return centred(out)
}

// centred shifts the relative levels so that their mean is 0.
func centred(list []entry) []entry {
	sum := 0.0
	for _, e := range list {
		sum += e.relative
	}
	for i := range list {
		list[i].relative -= sum / float64(len(list))
	}
	return list
}
