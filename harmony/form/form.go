// Package form hears how a piece is built: phrases that belong together, music
// that comes back, sections.
//
// Start at [Read]. It is a pure function of the notes and of the phrases that
// somebody found; it looks at no chord.
//
// # Conventions
//
// Times are ticks of the score, spans are half open. Bars are counted from 0; a
// measure that a repeat sign splits is one bar, a pickup is a bar of its own.
// Likeness runs from 0, nothing in common, to 1, the same notes at the same
// places. Certainty is a number from 0 to 1, our own scale: it grows with the
// amount of music that agrees and is no measured probability.
package form

import (
	"slices"

	"hairpin/score"
)

// Close is how firmly a phrase ends.
type Close int

// The closes, the weaker first.
const (
	NoClose   Close = iota // without a cadence, or with its tonic withheld
	OpenClose              // on the dominant
	SoftClose              // imperfect authentic, plagal
	FullClose              // perfect authentic
)

// Span is a stretch of time.
type Span struct{ Start, End score.Tick }

// Phrase is a phrase as it is handed in. Phrases touch and are in order.
type Phrase struct {
	Span
	Close     Close
	Tonic     score.Class // of the key it closes in
	Certainty float64     // that it closes so, 0–1
}

// Kind says how music comes back.
type Kind string

// The kinds of return.
const (
	Exact      Kind = "exact"      // the same notes
	Transposed Kind = "transposed" // the same steps of the staff from another one
	Varied     Kind = "varied"     // most notes of the melody, or of the whole
)

// Return is music that was heard before.
type Return struct {
	First, Again         Span
	FirstBar, Bar, Count int // bars: of the first time, of the return, how many
	Kind                 Kind
	Opening              bool // it takes up what the piece opens with, in its key; see Between
	Steps                int  // of the staff, upward; 0 if it is not transposed
	Semitones            int
	Likeness             float64
	Certainty            float64
	Why                  string
}

// Role is what a phrase does in its unit.
type Role string

// The roles. Period and sentence are those of Schoenberg, Fundamentals of Musical
// Composition (1967), and Caplin, Classical Form (1998); both from memory.
const (
	Single     Role = ""
	Antecedent Role = "antecedent" // it closes weakly …
	Consequent Role = "consequent" // … and this one starts alike and closes firmly
	Statement  Role = "statement"
	Repetition Role = "repetition" // the statement again
	Sentence   Role = "sentence"   // a short idea, the idea again, a longer continuation
)

// Idea is a phrase as the form sees it.
type Idea struct {
	Span
	Bar, Count int    // its first full bar, how many bars
	Letter     string // "a", "b" …: phrases of one letter are the same music
	Prime      bool   // the same, varied or transposed
	Of         int    // index of the phrase it repeats, -1 if it is new
	Kind       Kind   // how it repeats that one, "" if it is new
	Likeness   float64
	Semitones  int
	Role       Role
	Certainty  float64 // of letter and role
	Why        string
}

// Unit is phrases that belong together: a period, a phrase and its repetition, or
// one phrase alone.
type Unit struct {
	Span
	First, Last int // phrases, both included
	Bars        int
	Certainty   float64
	Why         string
}

// Section is a large part of the piece.
type Section struct {
	Span
	First, Last int        // phrases, both included
	Name        Name       // "trio", "coda" …, "" where the evidence is not plain
	Letter      string     // "A", "B" …; "" for a prelude or postlude
	Prime       bool       // the same, changed
	Of          int        // index of the section it repeats, -1 if it is new
	From        score.Tick // where the music stands that it starts with: in that section, or its own start
	Subdominant bool       // a recapitulation that starts there
	Certainty   float64
	Why         string
}

// Form is how a piece is built.
type Form struct {
	Bars     []Span
	Returns  []Return // in the order in which they come back, without overlap
	Ideas    []Idea   // one a phrase, in order
	Units    []Unit   // in order, touching
	Sections []Section
	Outline  string // "A–B–A"; "" if there is but one section, or names tell more

	Type          Type // "" where the evidence is not plain
	TypeCertainty float64
	TypeWhy       string
	Verses        int     // of a strophic song
	Fugue         *Fugue  // nil if it is none
	Themes        []Theme // of a sonata movement, in order: what comes back at home
}

// Page is a score read bar by bar, once for all that is heard from it.
type Page struct {
	Score   *score.Score
	Part    int      // that is heard, counted from 1; 0 hears all parts
	Returns []Return // the music that comes back, from the notes alone: see [Form]
	Fugue   *Fugue   // the same of the fugue, nil if it is none
	page    *page
}

// Read reads a score. Part 0 hears all parts, otherwise only that part, counted from 1.
func Read(s *score.Score, part int) *Page {
	r := &Page{Score: s, Part: part, page: newPage(s, part)}
	r.Returns = r.page.returns()
	if len(s.Measures) > 0 {
		r.Fugue = r.page.fugue()
	}
	return r
}

// Hear finds the form. A piece without notes or without phrases has an empty form. It
// takes time linear in the notes, but for a factor that stops growing (see mostPlaces and
// mostIdeas).
func (r *Page) Hear(phrases []Phrase) Form {
	if len(r.Score.Measures) == 0 || len(phrases) == 0 {
		return Form{}
	}
	p := r.page
	f := Form{Bars: p.spans(), Returns: slices.Clone(r.Returns), Fugue: r.Fugue}
	f.Ideas = p.ideas(phrases)
	f.Units = p.units(phrases, f.Ideas)
	f.Sections = p.sections(phrases, &f)
	p.nameParts(phrases, &f)
	return f
}

// Before is the moment of the first time that a moment of the return repeats; ok is
// false outside.
func (r Return) Before(t score.Tick) (at score.Tick, ok bool) {
	if t < r.Again.Start || t >= r.Again.End {
		return 0, false
	}
	return t - r.Again.Start + r.First.Start, true
}

// Fifths is how far the return has moved, on the line of fifths: the interval of so many
// steps and semitones. A fifth up is 7 semitones and 4 steps.
func (r Return) Fifths() score.Class { return score.Class(7*r.Semitones - 12*r.Steps) }
