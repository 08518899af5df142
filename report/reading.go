// Package report reads a score once and says in words and tables what was found.
//
// Start at [New]; every output is written from its [Reading]. The rooms beside
// it (html, annotate, practice, survey, sound) import it, never the other way.
//
// # Conventions
//
// Times in rows are quarter notes from the start as written; tension is 0 to
// 100, levels are steps, ppp 1 to fff 8; "12:3" is measure 12, beat 3.
package report

import (
	"cmp"
	"fmt"
	"strings"

	"hairpin/dynamics"
	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/musicxml"
	"hairpin/score"
)

// Options steer a reading. The zero value reads everything with default weights.
type Options struct {
	Harmony  harmony.Options
	Part     int    // read this part's page against the harmony, counted from 1; 0 reads the page of all
	Measures string // printed measure numbers, "9-24" or "12"; "" is the whole piece
	Width    int    // columns of a table, 0 for 80
	All      bool   // study lists every stretch
	Colour   bool   // tables may be coloured; meaning never hangs on it
}

// Reading is everything computed from one score, once; every output is written from it.
type Reading struct {
	File     *musicxml.File
	Score    *score.Score
	Harmony  *harmony.Analysis
	Page     *page.Page
	Verdicts []verdict.Verdict // in order of time
	Shaping  *shaping.Shaping  // the proposal inside the printed marks, beat by beat
	Plan     *advice.Plan      // goals, advice and the proposal of each phrase; empty in a survey
	Line     page.Curve        // the proposal as a player can play it, phrase by phrase; without segments if there is none
	Events   []events.Event    // what a teacher would point at, in order of time

	Options  Options
	From, To score.Tick // the stretch that outputs show

	longest  score.Tick        // no note of Score is longer
	byNumber map[string]int    // the first measure of each printed number
	ranked   []events.Event    // Events, the most telling first
	peak     *summit           // the climax of the piece, nil if no place can be named
	advice   [][]advice.Advice // by phrase of the plan
}

// ChoiceError is an option that does not fit the score: a measure or a part
// that it does not have.
type ChoiceError struct{ Text, Hint string }

func (e *ChoiceError) Error() string { return e.Text }

// New reads the score's harmony and dynamics. Annotations of ours in the file
// count as taken out: they are not what the page prints, and the Reading's File
// is the one without them. It returns harmony.ErrNoPitch for a score without a
// pitched note, and a [ChoiceError] where an option does not fit the score.
func New(f *musicxml.File, opt Options) (*Reading, error) {
	return Read(f, opt, false)
}

// Read is New, or New without the proposed shaping, which a survey does not show.
func Read(f *musicxml.File, opt Options, unshaped bool) (*Reading, error) {
	r, err := begun(f, opt)
	if err != nil {
		return nil, err
	}
	f = r.File
	if r.Harmony, err = harmony.Analyse(f.Score, opt.Harmony); err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name, err)
	}
	d, err := dynamics.Read(f.Score, r.Harmony, dynamics.Options{Part: opt.Part, Unshaped: unshaped})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name, err)
	}
	r.Page, r.Verdicts, r.Shaping, r.Plan = d.Page, d.Verdicts, d.Shaping, d.Plan
	if unshaped {
		r.Plan = &advice.Plan{}
		return r, nil
	}
	if len(r.Shaping.Proposals) > 0 {
		r.Line = r.Plan.Line(r.Page.Whole, r.Score.Length())
	}
	r.Events = events.Find(f.Score, r.Harmony)
	r.ranked, r.peak, r.advice = events.Rank(r.Events), r.peakOf(), adviceByPhrase(r.Plan)
	return r, nil
}

// Printed is the page alone: its Reading has a harmony without chords, no verdicts
// and no proposals. It is for what a score without any pitch can be used for.
func Printed(f *musicxml.File, opt Options) (*Reading, error) {
	r, err := begun(f, opt)
	if err != nil {
		return nil, err
	}
	r.Harmony, r.Plan = &harmony.Analysis{}, &advice.Plan{}
	r.Page = page.Printed(r.Score, nil)
	return r, nil
}

// begun is a reading of which nothing is computed yet.
func begun(f *musicxml.File, opt Options) (*Reading, error) {
	f, err := withoutOurs(f)
	if err != nil {
		return nil, err
	}
	r := &Reading{File: f, Score: f.Score, Options: opt, longest: f.Score.LongestNote(), byNumber: numbered(f.Score)}
	if r.Options.Width <= 0 {
		r.Options.Width = 80
	}
	for _, part := range [...]int{opt.Part, opt.Harmony.Part} {
		if part < 0 || part > len(f.Score.Parts) {
			return nil, &ChoiceError{fmt.Sprintf("part %d is not in the score", part), PartsHint(f.Score)}
		}
	}
	r.From, r.To, err = window(f.Score, opt.Measures)
	r.Options.Measures = spelledOut(f.Score, opt.Measures)
	return r, err
}

// withoutOurs is the file without annotations of ours.
func withoutOurs(f *musicxml.File) (*musicxml.File, error) {
	if len(f.Layers()) == 0 {
		return f, nil
	}
	return f.Remove()
}

func PartsHint(s *score.Score) string {
	names := make([]string, len(s.Parts))
	for i, p := range s.Parts {
		names[i] = strings.TrimSpace(fmt.Sprintf("%d %s", i+1, p.Name))
	}
	return "the parts are " + strings.Join(names, ", ")
}

// window is the stretch of the measures asked for: "9-24", "9" alone, "9-" to the end,
// "-24" from the start.
func window(s *score.Score, text string) (from, to score.Tick, err error) {
	if text == "" {
		return 0, s.Length(), nil
	}
	first, last, ranged := strings.Cut(text, "-")
	if first, last = strings.TrimSpace(first), strings.TrimSpace(last); !ranged {
		last = first
	}
	i, j := 0, len(s.Measures)-1
	if first != "" {
		i = measureIndex(s, first, 0)
	}
	if i >= 0 && last != "" {
		j = measureIndex(s, last, i)
	}
	switch {
	case first == last && first == "", i < 0, j < 0 && measureIndex(s, last, 0) < 0:
		return 0, 0, &ChoiceError{fmt.Sprintf("measures %q are not in the score", text), measuresHint(s)}
	case j < 0:
		return 0, 0, &ChoiceError{fmt.Sprintf("measures %q end before they begin", text), fmt.Sprintf("write %s-%s", last, first)}
	}
	return s.Measures[i].Start, s.Measures[j].End(), nil
}

// spelledOut is a choice of measures with both its ends: "9-" as "9-40".
func spelledOut(s *score.Score, text string) string {
	n := len(s.Measures)
	if first, last, ranged := strings.Cut(text, "-"); ranged && n > 0 {
		return cmp.Or(strings.TrimSpace(first), numberOf(s, 0)) + "-" + cmp.Or(strings.TrimSpace(last), numberOf(s, n-1))
	}
	return text
}

// Only is the same reading of which a stretch is shown, "9-24" by printed numbers.
func (r *Reading) Only(measures string) (*Reading, error) {
	from, to, err := window(r.Score, measures)
	if err != nil {
		return nil, err
	}
	part := *r
	part.From, part.To, part.Options.Measures = from, to, spelledOut(r.Score, measures)
	return &part, nil
}

func measureIndex(s *score.Score, number string, from int) int {
	for i := from; i < len(s.Measures); i++ {
		if s.Measures[i].Number == number {
			return i
		}
	}
	for i := from; i < len(s.Measures); i++ {
		if numberOf(s, i) == number { // as words name it
			return i
		}
	}
	return -1
}

// numbered is the first measure of each printed number, as the source and as words have it.
func numbered(s *score.Score) map[string]int {
	out := make(map[string]int, len(s.Measures))
	for i := len(s.Measures) - 1; i >= 0; i-- {
		out[numberOf(s, i)] = i
		out[s.Measures[i].Number] = i
	}
	return out
}

func measuresHint(s *score.Score) string {
	if len(s.Measures) == 0 {
		return "the score has no measures"
	}
	return fmt.Sprintf("its measures are numbered %s to %s",
		s.Measures[0].Number, s.Measures[len(s.Measures)-1].Number)
}

// Shows reports whether a stretch touches what is asked for.
func (r *Reading) Shows(start, end score.Tick) bool { return start < r.To && end > r.From }

// ShownParts are the parts with pitched notes, or the one the user chose.
func (r *Reading) ShownParts() []int {
	for _, p := range [...]int{r.Options.Part, r.Options.Harmony.Part} {
		if p > 0 {
			return []int{p - 1}
		}
	}
	has := make([]bool, len(r.Score.Parts))
	for _, n := range r.Score.Notes {
		has[n.Part] = has[n.Part] || n.Pitched()
	}
	var out []int
	for i, ok := range has {
		if ok {
			out = append(out, i)
		}
	}
	return out
}
