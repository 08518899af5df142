package sound

import (
	"fmt"
	"io"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony/reduction"
	"hairpin/internal/midi"
	"hairpin/report"
	"hairpin/score"
)

// LevelSource says what a performance's loudness follows.
type LevelSource string

// The sources.
const (
	PrintedLevel LevelSource = "printed" // the page alone
	ShapedLevel  LevelSource = "shaped"  // the proposal inside the printed marks: the line that is drawn
	BeatsLevel   LevelSource = "beats"   // the same, bent beat by beat
	HarmonyLevel LevelSource = "harmony" // the reduction in block chords, as loud as it is tense, on the mean as loud as the page
)

// Listening says how a score is played.
type Listening struct {
	Level   LevelSource
	Repeats bool
	Tempo   float64 // quarter notes a minute at the start; 0: as the score says
	Tone    string  // "struck", "sustained", "" by the part's name; for WAV only
}

// Check says, as a [report.ChoiceError], what does not exist.
func (l Listening) Check() error {
	switch l.Level {
	case PrintedLevel, ShapedLevel, BeatsLevel, HarmonyLevel:
	default:
		return &report.ChoiceError{Text: fmt.Sprintf("there is no level %q", l.Level), Hint: "the levels are printed, shaped, beats, harmony"}
	}
	if _, ok := tones[l.Tone]; !ok {
		return &report.ChoiceError{Text: fmt.Sprintf("there is no tone %q", l.Tone), Hint: "the tones are struck and sustained"}
	}
	if l.Tempo != 0 && !(l.Tempo >= 10 && l.Tempo <= 400) {
		return &report.ChoiceError{Text: fmt.Sprintf("a tempo of %g quarter notes a minute is not played", l.Tempo), Hint: "choose 10 to 400"}
	}
	return nil
}

var tones = map[string]midi.Tone{"": midi.ByName, "struck": midi.Struck, "sustained": midi.Sustained}

// WriteMIDI writes the shown stretch as a Standard MIDI File.
func WriteMIDI(w io.Writer, r *report.Reading, l Listening) error {
	p, err := Perform(r, l)
	if err != nil {
		return err
	}
	return p.WriteSMF(w)
}

// WriteWAV writes the shown stretch as a WAV file.
func WriteWAV(w io.Writer, r *report.Reading, l Listening) error {
	p, err := Perform(r, l)
	if err != nil {
		return err
	}
	return p.WriteWAV(w)
}

// Perform plays the shown stretch: notes with the levels that l asks for.
func Perform(r *report.Reading, l Listening) (*midi.Performance, error) {
	if err := l.Check(); err != nil {
		return nil, err
	}
	s, source := r.Score, printedLevels(r)
	switch l.Level {
	case ShapedLevel:
		source = proposedLevels(r, r.Line.At)
	case BeatsLevel:
		source = proposedLevels(r, r.Shaping.At)
	case HarmonyLevel:
		s, source = reduction.Reduce(r.Score, r.Harmony.Chords, r.Harmony.Slices).Score(r.Score), tensionLevels(r)
	}
	tone := tones[l.Tone]
	if l.Level == HarmonyLevel && tone == midi.ByName {
		tone = midi.Sustained // long chords must not die away before the tension they show
	}
	plan := midi.Plan{Level: source.level, Accent: source.accent, Repeats: l.Repeats, Tempo: l.Tempo, Tone: tone}
	if l.Level != HarmonyLevel && r.Options.Part > 0 {
		s = onlyPart(s, r.Options.Part-1)
	}
	if from := r.From; from > 0 || r.To < s.Length() {
		s = score.Cut(s, score.Stretch{From: from, To: r.To})
		plan.Level = func(part, staff int, at score.Tick) float64 { return source.level(part, staff, at+from) }
		plan.Accent = func(n score.Note) float64 { n.Onset += from; return source.accent(n) }
	}
	return midi.Perform(s, plan), nil
}

// onlyPart is the score with the notes of one part.
func onlyPart(s *score.Score, part int) *score.Score {
	one := *s
	one.Notes = nil
	for _, n := range s.Notes {
		if n.Part == part {
			one.Notes = append(one.Notes, n)
		}
	}
	return &one
}

// levels answers how loud a part is, and how far a note stands out of it.
type levels struct {
	level  func(part, staff int, at score.Tick) float64
	accent func(n score.Note) float64
}

// printedLevels is the page: each staff's own curve where it has one, or its part's.
func printedLevels(r *report.Reading) levels {
	curves := map[[2]int]page.Curve{} // by part and staff
	for _, c := range r.Page.Parts {
		curves[[2]int{c.Part, c.Staff}] = c
	}
	return levels{
		level: func(part, staff int, at score.Tick) float64 {
			if c, ok := curves[[2]int{part, staff}]; ok {
				return c.At(at)
			}
			return curves[[2]int{part, 0}].At(at)
		},
		accent: pageAccents(r),
	}
}

const accentSigns = score.Accent | score.StrongAccent | score.SoftAccent | score.Stress

// accents answers by how much the page lifts a note.
func pageAccents(r *report.Reading) func(n score.Note) float64 {
	type moment struct {
		at   score.Tick
		part int
	}
	at := map[moment]page.Accent{}
	for _, a := range r.Page.Accents {
		at[moment{a.At, a.Part}] = a
	}
	return func(n score.Note) float64 {
		a, ok := at[moment{n.Onset, n.Part}]
		if !ok || a.Staff != 0 && a.Staff != n.Staff || a.Note && n.Signs&accentSigns == 0 {
			return 0
		}
		return a.Size
	}
}

// tensionLevels is as loud as the harmony is tense: on the mean as loud as the
// page, so that the two can be compared, and four steps from rest to 100, as p
// is from ff.
func tensionLevels(r *report.Reading) levels {
	ms := r.Harmony.Moments
	tension, printed, long := 0.0, 0.0, 0.0
	for _, m := range ms {
		if m.Chord >= 0 && m.Start >= r.From && m.Start < r.To {
			w := r.Score.Quarters(m.End - m.Start)
			tension, printed, long = tension+w*m.Tension.Total, printed+w*r.Page.Whole.At(m.Start), long+w
		}
	}
	if long > 0 {
		tension, printed = tension/long, printed/long
	} else {
		printed = page.P
	}
	return levels{
		level: func(_, _ int, at score.Tick) float64 {
			i := sort.Search(len(ms), func(i int) bool { return ms[i].Start > at }) - 1
			if i < 0 || ms[i].Chord < 0 {
				return printed
			}
			return min(max(printed+(page.FF-page.P)*(ms[i].Tension.Total-tension)/100, 0.5), page.FFF)
		},
		accent: func(score.Note) float64 { return 0 },
	}
}
