package tension

import (
	"cmp"
	"slices"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Explanation is why a moment is as tense as it is: plain data for words and for JSON. Positions are "measure:beat".
type Explanation struct {
	At         score.Position   `json:"at"`
	Sounding   []SoundingNote   `json:"sounding"` // lowest first
	Chord      *ExplainedChord  `json:"chord"`    // nil if none governs the moment
	Home       string           `json:"home"`     // "C major"
	Tension    tonal.Tension    `json:"tension"`
	Points     tonal.Tension    `json:"points"` // what each part adds to the total, weights applied; Total as in Tension
	Clashes    []Clash          `json:"clashes"`
	Foreign    []ExplainedTone  `json:"foreign"` // non-chord tones
	Motion     float64          `json:"motion"`  // semitones the voices move on average into a chord that starts here
	Distance   ExplainedSteps   `json:"distance"`
	Waiting    []ExplainedAwait `json:"waiting"` // promised and not yet answered
	Answered   []ExplainedAwait `json:"answered"`
	NotCounted string           `json:"not_counted"`
}

// SoundingNote is a note that sounds at the moment.
type SoundingNote struct {
	Name      string `json:"name"` // "F#4"
	Part      string `json:"part"`
	ChordTone bool   `json:"chord_tone"`
	note      int
}

// ExplainedChord is the governing chord and how sure it is.
type ExplainedChord struct {
	Roman      string         `json:"roman"`
	Name       string         `json:"name"`
	Key        string         `json:"key"`
	From       score.Position `json:"from"`
	Confidence float64        `json:"confidence"`
	Certainty  string         `json:"certainty"`
	Why        string         `json:"why"`
	Rival      string         `json:"rival"`
	RivalClose bool           `json:"-"` // Why names it already
	Words      string         `json:"-"` // Name as a sentence says it
	Given      bool           `json:"given"`
}

// Clash is a harsh interval between two sounding notes.
type Clash struct {
	Interval string `json:"interval"` // "minor second"
	Low      string `json:"low"`
	High     string `json:"high"`
	harsh    float64
}

// ExplainedTone is a non-chord tone, its kind, and where it goes.
type ExplainedTone struct {
	Name string         `json:"name"`
	Part string         `json:"part"`
	Kind ForeignKind    `json:"kind"`
	To   string         `json:"to"`   // "B4", "" if it does not move by step into the chord
	When score.Position `json:"when"` // zero if To is ""
}

// ExplainedSteps is Lerdahl's distance from the local tonic, counted out, and
// the distance of the local key from home.
type ExplainedSteps struct {
	FromTonic int    `json:"from_tonic"` // δ, without the inversion
	Region    int    `json:"region"`     // i
	Fifths    int    `json:"fifths"`     // j
	New       int    `json:"new"`        // k
	HeardIn   string `json:"heard_in"`   // the region the chord is counted in
	Inverted  bool   `json:"inverted"`
	FromHome  int    `json:"from_home"` // local key from home key, 0 at home

	Unstable float64 `json:"unstable"` // mean probe-tone rating of its tones below the tonic triad's, 0 to about 3
	Unclear  float64 `json:"unclear"`  // root ambiguity beyond the tonic triad's, 0 to 0.3

	Ear []KeyInEar `json:"ear,omitempty"` // earlier keys from which a part of the distance is still counted
}

// KeyInEar is an earlier key that still counts.
type KeyInEar struct {
	Key   string  `json:"key"`
	Share float64 `json:"share"` // of the distance, 0–1
}

// ExplainedAwait is one expectation.
type ExplainedAwait struct {
	By      Awaited        `json:"by"`
	Applied bool           `json:"applied"`
	Of      string         `json:"of"`     // the chord or note that opened it: "V7", "F4"
	Target  string         `json:"target"` // "C", or the awaited tone
	Since   score.Position `json:"since"`
	From    score.Tick     `json:"-"`     // Since
	Until   score.Position `json:"until"` // zero if it is never answered
	Release Release        `json:"release"`
	Pedal   bool           `json:"pedal"`
}

const notCounted = "Height, loudness, number of notes and tempo are left out of this number, though they are heard as tension too."

// Explainer explains one moment after another of a score. It is for one goroutine.
type Explainer struct{ r *rater }

// Explainer readies explanations. The analysis must be of the same score.
func (a *Course) Explainer(s *score.Score) *Explainer { return &Explainer{newRater(a, s)} }

// At says why the moment is as tense as it is; one outside the slices yields only
// the position.
func (x *Explainer) At(at score.Tick) Explanation {
	r, a, s := x.r, x.r.a, x.r.s
	e := Explanation{At: s.At(at), Home: a.Home.Name(), NotCounted: notCounted}
	i := sort.Search(len(a.Moments), func(i int) bool { return a.Moments[i].End > at })
	if i == len(a.Moments) || a.Moments[i].Start > at {
		return e
	}
	m := &a.Moments[i]
	e.Tension = m.Tension
	e.Points = a.Contribution(m.Tension)
	r.sounding(&e, i, m.Chord)
	e.Clashes = clashes(s, e.Sounding)
	if m.Chord >= 0 {
		r.chord(&e, m.Chord)
		e.Distance.Ear = r.earlierKeys(at)
		r.foreignTones(&e, i, m.Chord)
		if sl := &a.Slices[i]; sl.Start == a.Chords[m.Chord].Start {
			e.Motion = r.meanMotion(sl)
		}
	}
	r.expectations(&e, at, m.Chord)
	return e
}

func (r *rater) sounding(e *Explanation, slice, chord int) {
	for _, n := range r.a.Slices[slice].Notes {
		note := &r.s.Notes[n]
		e.Sounding = append(e.Sounding, SoundingNote{note.Pitch.String(), r.part(n),
			chord >= 0 && r.tones[chord].Has(note.Pitch.Key()), n})
	}
}

func (r *rater) part(note int) string {
	if p := r.s.Notes[note].Part; p < len(r.s.Parts) {
		return r.s.Parts[p].Name
	}
	return ""
}

func (r *rater) chord(e *Explanation, chord int) {
	c := &r.a.Chords[chord]
	e.Chord = &ExplainedChord{c.Roman(), c.Name(), c.Key.Name(), r.s.At(c.Start), c.Confidence,
		c.Certainty.String(), c.Why, c.Rival, c.RivalClose, c.Words(), c.Given}
	e.Distance.FromHome = RegionDistance(r.a.Home, c.Key)
	if len(c.Tones) == 0 {
		return
	}
	d := TonicDistance(c)
	e.Distance = ExplainedSteps{d.Total(), d.Region, d.Fifths, d.New, d.Within.Name(), c.Inversion > 0,
		e.Distance.FromHome, unstable(c), unclear(c), nil}
}

func (r *rater) foreignTones(e *Explanation, slice, chord int) {
	for j, n := range r.a.Slices[slice].Notes {
		f, ok := r.foreignAt(n, chord, j == 0)
		if !ok {
			continue
		}
		t := ExplainedTone{Name: r.s.Notes[n].Pitch.String(), Part: r.part(n), Kind: f.Kind}
		if f.Next >= 0 {
			t.To, t.When = r.s.Notes[f.Next].Pitch.String(), r.s.At(r.s.Notes[f.Next].Onset)
		}
		e.Foreign = append(e.Foreign, t)
	}
}

// expectations lists what is awaited at the moment, and what the governing
// chord has just answered.
func (r *rater) expectations(e *Explanation, at score.Tick, chord int) {
	for i := range r.a.Expectations {
		x := &r.a.Expectations[i]
		switch {
		case x.From <= at && at < x.Until || x.From <= at && x.Release == StillOpen:
			e.Waiting = append(e.Waiting, r.await(x))
		case chord >= 0 && x.By != ByTone && x.Answer == chord && x.From < at:
			e.Answered = append(e.Answered, r.await(x))
		}
	}
}

func (r *rater) await(x *Expectation) ExplainedAwait {
	w := ExplainedAwait{By: x.By, Applied: x.Applied, Of: r.a.Chords[x.Chord].Roman(), Target: x.Target.String(),
		Since: r.s.At(x.From), From: x.From, Release: x.Release, Pedal: x.Pedal}
	if x.Note >= 0 {
		w.Of = r.s.Notes[x.Note].Pitch.String()
	}
	if x.Release != StillOpen {
		w.Until = r.s.At(x.Until)
	}
	return w
}

// clashes are the harsh intervals among the notes, the harshest first: those
// whose index of consonance (Huron 1994) is negative. Each pair of names counts
// once, at its closest.
func clashes(s *score.Score, notes []SoundingNote) []Clash {
	var out []Clash
	seen := map[[2]score.Class]bool{}
	for i, low := range notes {
		for _, high := range notes[i+1:] {
			a, b := s.Notes[low.note].Pitch, s.Notes[high.note].Pitch
			index := IntervalConsonance(b.Key() - a.Key())
			pair := [2]score.Class{min(a.Class(), b.Class()), max(a.Class(), b.Class())}
			if index >= 0 || seen[pair] {
				continue
			}
			seen[pair] = true
			out = append(out, Clash{intervalName(a, b), low.Name, high.Name, index})
		}
	}
	slices.SortStableFunc(out, func(x, y Clash) int { return cmp.Compare(x.harsh, y.harsh) })
	return out
}

var sizes = [8]string{"unison", "second", "third", "fourth", "fifth", "sixth", "seventh", "octave"}

// intervalName names the interval between two spelled pitches by its usual
// name, octaves taken off except for the ninth: "minor second", "augmented
// fourth", "minor ninth".
func intervalName(a, b score.Pitch) string {
	if a.Key() > b.Key() || a.Key() == b.Key() && a.Class() > b.Class() {
		a, b = b, a
	}
	letters := b.Step + 7*b.Octave - a.Step - 7*a.Octave
	fifths := int(b.Class() - a.Class())
	if letters < 0 { // Cb above B#: the letters cross
		letters, fifths = -letters, -fifths
	}
	size := sizes[letters%7]
	switch {
	case letters == 8:
		size = "ninth"
	case letters%7 == 0 && letters > 0:
		size = "octave"
	}
	return intervalQuality(fifths) + " " + size
}

// intervalQuality is read off the line of fifths: perfect within one fifth
// either way, major and minor beyond, then augmented and diminished.
func intervalQuality(fifths int) string {
	switch {
	case fifths > 12:
		return "doubly augmented"
	case fifths >= 6:
		return "augmented"
	case fifths >= 2:
		return "major"
	case fifths >= -1:
		return "perfect"
	case fifths >= -5:
		return "minor"
	case fifths >= -12:
		return "diminished"
	}
	return "doubly diminished"
}
