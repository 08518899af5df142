package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hairpin/harmony/events"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// eventNote is an event as a teacher would say it.
type eventNote struct {
	At        string      `json:"at"`
	Onset     Quarters    `json:"onset"`
	End       Quarters    `json:"end"`
	Measures  string      `json:"measures"`
	Kind      events.Kind `json:"kind"`
	What      string      `json:"what"` // "the Neapolitan in m. 25, Eb/G"
	Try       string      `json:"try"`  // what a player can do there
	Rarity    float64     `json:"rarity"`
	Certainty string      `json:"certainty"`
	Reasons   []string    `json:"reasons"`
}

func (r *Reading) eventNote(e events.Event) eventNote {
	reasons := make([]string, len(e.Reasons))
	for i, x := range e.Reasons {
		reasons[i] = string(x)
	}
	return eventNote{
		At: r.At(e.Start), Onset: r.quarters(e.Start), End: r.quarters(e.End), Measures: r.Span(e.Start, e.End), Kind: e.Kind,
		What: r.eventWhat(e), Try: r.eventTry(e), Rarity: twoPlaces(e.Rarity), Certainty: tonal.CertaintyOf(e.Confidence).String(), Reasons: reasons,
	}
}

// eventWhat names an event and its place.
func (r *Reading) eventWhat(e events.Event) string {
	place := "in " + r.Span(e.Start, e.End)
	switch e.Kind {
	case events.Appoggiatura, events.Suspension:
		return "the " + string(e.Kind) + r.tone(e) + " " + r.at(e.Start)
	case events.Sequence:
		return fmt.Sprintf("the sequence %s, %s", place, sequenceStep(e))
	case events.Pedal:
		return fmt.Sprintf("the %s pedal%s %s", map[bool]string{true: "dominant", false: "tonic"}[e.Degree == 5], heldTone(e), place)
	case events.Neapolitan, events.Borrowed:
		return r.chordWhat(e, place)
	case events.AugmentedSixth:
		if c := r.chordOf(e); c != nil {
			return "the " + c.Words() + " " + place
		}
		return "the augmented sixth " + place
	case events.FarKey:
		return farWhat(e, r.Bars(e.Start, e.Start).Named())
	case events.DeceptiveCadence, events.EvadedCadence:
		return "the " + string(e.Kind) + " " + r.at(e.Start) + r.inPlace(e)
	case events.Elision:
		return "the end that is a beginning " + r.at(e.Start)
	case events.Hemiola:
		return "the hemiola " + place
	case events.BassLine:
		return "the bass that walks " + bassWay(e) + " " + place
	case events.Quickening:
		return "the chords that come quicker " + place
	case events.PicardyThird:
		return "the close in major " + r.at(e.Start)
	}
	return string(e.Kind) + " " + place
}

// chordWhat names a Neapolitan or a borrowed chord, with its letter name.
func (r *Reading) chordWhat(e events.Event, place string) string {
	text := "the Neapolitan "
	if e.Kind == events.Borrowed {
		text = "the chord borrowed from " + e.From.Name() + " "
	}
	if c := r.chordOf(e); c != nil {
		return text + place + ", " + c.Name()
	}
	return text + place
}

// chordOf is the chord of an event, nil if it has none.
func (r *Reading) chordOf(e events.Event) *tonal.Chord {
	if e.Chord < 0 || e.Chord >= len(r.Harmony.Chords) {
		return nil
	}
	return &r.Harmony.Chords[e.Chord]
}

// inPlace says what comes in place of the tonic: ", Cm in place of Eb".
func (r *Reading) inPlace(e events.Event) string {
	c := r.chordOf(e)
	if c == nil {
		return ""
	}
	tonic := tonal.Spell(tonal.Numeral{Degree: 1, Quality: map[bool]tonal.Quality{true: tonal.Minor, false: tonal.Major}[e.Key.Minor]}, e.Key).Name()
	if c.Name() == tonic {
		return ""
	}
	return ", " + c.Words() + " in place of " + tonic
}

// heldTone names the tone of a pedal: " on A".
func heldTone(e events.Event) string {
	if len(e.Tones) == 0 {
		return ""
	}
	return " on " + e.Tones[0].String()
}

// farWhat says which key is entered where, and how.
func farWhat(e events.Event, place string) string {
	text := "the step into " + e.To.Name() + " in " + place
	switch {
	case e.Home:
		text = "the way back to " + e.To.Name() + " in " + place
	case e.Entry == events.Mode:
		text = "the turn from " + e.From.Name() + " to " + e.To.Name() + " in " + place
	}
	if how := entryWords(e.Entry); how != "" {
		text += ", " + how
	}
	return text
}

// alikeEvents reports whether two events are told in the same words: the same thing
// on the same tones.
func (r *Reading) alikeEvents(a, b events.Event) bool {
	if !events.Alike(r.Score, r.Harmony, a, b) || a.Degree != b.Degree || a.From != b.From || a.To != b.To || !slices.Equal(ends(a.Tones), ends(b.Tones)) {
		return false
	}
	switch a.Kind {
	case events.Appoggiatura, events.Suspension:
		return r.tone(a) == r.tone(b)
	case events.Neapolitan, events.AugmentedSixth, events.Borrowed, events.DeceptiveCadence, events.EvadedCadence:
		c, d := r.chordOf(a), r.chordOf(b)
		return c != nil && d != nil && c.Name() == d.Name()
	}
	return true
}

// ends are the first and the last of some tones.
func ends(tones []score.Class) []score.Class {
	if len(tones) == 0 {
		return nil
	}
	return []score.Class{tones[0], tones[len(tones)-1]}
}

// eventTry is what a player can do about an event: common practice, no source.
func (r *Reading) eventTry(e events.Event) string {
	switch e.Kind {
	case events.Appoggiatura:
		return "lean on it, and let its resolution be softer"
	case events.Suspension:
		what := "held tone"
		if len(e.Notes) > 2 { // its preparation is a note of its own
			what = "repeated tone"
		}
		return "the " + what + " turns into a dissonance: hear it tighten, then let it fall softly"
	case events.Sequence:
		if e.Step > 0 {
			return "one growth, not " + counted(max(e.Members, 2)) + ": keep something back for the last member"
		}
		return "one easing, not " + counted(max(e.Members, 2)) + ": let each member be a little less than the one before"
	case events.Pedal:
		return "the tension lies above the held tone: keep it even and listen to what rubs against it"
	case events.Neapolitan:
		return "the colour to wait for: change the sound there, and do not hurry on to the dominant"
	case events.AugmentedSixth:
		return "its outer tones pull apart into the dominant: hold the sound until they get there"
	case events.Borrowed:
		return "a darker colour, not a louder one"
	case events.FarKey:
		return r.farTry(e)
	case events.DeceptiveCadence, events.EvadedCadence:
		return r.refusedTry(e)
	case events.Elision:
		return "no breath before it: arrive and set out on the same note"
	case events.Hemiola:
		return "count two measures as three long beats"
	case events.BassLine:
		return "let the bass lead, and hear where it is going"
	case events.Quickening:
		return "the harmony itself presses on: do not hurry with it"
	case events.PicardyThird:
		return "let it brighten the last chord, without an accent"
	}
	return ""
}

// farTry is what a player can do where the key changes; where the page is at once louder or
// softer there, no colour comes before it.
func (r *Reading) farTry(e events.Event) string {
	switch {
	case !e.Home && math.Abs(r.Page.Whole.At(e.Start)-r.Page.Whole.Before(e.Start)) >= leastSwitch:
		return "a new place, and the page changes with it: let colour and loudness turn together"
	case e.Home:
		return "home again: let it be heard as an arrival, and settle"
	case e.Entry == events.Mode && e.From.Minor:
		return "let the colour brighten before the loudness"
	case e.Entry == events.Mode:
		return "let the colour darken before the loudness"
	}
	return "a new place: change the colour before the loudness"
}

// refusedTry is what a player can do where a close is refused, and where it comes after all.
func (r *Reading) refusedTry(e events.Event) string {
	text := "the close is refused: take a little time before it, do not relax into it"
	if t, ok := r.realClose(e); ok {
		return text + ", and keep the arrival for " + r.Place(t)
	}
	return text
}

// realClose is the perfect authentic cadence that a refused one is answered by: the first in
// its key, if that is no doubtful one.
func (r *Reading) realClose(e events.Event) (score.Tick, bool) {
	list := r.Harmony.Cadences
	i := slices.IndexFunc(list, func(c phrasing.Cadence) bool {
		return c.At > e.Start && c.Kind == phrasing.PerfectAuthentic && c.Key == e.Key
	})
	if i < 0 || tonal.CertaintyOf(list[i].Confidence) == tonal.Unsure {
		return 0, false
	}
	return list[i].At, true
}

// tone names the foreign tone and where it goes: " F# to G".
func (r *Reading) tone(e events.Event) string {
	n := len(e.Notes)
	if n < 2 {
		return ""
	}
	lean, to := r.Score.Notes[e.Notes[n-2]].Pitch, r.Score.Notes[e.Notes[n-1]].Pitch
	return fmt.Sprintf(" %s to %s", lean.Class(), to.Class())
}

func entryWords(e events.Entry) string {
	switch e {
	case events.Direct:
		return "entered without preparation"
	case events.CommonTone:
		return "entered through a tone that both keys share"
	case events.Pivot:
		return "entered through a chord of both keys"
	case events.Chromatic:
		return "entered by semitones"
	case events.Enharmonic:
		return "entered through a chord that changes its meaning"
	case events.Applied:
		return "entered through its own dominant"
	case events.Mode:
		return "on the same tonic"
	}
	return ""
}

func sequenceStep(e events.Event) string {
	n := max(e.Step, -e.Step)
	names := [...]string{"on the same step", "a step", "a third", "a fourth", "a fifth", "a sixth", "a seventh", "an octave"}
	if n == 0 || n >= len(names) {
		return fmt.Sprintf("%d members", max(e.Members, 2))
	}
	return fmt.Sprintf("each time %s %s", names[n], map[bool]string{true: "higher", false: "lower"}[e.Step > 0])
}

// semitoneShare says whether every step is a semitone, or most are.
func semitoneShare(tones []score.Class) string {
	for i := 1; i < len(tones); i++ {
		if d := (tones[i].PC() - tones[i-1].PC() + 12) % 12; d != 1 && d != 11 {
			return "mostly by semitones"
		}
	}
	return "by semitones"
}

// bassWay says where a bass walks: "up by semitones from G to C (G G# A A# B C)".
func bassWay(e events.Event) string {
	const named = 8 // more tones than that are not spelled out
	way := map[bool]string{true: "up", false: "down"}[e.Step > 0]
	if e.Chromatic {
		way += " " + semitoneShare(e.Tones)
	}
	n := len(e.Tones)
	if n > 1 {
		way += fmt.Sprintf(" from %s to %s", e.Tones[0], e.Tones[n-1])
	}
	if n > 2 && n <= named {
		way += fmt.Sprint(" (", joined(e.Tones), ")")
	}
	if e.Lament {
		way += ", a lament bass,"
	}
	return way
}

func joined(tones []score.Class) string {
	names := make([]string, len(tones))
	for i, t := range tones {
		names[i] = t.String()
	}
	return strings.Join(names, " ")
}
