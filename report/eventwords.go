package report

import (
	"fmt"
	"strings"

	"hairpin/harmony/events"
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
	case events.Appoggiatura:
		return "the appoggiatura at " + r.At(e.Start) + r.tone(e)
	case events.Suspension:
		return "the suspension at " + r.At(e.Start) + r.tone(e)
	case events.Sequence:
		return fmt.Sprintf("the sequence %s, %s", place, sequenceStep(e))
	case events.Pedal:
		return fmt.Sprintf("the %s pedal %s", map[bool]string{true: "dominant", false: "tonic"}[e.Degree == 5], place)
	case events.Neapolitan, events.AugmentedSixth:
		return "the " + string(e.Kind) + " " + r.placeOf(e) + r.chordName(e)
	case events.Borrowed:
		return "the chord borrowed from " + e.From.Name() + " " + r.placeOf(e) + r.chordName(e)
	case events.FarKey:
		return fmt.Sprintf("the step into %s in %s, %s", e.To.Name(), r.measureOf(e.Start), entryWords(e.Entry))
	case events.DeceptiveCadence, events.EvadedCadence:
		return "the " + string(e.Kind) + " in " + r.measureOf(e.Start)
	case events.Elision:
		return "the end that is a beginning, in " + r.measureOf(e.Start)
	case events.Hemiola:
		return "the hemiola " + place
	case events.BassLine:
		return "the bass that walks " + bassWay(e) + " " + place
	case events.Quickening:
		return "the chords that come quicker " + place
	case events.PicardyThird:
		return "the major third at the end, in " + r.measureOf(e.Start)
	}
	return string(e.Kind) + " " + place
}

// eventTry is what a player can do about an event: common practice, no source.
func (r *Reading) eventTry(e events.Event) string {
	switch e.Kind {
	case events.Appoggiatura:
		return "lean on it, and let its resolution be softer"
	case events.Suspension:
		return "the held tone turns into a dissonance: hear it tighten, then let it fall softly"
	case events.Sequence:
		if e.Step > 0 {
			return "one growth, not " + fmt.Sprint(max(e.Members, 2)) + ": keep something back for the last member"
		}
		return "one easing, not " + fmt.Sprint(max(e.Members, 2)) + ": let each member be a little less than the one before"
	case events.Pedal:
		return "the tension lies above the held tone: keep the pedal even and listen to what rubs against it"
	case events.Neapolitan:
		return "the colour to wait for: change the sound there, and do not hurry on to the dominant"
	case events.AugmentedSixth:
		return "its outer tones pull apart into the dominant: hold the sound until they get there"
	case events.Borrowed:
		return "a darker colour, not a louder one"
	case events.FarKey:
		return "a new place: change the colour before the loudness"
	case events.DeceptiveCadence, events.EvadedCadence:
		return "the close is refused: do not relax into it, the real one is still to come"
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

// tone names the foreign tone and where it goes: ": F# to G".
func (r *Reading) tone(e events.Event) string {
	n := len(e.Notes)
	if n < 2 {
		return ""
	}
	lean, to := r.Score.Notes[e.Notes[n-2]].Pitch, r.Score.Notes[e.Notes[n-1]].Pitch
	return fmt.Sprintf(", %s to %s", lean.Class(), to.Class())
}

func (r *Reading) chordName(e events.Event) string {
	if e.Chord < 0 || e.Chord >= len(r.Harmony.Chords) {
		return ""
	}
	return ", " + r.Harmony.Chords[e.Chord].Name()
}

// placeOf is where an event lies: by its measure if it is short.
func (r *Reading) placeOf(e events.Event) string {
	return "in " + r.Span(e.Start, e.End)
}

func (r *Reading) measureOf(t score.Tick) string { return "m. " + r.Score.At(t).Number }

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

func bassWay(e events.Event) string {
	way := map[bool]string{true: "up", false: "down"}[e.Step > 0]
	if e.Chromatic {
		way += " " + semitoneShare(e.Tones)
	}
	if n := len(e.Tones); n > 1 {
		way += fmt.Sprintf(" from %s to %s", e.Tones[0], e.Tones[n-1])
	}
	if e.Lament {
		way += ", a lament bass"
	}
	return strings.TrimSpace(way)
}
