package html

import (
	"math"
	"sort"

	"hairpin/internal/midi"
	"hairpin/report"
	"hairpin/report/sound"
	"hairpin/score"
)

// Playback is everything a page needs to play the shown stretch itself, with
// both levels, so that it can switch between them without a pause.
type Playback struct {
	Notes  []PlayedNote `json:"notes"`  // by start
	Knots  [][2]float64 `json:"knots"`  // seconds, and the quarter notes from the start as written that sound then; in between in proportion
	Length float64      `json:"length"` // seconds
}

// PlayedNote is one sounding note.
type PlayedNote struct {
	At      float64 `json:"at"`  // seconds
	For     float64 `json:"for"` // seconds
	Key     float64 `json:"key"` // MIDI key, 60 for middle C
	Printed float64 `json:"printed"`
	Shaped  float64 `json:"shaped"` // levels in steps, accents included
	Holds   bool    `json:"holds,omitempty"`
	Drum    bool    `json:"drum,omitempty"`
}

// NewPlayback works out the performance. Repeats are taken if the whole piece is shown.
func NewPlayback(r *report.Reading) (*Playback, error) {
	whole := r.From == 0 && r.To == r.Score.Length()
	printed, err := sound.Perform(r, sound.Listening{Level: sound.PrintedLevel, Repeats: whole})
	if err != nil {
		return nil, err
	}
	shaped, err := sound.Perform(r, sound.Listening{Level: sound.ShapedLevel, Repeats: whole})
	if err != nil {
		return nil, err
	}
	out := &Playback{Notes: []PlayedNote{}, Length: playedAt(printed, printed.Length)}
	for i, part := range printed.Parts {
		for k, n := range part.Notes {
			out.Notes = append(out.Notes, PlayedNote{
				At: playedAt(printed, n.Start), For: playedAt(printed, n.End) - playedAt(printed, n.Start), Key: n.Key,
				Printed: thousandth(n.Level), Shaped: thousandth(shaped.Parts[i].Notes[k].Level), Holds: part.Sustained, Drum: n.Drum,
			})
		}
	}
	sort.SliceStable(out.Notes, func(a, b int) bool { return out.Notes[a].At < out.Notes[b].At })
	order := []score.Stretch{{From: r.From, To: r.To}}
	if whole {
		order = r.Score.Order()
	}
	out.Knots = knots(r, printed, order)
	return out, nil
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
