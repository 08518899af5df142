package performance

import (
	"math"
	"slices"

	"hairpin/performance/follow"
	"hairpin/score"
)

// Evenness is how alike the strokes of two hands are that alternate over a passage
// of single notes of one length. The first hand plays the first note. Printed accents
// are left out, and their neighbours.
type Evenness struct {
	From, To score.Tick
	Part     int
	Run      int
	Strokes  int

	Level        float64 // dB by which the first hand is louder than the second
	Late         float64 // ms by which the second hand comes late; early is negative
	LevelScatter float64 // standard deviation of what is left
	LateScatter  float64
	Withheld     bool // Level may be the pitch's: the hands play different registers, or it scatters too much
}

// stroke is one note of a passage as it was heard.
type stroke struct {
	index  int // in the passage
	time   float64
	level  float64
	accent bool
	key    int
}

// A passage is told of from so many notes; longer ones are told of in stretches of
// at most so many quarters.
const (
	leastStrokes   = 12
	longestStretch = 16.0
	leastTriples   = 4
)

// passage is alternating strokes as written.
type passage struct {
	part  int
	notes []int // indices into Score.Notes
}

// passages finds the single notes of one length that a part plays, no rest between.
func passages(s *score.Score) (out []passage) {
	for part := range s.Parts {
		var now passage
		end := func() {
			if len(now.notes) >= leastStrokes {
				out = append(out, now)
			}
			now = passage{part: part}
		}
		end()
		for _, i := range single(s, part) {
			if i < 0 {
				end()
				continue
			}
			if k := len(now.notes) - 1; k >= 0 && !goesOn(s, now, i) {
				end()
			}
			now.notes = append(now.notes, i)
		}
		end()
	}
	return out
}

// single lists a part's notes in order, -1 where more than one begin together.
func single(s *score.Score, part int) (out []int) {
	last := -1
	for i, n := range s.Notes {
		if n.Part != part || n.Grace || n.Cue || n.Unpitched {
			continue
		}
		if last >= 0 && s.Notes[last].Onset == n.Onset {
			if k := len(out) - 1; out[k] >= 0 {
				out[k] = -1
			}
			continue
		}
		out, last = append(out, i), i
	}
	return out
}

// goesOn reports whether a note goes on with a passage: as long, and at once.
func goesOn(s *score.Score, p passage, i int) bool {
	last, n := s.Notes[p.notes[len(p.notes)-1]], s.Notes[i]
	if len(p.notes) > 1 && last.Onset-s.Notes[p.notes[len(p.notes)-2]].Onset != n.Onset-last.Onset {
		return false
	}
	first := s.Notes[p.notes[0]]
	return n.Onset-last.Onset <= s.Division/2 && s.Quarters(n.Onset-first.Onset) < longestStretch
}

// listener gives the strokes of a passage that were heard in a run.
type listener func(p passage, run int) []stroke

// evenness judges every passage in every run.
func (p *Playing) evenness(s *score.Score, listen listener) (out []Evenness) {
	for _, x := range passages(s) {
		for run := range p.Runs {
			if e, ok := even(s, x, listen(x, run)); ok {
				e.Run = run
				out = append(out, e)
			}
		}
	}
	return out
}

// leastHeard is the share of a passage's strokes that must have been heard: below it
// the follower may have slipped by one, and hands would be mistaken.
const leastHeard = 0.8

// mostScatter is the scatter in dB from which what differs is the notes, not the hands.
const mostScatter = 3.0

// even compares every stroke with its two neighbours, which are the other hand's.
func even(s *score.Score, p passage, heard []stroke) (Evenness, bool) {
	var level, late []float64
	for i := 2; i < len(heard); i++ {
		a, b, c := heard[i-2], heard[i-1], heard[i]
		if b.index != a.index+1 || c.index != b.index+1 || a.accent || b.accent || c.accent {
			continue
		}
		sign := 1.0
		if b.index%2 == 1 {
			sign = -1
		}
		level = append(level, sign*(b.level-(a.level+c.level)/2))
		late = append(late, -sign*1000*(b.time-(a.time+c.time)/2))
	}
	if len(level) < leastTriples || float64(len(heard)) < leastHeard*float64(len(p.notes)) {
		return Evenness{}, false
	}
	e := Evenness{From: s.Notes[p.notes[0]].Onset, To: s.Notes[p.notes[len(p.notes)-1]].End(), Part: p.part, Strokes: len(heard), Withheld: tied(heard)}
	e.Level, e.LevelScatter = middle(level)
	e.Late, e.LateScatter = middle(late)
	e.Withheld = e.Withheld || e.LevelScatter > mostScatter
	return e, true
}

// middle is the mean of a list without its lowest and highest tenth, and its scatter:
// the standard deviation of that middle times 1.5, which for a normal distribution is
// that of the whole.
func middle(v []float64) (mean, scatter float64) {
	slices.Sort(v)
	k := len(v) / 10
	v = v[k : len(v)-k]
	for _, x := range v {
		mean += x / float64(len(v))
	}
	for _, x := range v {
		scatter += (x - mean) * (x - mean) / float64(len(v))
	}
	return mean, 1.5 * math.Sqrt(scatter)
}

// tied reports whether one hand plays higher than the other throughout: by more than
// two semitones, and more than the pitches of each differ among themselves.
func tied(heard []stroke) bool {
	var sum, square, count [2]float64
	for _, h := range heard {
		i := h.index % 2
		k := float64(h.key)
		sum[i], square[i], count[i] = sum[i]+k, square[i]+k*k, count[i]+1
	}
	if count[0] == 0 || count[1] == 0 {
		return false
	}
	apart := math.Abs(sum[0]/count[0] - sum[1]/count[1])
	spread := 0.0
	for i := range sum {
		m := sum[i] / count[i]
		spread = max(spread, math.Sqrt(max(square[i]/count[i]-m*m, 0)))
	}
	return apart > 2 && apart > spread
}

const accents = score.Accent | score.StrongAccent | score.SoftAccent | score.Stress

func accented(n score.Note) bool { return n.Signs&accents != 0 }

// keyListener hears strokes by the keys struck.
func (p *Playing) keyListener(s *score.Score) listener {
	at := map[[2]int]entry{}
	for _, e := range p.entries {
		at[[2]int{e.run, e.note}] = e
	}
	return func(x passage, run int) (out []stroke) {
		for i, n := range x.notes {
			if e, ok := at[[2]int{run, n}]; ok {
				out = append(out, stroke{i, e.time, e.level, accented(s.Notes[n]), s.Notes[n].Pitch.Key()})
			}
		}
		return out
	}
}

// inRun lists the notes of a passage whose place was heard in a run, and when.
func inRun(s *score.Score, x passage, r follow.Run) (index []int, times []float64) {
	k := 0
	for i, n := range x.notes {
		for k < len(r.Points) && r.Points[k].At < s.Notes[n].Onset {
			k++
		}
		if k < len(r.Points) && r.Points[k].At == s.Notes[n].Onset {
			index, times = append(index, i), append(times, r.Points[k].Time)
		}
	}
	return index, times
}
