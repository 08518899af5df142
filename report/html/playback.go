package html

import (
	"math"
	"sort"

	"hairpin/internal/midi"
	"hairpin/report"
	"hairpin/report/sound"
	"hairpin/score"
)

// Playback is how the time of the performance lies on the page.
type Playback struct {
	Knots  [][2]float64 `json:"knots"`  // seconds, and the quarter notes from the start as written that sound then; in between in proportion
	Length float64      `json:"length"` // seconds
}

// NewPlayback works it out. Repeats are taken if the whole piece is shown.
func NewPlayback(r *report.Reading) (*Playback, error) {
	printed, err := performed(r, sound.PrintedLevel)
	if err != nil {
		return nil, err
	}
	return newPlayback(r, printed), nil
}

func newPlayback(r *report.Reading, printed *midi.Performance) *Playback {
	order := []score.Stretch{{From: r.From, To: r.To}}
	if isWhole(r) {
		order = r.Score.Order()
	}
	return &Playback{Knots: knots(r, printed, order), Length: playedAt(printed, printed.Length)}
}

func isWhole(r *report.Reading) bool { return r.From == 0 && r.To == r.Score.Length() }

func performed(r *report.Reading, level sound.LevelSource) (*midi.Performance, error) {
	return sound.Perform(r, sound.Listening{Level: level, Repeats: isWhole(r)})
}

func playedAt(p *midi.Performance, t midi.Tick) float64 { return thousandth(p.Seconds(t)) }

func thousandth(f float64) float64 { return math.Round(1000*f) / 1000 }

// knots ties the time of the performance to the page: at every bar line, change
// of tempo, repeat and jump.
func knots(r *report.Reading, p *midi.Performance, order []score.Stretch) (out [][2]float64) {
	played := score.Tick(0)
	for _, s := range order {
		cuts := []score.Tick{s.From, s.To}
		for _, m := range r.Score.Measures {
			if m.Start > s.From && m.Start < s.To {
				cuts = append(cuts, m.Start)
			}
		}
		for _, c := range p.Tempos {
			t := score.Tick(float64(c.At)/float64(p.Quarter)*float64(r.Score.Division)+0.5) - played + s.From
			if t > s.From && t < s.To {
				cuts = append(cuts, t)
			}
		}
		sort.Slice(cuts, func(i, j int) bool { return cuts[i] < cuts[j] })
		for _, c := range cuts {
			at := midi.Tick(r.Score.Quarters(played+c-s.From)*float64(p.Quarter) + 0.5)
			out = append(out, [2]float64{playedAt(p, at), thousandth(r.Score.Quarters(c))})
		}
		played += s.To - s.From
	}
	return out
}
