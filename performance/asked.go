package performance

import (
	"sort"

	"hairpin/score"
)

// Asked is what page and harmony ask of a player, in plain numbers: the caller takes
// them from wherever they were read.
type Asked struct {
	Steps []Step // of the page, in order
	Moves []Move
	Goals []Goal
}

// Step is a place at which the printed level changes at once.
type Step struct {
	At score.Tick
	Up bool
}

// StepPlayed is what became of a step in one pass.
type StepPlayed struct {
	Step    int // index into Asked.Steps
	Run     int
	Change  float64 // dB, louder positive
	Verdict Verdict
	Clear   bool
}

// Stepped judges every step in every run over it: how much louder the notes of a
// measure's length after it are than those before it, by their medians, neighbouring
// steps left out.
func (p *Playing) Stepped(s *score.Score, asked Asked) (out []StepPlayed) {
	for i, x := range asked.Steps {
		long := s.Measures[s.MeasureAt(x.At)].Length
		from, to := x.At-long, x.At+long
		if i > 0 {
			from = max(from, asked.Steps[i-1].At)
		}
		if i+1 < len(asked.Steps) {
			to = min(to, asked.Steps[i+1].At)
		}
		for run := range p.Runs {
			before, after := p.levels(run, from, x.At), p.levels(run, x.At, to)
			if len(before) < leastNotes/2 || len(after) < leastNotes/2 {
				continue
			}
			change, sign := median(after)-median(before), -1.0
			if x.Up {
				sign = 1
			}
			v, clear := judge(sign * change)
			out = append(out, StepPlayed{i, run, change, v, clear})
		}
	}
	return out
}

// levels are those of the notes of a run from one tick to another.
func (p *Playing) levels(run int, from, to score.Tick) (out []float64) {
	for _, e := range p.entries {
		if e.run == run && e.at >= from && e.at < to {
			out = append(out, e.relative)
		}
	}
	return out
}

// Move is a stretch over which tension builds or is released.
type Move struct {
	From, To score.Tick
	Builds   bool
}

// Goal is where a phrase is going.
type Goal struct {
	From, To score.Tick // the phrase
	At       score.Tick
}

// MovePlayed is what a player did over a move in one pass: followed is with the
// harmony, contrary against it.
type MovePlayed struct {
	Move    int // index into Asked.Moves
	Run     int
	Change  float64 // dB, louder positive
	Verdict Verdict
	Clear   bool
}

// GoalPlayed is where a phrase was loudest in one pass.
type GoalPlayed struct {
	Goal    int // index into Asked.Goals
	Run     int
	Loudest score.Tick
	Above   float64 // dB by which the loudest beats stand above the phrase's softest
	Reached bool    // the goal's beats are as loud, or nearly
}

// Moved judges every move in every run that plays it.
func (p *Playing) Moved(asked Asked) (out []MovePlayed) {
	for i, m := range asked.Moves {
		sign := -1.0
		if m.Builds {
			sign = 1
		}
		for run := range p.Runs {
			if change, _, ok := p.change(m.From, m.To, run, -1); ok {
				v, clear := judge(sign * change)
				out = append(out, MovePlayed{i, run, change, v, clear})
			}
		}
	}
	return out
}

// What a goal is told by: loudness over so many beats, the least by which the loudest
// must stand out, and how near to them the goal's must come (beats differ by 1.5 to 1.9 dB when a player repeats a
// passage; see the package comment).
const (
	goalSpan  = 1 // beats on each side
	goalLeast = 3.0
	goalBeats = 4 // of a phrase, at least
	goalNear  = 1.5
)

// Reached tells of every goal in every run that plays its phrase whether the phrase
// is loudest there, or as loud. Phrases without a loudest place are left out.
func (p *Playing) Reached(asked Asked) (out []GoalPlayed) {
	for i, g := range asked.Goals {
		for run := range p.Runs {
			beats := p.between(run, g.From, g.To)
			if len(beats) < goalBeats || beats[0].At > g.At || beats[len(beats)-1].At+beats[len(beats)-1].Unit <= g.At {
				continue
			}
			smooth := smoothed(beats)
			top, soft := extremes(smooth)
			if above := smooth[top] - smooth[soft]; above >= goalLeast {
				reached := smooth[top]-smooth[beatAt(beats, g.At)] <= goalNear
				out = append(out, GoalPlayed{i, run, beats[top].At, above, reached})
			}
		}
	}
	return out
}

// between are the beats of a run from one tick to another.
func (p *Playing) between(run int, from, to score.Tick) (out []Beat) {
	for _, b := range p.Beats {
		if b.Run == run && b.Loud && b.At >= from && b.At < to {
			out = append(out, b)
		}
	}
	return out
}

// beatAt is the beat in which a tick lies.
func beatAt(beats []Beat, at score.Tick) int {
	i := sort.Search(len(beats), func(i int) bool { return beats[i].At > at })
	return max(i-1, 0)
}

// smoothed is the loudness around each beat.
func smoothed(beats []Beat) []float64 {
	out := make([]float64, len(beats))
	for i := range beats {
		around := beats[max(i-goalSpan, 0):min(i+goalSpan+1, len(beats))]
		for _, b := range around {
			out[i] += b.Relative / float64(len(around))
		}
	}
	return out
}

// extremes are where a list is highest and lowest.
func extremes(v []float64) (top, bottom int) {
	for i, x := range v {
		if x > v[top] {
			top = i
		}
		if x < v[bottom] {
			bottom = i
		}
	}
	return top, bottom
}
