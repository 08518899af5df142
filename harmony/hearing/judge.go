package hearing

import (
	"fmt"
	"strings"

	"hairpin/harmony/decode"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// judge says how sure a decoded chord is, and why.
func judge(c *tonal.Chord, m *decode.Model, g decode.Segment) {
	d := g.Doubt
	c.Confidence, c.KeyConfidence = m.Odds.ChordRight(d), m.Odds.KeyRight(d)
	c.Certainty = tonal.CertaintyOf(c.Confidence)
	if d.Rival >= 0 {
		rival := ChordOf(m.Labels[d.Rival], decode.Segment{Key: d.RivalKey, Tonic: d.Root - m.Labels[d.Rival].Root, Label: d.Rival})
		c.Rival = otherThan(c, rival.Name())
	}
	c.RivalClose = d.Explained >= mostHeard && c.Certainty != tonal.Sure && c.Rival != ""
	c.Why = reason(c, d)
}

// otherThan is the name of a rival, "" if it is the chord's own: a second reading that
// differs by its key alone is none worth naming.
func otherThan(c *tonal.Chord, rival string) string {
	if rival == c.Name() {
		return ""
	}
	return rival
}

// mostHeard is the share of what sounds that a chord explains at least, for the
// rest not to be worth a word.
const mostHeard = 0.6

// reason puts the evidence for a chord into a phrase.
func reason(c *tonal.Chord, d decode.Doubt) string {
	share := fmt.Sprintf("%s: %.0f %% of what sounds", toneNames(c.Tones), 100*d.Explained)
	if implied := silentTones(c, d); implied != "" {
		share += ", " + implied + " only implied"
	}
	switch {
	case d.Explained < mostHeard:
		share += ", the rest is taken as passing"
	case c.RivalClose:
		share += ", but " + c.Rival + " is nearly as good"
	}
	return share
}

// silentTones names the tones of a chord that do not sound.
func silentTones(c *tonal.Chord, d decode.Doubt) string {
	var tones []score.Class
	for _, r := range d.Silent {
		tones = append(tones, c.Tones[r])
	}
	return toneNames(tones)
}

func toneNames(tones []score.Class) string {
	names := make([]string, len(tones))
	for i, t := range tones {
		names[i] = t.String()
	}
	return strings.Join(names, " ")
}

// noHome is the probability of a home key below which none is taken to rule: a
// third of the weight it can have.
const noHome = 0.13

// Caution tells the reader where an analysis of harmony cannot be trusted.
func Caution(slices []tonal.Slice, homeConfidence float64) string {
	var alone, all score.Tick
	notes := 0
	for _, sl := range slices {
		if len(sl.Notes) == 0 {
			continue
		}
		all += sl.End - sl.Start
		if len(sl.Notes) == 1 {
			alone += sl.End - sl.Start
		}
		notes++
	}
	switch {
	case notes < 4:
		return "too few notes to hear a key: chords and tension are guesses"
	case alone == all:
		return "one line alone: its chords are only implied, read them as suggestions"
	case homeConfidence < noHome:
		return "no key rules this music for long: distances from the tonic mean little"
	}
	return ""
}
