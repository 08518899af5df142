package take

import (
	"fmt"
	"math"
	"strconv"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/tonal"
	"hairpin/performance"
	"hairpin/report"
	"hairpin/score"
)

// number is a number written with at most three decimals.
type number float64

// rounded is a number as it is written, so that what is drawn of it is the same after
// it was written and read.
func rounded(x float64) number { return number(math.Round(x*1000) / 1000) }

// MarshalJSON rounds to three decimals.
func (n number) MarshalJSON() ([]byte, error) { return []byte(n.String()), nil }

// String is the number with at most three decimals.
func (n number) String() string {
	return strconv.FormatFloat(math.Round(float64(n)*1000)/1000+0, 'f', -1, 64)
}

// caution stands under everything.
const caution = "Loudness is what sounded at the microphone or what the keyboard sent, not how hard anything was struck; one take shows one playing. Teacher and ear decide."

// New lays takes over a reading.
func New(r *report.Reading, played []*performance.Playing) *Report {
	out := &Report{Schema: 1, Title: r.Score.Title, Caution: caution, reading: r}
	asked, spans := ask(r)
	for _, p := range played {
		out.Takes = append(out.Takes, newTake(r, p, asked, spans))
	}
	return out
}

// Again is a report of takes that were told before, over a reading of the same score.
func Again(r *report.Reading, takes []Take) *Report {
	return &Report{Schema: 1, Title: r.Score.Title, Takes: takes, Caution: caution, reading: r}
}

// ask is what page and harmony ask, and the spans that the moves come from. Goals that
// the reading is unsure of are left out.
func ask(r *report.Reading) (a performance.Asked, spans []verdict.Verdict) {
	for _, v := range r.SpanVerdicts() {
		if v.Harmony.Way != verdict.Still {
			a.Moves = append(a.Moves, performance.Move{From: v.Start, To: v.End, Builds: v.Harmony.Way == verdict.Up})
			spans = append(spans, v)
		}
	}
	for _, g := range r.Plan.Goals {
		if r.Shows(g.Start, g.End) && g.Certainty > tonal.Unsure {
			a.Goals = append(a.Goals, performance.Goal{From: g.Start, To: g.End, At: g.At})
		}
	}
	a.Steps = steps(r)
	return a, spans
}

// leastStep is the least change of a printed level, in steps, that is judged.
const leastStep = 1.0

// steps are the places at which the printed level changes at once.
func steps(r *report.Reading) (out []performance.Step) {
	for _, s := range r.Page.Whole.Segments {
		from, to := r.Page.Whole.Before(s.Start), r.Page.Whole.At(s.Start)
		if s.Start > r.From && s.Start < r.To && math.Abs(to-from) >= leastStep {
			out = append(out, performance.Step{At: s.Start, Up: to > from})
		}
	}
	return out
}

func newTake(r *report.Reading, p *performance.Playing, asked performance.Asked, spans []verdict.Verdict) Take {
	t := teller{r, p}
	out := Take{
		File: p.Name, Sound: p.Sound, Seconds: rounded(p.Seconds), Found: rounded(p.Sure),
		Passes: t.passes(), Lost: t.lost(), Beats: t.beats(), Hairpins: t.hairpins(),
		Levels: t.levels(asked), Moves: t.moves(asked, spans), Goals: t.goals(asked), Hands: t.hands(),
	}
	if !p.Sound {
		out.Notes = t.notes()
	}
	out.Warnings = t.warnings()
	return out
}

// pressedSpread is the spread, in dB, under which a sound looks compressed. Of 48
// renderings of eight piano pieces that were not it was 2.8 at least; through two
// strong compressors it lay under it in 15 of 16, driven into the top in 6 of 8,
// through a telephone's mild automatic gain in none of 8.
const pressedSpread = 2.3

// warnings are what speaks against the recording. Where the page asks for one level
// throughout, even strokes are no sign.
func (t teller) warnings() (out []string) {
	if t.p.Clipped {
		out = append(out, "Loud places are cut off in the recording, and their loudness is not known: record at a lower level.")
	}
	if lo, hi := t.printedRange(); t.p.Spread > 0 && t.p.Spread < pressedSpread && (hi-lo >= leastStep || !t.r.Page.Marked) {
		out = append(out, fmt.Sprintf("The recording looks compressed: its loudest strokes stand only %.1f dB over the usual one. If it was not played so evenly, switch automatic gain off and record again; its loudness tells little.", t.p.Spread))
	}
	return out
}

// printedRange is the softest and the loudest that the page asks for where was played.
func (t teller) printedRange() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, b := range t.p.Beats {
		v := t.r.Page.Whole.At(b.At)
		lo, hi = min(lo, v), max(hi, v)
	}
	return lo, hi
}

// teller puts one playing into words and numbers.
type teller struct {
	r *report.Reading
	p *performance.Playing
}

func (t teller) quarters(at score.Tick) number { return rounded(t.r.Score.Quarters(at)) }

func (t teller) shows(at score.Tick) bool { return at >= t.r.From && at < t.r.To }

func (t teller) passes() []Pass {
	out := []Pass{}
	for _, r := range t.p.Runs {
		a, b := r.Points[0], r.Points[len(r.Points)-1]
		out = append(out, Pass{t.quarters(a.At), t.quarters(b.At), t.r.Measures(a.At, b.At+1), rounded(a.Time), rounded(b.Time)})
	}
	return out
}

func (t teller) lost() []Lost {
	out := []Lost{}
	for _, l := range t.p.Lost {
		out = append(out, Lost{rounded(l.From), rounded(l.To), l.Pause})
	}
	return out
}

func (t teller) beats() []Beat {
	out := []Beat{}
	for _, b := range t.p.Beats {
		if !t.shows(b.At) {
			continue
		}
		at := t.r.Score.At(b.At)
		row := Beat{
			Onset: t.quarters(b.At), Measure: at.Number, Beat: rounded(at.Beat), Pass: b.Run + 1, Time: rounded(b.Time), Tempo: rounded(b.Tempo),
			Tension: rounded(t.tension(b.At)), Printed: rounded(t.r.Page.Whole.At(b.At)),
		}
		if b.Loud {
			level, relative := rounded(b.Level), rounded(b.Relative)
			row.Level, row.Relative = &level, &relative
		}
		out = append(out, row)
	}
	return out
}

// tension is that which sounds at a time.
func (t teller) tension(at score.Tick) float64 {
	for _, m := range t.r.Harmony.Moments {
		if at >= m.Start && at < m.End {
			return m.Tension.Total
		}
	}
	return 0
}

func (t teller) judged(from, to score.Tick, run int, change float64, v performance.Verdict, clear bool) Judged {
	return Judged{t.quarters(from), t.quarters(to), t.r.Measures(from, to), run + 1, rounded(change), string(v), clear}
}

func (t teller) hairpins() []Hairpin {
	out := []Hairpin{}
	for _, h := range t.p.Hairpins {
		x := t.r.Score.Hairpins[h.Hairpin]
		if !t.r.Shows(x.Start, x.End) || t.r.Options.Part > 0 && x.Part != t.r.Options.Part-1 {
			continue
		}
		kind := "crescendo"
		if x.Kind == score.Diminuendo {
			kind = "diminuendo"
		}
		out = append(out, Hairpin{t.judged(x.Start, x.End, h.Run, h.Change, h.Verdict, h.Clear), kind, x.Part + 1, h.Notes})
	}
	return out
}

func (t teller) levels(asked performance.Asked) []Level {
	out := []Level{}
	for _, l := range t.p.Stepped(t.r.Score, asked) {
		at := asked.Steps[l.Step].At
		c := t.r.Page.Whole
		printed := page.Mark(c.Before(at)) + " to " + page.Mark(c.At(at))
		out = append(out, Level{t.judged(at, at+1, l.Run, l.Change, l.Verdict, l.Clear), t.r.At(at), printed})
	}
	return out
}

// harmonyWords are the verdicts on a move.
func harmonyWords(v performance.Verdict) performance.Verdict {
	switch v {
	case performance.Followed:
		return "with"
	case performance.Contrary:
		return "against"
	}
	return v
}

func (t teller) moves(asked performance.Asked, spans []verdict.Verdict) []Move {
	out := []Move{}
	for _, m := range t.p.Moved(asked) {
		v := spans[m.Move]
		harmony, does := "releases", map[verdict.Way]string{verdict.Up: "grows", verdict.Down: "falls", verdict.Still: "stays"}
		if v.Harmony.Way == verdict.Up {
			harmony = "builds"
		}
		out = append(out, Move{t.judged(v.Start, v.End, m.Run, m.Change, harmonyWords(m.Verdict), m.Clear), harmony, does[v.Page.Way]})
	}
	return out
}

func (t teller) goals(asked performance.Asked) []Goal {
	out := []Goal{}
	for _, g := range t.p.Reached(asked) {
		x := asked.Goals[g.Goal]
		out = append(out, Goal{t.quarters(x.From), t.quarters(x.To), g.Run + 1, t.r.At(x.At), t.r.At(g.Loudest), rounded(g.Above), g.Reached})
	}
	return out
}

func (t teller) hands() []Hands {
	out := []Hands{}
	for _, e := range t.p.Uneven {
		if !t.r.Shows(e.From, e.To) {
			continue
		}
		h := Hands{
			Onset: t.quarters(e.From), End: t.quarters(e.To), Measures: t.r.Measures(e.From, e.To), Pass: e.Run + 1, Strokes: e.Strokes,
			Late: rounded(e.Late), LevelScatter: rounded(e.LevelScatter), LateScatter: rounded(e.LateScatter),
		}
		if !e.Withheld {
			level := rounded(e.Level)
			h.Level = &level
		}
		out = append(out, h)
	}
	return out
}

func (t teller) notes() *Notes {
	n := &Notes{Struck: t.p.Counts.Struck, Right: t.p.Counts.Right, Missed: []Fault{}, Wrong: []Fault{}}
	for _, i := range t.p.Missed {
		x := t.r.Score.Notes[i]
		n.Missed = append(n.Missed, Fault{t.quarters(x.Onset), t.r.At(x.Onset), x.Pitch.String(), 0})
	}
	for _, w := range t.p.Wrong {
		n.Wrong = append(n.Wrong, Fault{t.quarters(w.At), t.r.At(w.At), keyName(w.Key), rounded(w.Time)})
	}
	return n
}

// keyName is a key of the piano in English, sharps for the black ones.
func keyName(key int) string {
	names := [...]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}
	return names[key%12] + strconv.Itoa(key/12-1)
}
