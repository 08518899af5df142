package sound

import (
	"fmt"
	"io"

	"hairpin/dynamics/page"
	"hairpin/harmony/reduction"
	"hairpin/internal/midi"
	"hairpin/report"
	"hairpin/report/practice"
	"hairpin/score"
)

// Practising says how a ladder is played.
type Practising struct {
	Plan  practice.Plan
	Click bool // the beats are clicked, after a count-in before every rung
	Steps bool // the rungs, from the bottom up, each at every level
	First bool // before them: block chords, two beats' silence, the passage, equally loud
	Tone  string
}

// WriteLadderMIDI writes the ladder of the shown stretch as a Standard MIDI File.
func WriteLadderMIDI(w io.Writer, r *report.Reading, how Practising) error {
	p, err := performLadder(r, how)
	if err != nil {
		return err
	}
	return p.WriteSMF(w)
}

// WriteLadderWAV writes the ladder of the shown stretch as a WAV file.
func WriteLadderWAV(w io.Writer, r *report.Reading, how Practising) error {
	p, err := performLadder(r, how)
	if err != nil {
		return err
	}
	return p.WriteWAV(w)
}

// performLadder plays the sheet of [practice.Sheet]: before every rung a count-in,
// then the rung with its rest as often as there are levels, at the rung's tempo.
func performLadder(r *report.Reading, how Practising) (*midi.Performance, error) {
	if err := (Listening{Level: PrintedLevel, Tone: how.Tone}).Check(); err != nil {
		return nil, err
	}
	sheet, err := practice.Sheet(r, how.Plan)
	if err != nil {
		return nil, err
	}
	p := &practiser{r: r, how: how, sheet: sheet, s: sheet.File.Score, page: printedLevels(r)}
	p.out.Title = p.s.Title
	for _, x := range sheet.Exercises {
		if how.First {
			if err := p.hearFirst(x); err != nil {
				return nil, err
			}
		}
		for i := range x.Steps {
			if how.Steps {
				p.step(x, i)
			}
		}
	}
	return &p.out, nil
}

// practiser gathers what is played.
type practiser struct {
	r     *report.Reading
	how   Practising
	sheet practice.Practice
	s     *score.Score // of the sheet
	page  levels
	out   midi.Performance
}

// levelOf are the steps of the marks that a rung is played at.
var levelOf = map[string]float64{"pp": page.PP, "mp": page.MP, "f": page.F}

// step plays a rung: count-in, then every repeat.
func (p *practiser) step(x practice.Exercise, i int) {
	step := x.Steps[i]
	for k, name := range x.Levels {
		play := p.printed(x, step)
		if level, ok := levelOf[name]; ok {
			play.level = func(int, int, score.Tick) float64 { return level }
		}
		loud := play.level(0, 0, p.s.Measures[step.First].Start)
		piece := p.perform(step, step.End, play)
		if k == 0 && p.how.Click {
			p.out.Append(p.countIn(piece.Parts[0], p.bar(x, step, step.First), step, loud))
		}
		if p.how.Click {
			p.click(piece, x, step, loud)
		}
		p.out.Append(piece)
	}
}

// perform plays the sheet from a rung's start up to a measure of it.
func (p *practiser) perform(step practice.Step, end int, play levels) *midi.Performance {
	from := p.s.Measures[step.First].Start
	cut := score.Cut(p.s, score.Stretch{From: from, To: p.s.Measures[end-1].End()})
	cut.Tempos, cut.Words = nil, nil
	piece := midi.Perform(cut, midi.Plan{Tempo: step.Tempo, Tone: tones[p.how.Tone],
		Level:  func(part, staff int, at score.Tick) float64 { return play.level(part, staff, at+from) },
		Accent: func(n score.Note) float64 { n.Onset += from; return play.accent(n) }})
	return piece
}

// printed is the page's level of the source at a moment of the sheet. A rung that
// does not follow the source bar by bar keeps the level of the passage's start.
func (p *practiser) printed(x practice.Exercise, step practice.Step) levels {
	from := p.r.Score.Measures[x.First].Start
	return levels{
		level: func(_, staff int, at score.Tick) float64 {
			source, _ := p.source(x, step, at)
			if l := p.page.level(p.sheet.Part, staff, source); l > 0 || source > from {
				return l
			}
			return page.MF // nothing printed
		},
		accent: func(n score.Note) float64 {
			if step.Own {
				n.Onset, _ = p.source(x, step, n.Onset)
				n.Part = p.sheet.Part
				return p.page.accent(n)
			}
			size, _ := page.NoteAccent(n.Signs) // of the drill, which has no page
			return size
		},
	}
}

// source is the moment of the source that a moment of the sheet stands for; false
// in a rest and in rungs that do not follow the source.
func (p *practiser) source(x practice.Exercise, step practice.Step, at score.Tick) (score.Tick, bool) {
	all := p.r.Score.Measures
	m := p.s.MeasureAt(at)
	switch {
	case !step.Follows || m < step.First:
		return all[x.First].Start, false
	case m >= step.Rest:
		return all[x.Last].End() - 1, false
	}
	here, there := p.s.Measures[m], all[x.First+m-step.First]
	if step.Own {
		return there.Start + (at-here.Start)*p.r.Score.Division/p.s.Division, true
	}
	return there.Start + (at-here.Start)*there.Length/max(here.Length, 1), true
}

// The click: a high wood block on the first beat of a measure, a low one on the
// others (General MIDI percussion map; from memory), a little softer than the notes,
// so that it never covers what is to be heard. The figures are our own.
const (
	clickName          = "Click"
	highWood, lowWood  = 76, 77
	firstBeat, offBeat = -0.5, -1.5 // steps from the level of the notes
	softest            = 0.5
)

// click adds the beats of a rung.
func (p *practiser) click(piece *midi.Performance, x practice.Exercise, step practice.Step, loud float64) {
	from := p.s.Measures[step.First].Start
	track := midi.Part{Name: clickName}
	for m := step.First; m < step.End; m++ {
		bar := p.bar(x, step, m)
		for _, at := range bar.Every(bar.Beat(p.s.Division)) {
			track.Notes = append(track.Notes, clicked(piece, p.ticks(piece, at-from), loud, bar.Into(at) == 0))
		}
	}
	piece.Parts = append(piece.Parts, track)
}

func clicked(piece *midi.Performance, at midi.Tick, loud float64, first bool) midi.Note {
	key, level := float64(lowWood), loud+offBeat
	if first {
		key, level = highWood, loud+firstBeat
	}
	return midi.Note{Start: at, End: at + piece.Quarter/8, Key: key, Level: max(level, softest), Drum: true}
}

func (p *practiser) ticks(piece *midi.Performance, t score.Tick) midi.Tick {
	return midi.Tick(t) * piece.Quarter / midi.Tick(p.s.Division)
}

// bar is a measure of the sheet. A pickup of the source is one on the sheet too,
// wherever it stands there.
func (p *practiser) bar(x practice.Exercise, step practice.Step, m int) score.Measure {
	bar := p.s.Measures[m]
	if step.Follows && m < step.Rest && p.r.Score.Measures[x.First+m-step.First].Head() > 0 {
		bar.Pickup = true
	}
	return bar
}

// countIn is a full measure of clicks before a part plays, and what a pickup lacks;
// two beats at least.
func (p *practiser) countIn(part midi.Part, bar score.Measure, step practice.Step, loud float64) *midi.Performance {
	beat := bar.Beat(p.s.Division)
	full := max(bar.Nominal, beat)
	if full < 2*beat {
		full *= 2
	}
	all := full + bar.Head()
	piece := &midi.Performance{Quarter: midi.Tick(p.s.Division) * 8, Tempos: []midi.Tempo{{PerMin: step.Tempo}}}
	piece.Length = p.ticks(piece, all)
	notes := midi.Part{Name: clickName}
	for at := score.Tick(0); at < all; at += beat {
		notes.Notes = append(notes.Notes, clicked(piece, p.ticks(piece, at), loud, at%max(bar.Nominal, beat) == 0))
	}
	part.Notes, part.Levels = nil, nil
	piece.Parts = []midi.Part{part, notes}
	return piece
}

// hearFirst plays the passage in block chords, is silent for two beats, and plays
// it as written at the page's tempo and levels. The chords are as loud on the mean.
func (p *practiser) hearFirst(x practice.Exercise) error {
	if !x.Pitched {
		return &report.ChoiceError{Text: fmt.Sprintf("part %d has no pitch here: there are no chords to hear first", p.sheet.Part+1), Hint: "leave --hear-first out, or choose another part with --part"}
	}
	last := x.Steps[len(x.Steps)-1]
	passage := p.perform(last, last.Rest, p.printed(x, last))
	chords, want, level := p.chords(x), passage.Loudness(), float64(page.MF)
	for range 3 { // a step's decibels are exact but for the attack: the second time changes nothing that can be heard
		level += midi.Steps(want - chords(level).Loudness())
		level = min(max(level, 0.5), page.FFF)
	}
	p.out.Append(chords(level))
	beat := p.s.Measures[last.First].Beat(p.s.Division)
	const silentBeats = 2
	rest := &midi.Performance{Quarter: midi.Tick(p.s.Division) * 8, Tempos: []midi.Tempo{{PerMin: last.Tempo}}}
	rest.Length = p.ticks(rest, silentBeats*beat)
	p.out.Append(rest)
	p.out.Append(passage)
	p.out.Append(rest)
	return nil
}

// chords plays the passage's block chords at a level and the page's tempo: its own
// written pitches, or of a run the harmony that is heard under it.
func (p *practiser) chords(x practice.Exercise) func(level float64) *midi.Performance {
	flat := func(level float64) levels {
		return levels{level: func(int, int, score.Tick) float64 { return level }, accent: func(score.Note) float64 { return 0 }}
	}
	last := x.Steps[len(x.Steps)-1]
	if !x.Run {
		first := x.Steps[0]
		first.Tempo = last.Tempo
		return func(level float64) *midi.Performance { return p.perform(first, first.Rest, flat(level)) }
	}
	all := p.r.Score.Measures
	red := reduction.Reduce(p.r.Score, p.r.Harmony.Chords, p.r.Harmony.Slices).Score(p.r.Score)
	cut := score.Cut(red, score.Stretch{From: all[x.First].Start, To: all[x.Last].End()})
	cut.Tempos, cut.Words, cut.Parts = nil, nil, []score.Part{{Name: p.s.Parts[0].Name, Staves: 2}}
	return func(level float64) *midi.Performance {
		return midi.Perform(cut, midi.Plan{Tempo: last.Tempo, Tone: tones[p.how.Tone], Level: flat(level).level})
	}
}
