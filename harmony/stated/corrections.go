package stated

import (
	"bufio"
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Correction is a user's own reading from a moment on, until the next chord heard or corrected.
type Correction struct {
	At      score.Tick
	Key     *tonal.Key     // nil: keep the key heard
	Numeral *tonal.Numeral // nil: only the key is corrected
}

// ReadCorrections reads a musician's own readings, one a line:
//
//	measure beat key numeral
//	12 3 G V65/V    # from beat 3 of measure 12: G major, V65/V
//	20 1 d -        # D minor from here on, chords as heard
//	31 2.5 - iiø65  # the key as heard, another chord
//
// Measures carry their printed number, beats count in the time signature's
// denominator. A hyphen keeps what was heard; # starts a comment. The numeral
// holds until the next chord heard or corrected, the key until the next key
// heard or corrected. The result is sorted by time. A [LineError] names the line and
// says what to do.
func ReadCorrections(r io.Reader, s *score.Score) ([]Correction, error) {
	var out []Correction
	lineOf := map[score.Tick]int{}
	in := bufio.NewScanner(r)
	for n := 1; in.Scan(); n++ {
		text, _, _ := cutComment(in.Text())
		if text == "" {
			continue
		}
		c, err := parseCorrection(text, s)
		if err != nil {
			return nil, &LineError{n, err}
		}
		if before, double := lineOf[c.At]; double {
			return nil, &LineError{n, fmt.Errorf("line %d already corrects this moment: keep one of them", before)}
		}
		lineOf[c.At] = n
		out = append(out, c)
	}
	if err := in.Err(); err != nil {
		return nil, fmt.Errorf("reading the corrections: %w", err)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].At < out[j].At })
	return out, nil
}

// LineError is a correction that cannot be used.
type LineError struct {
	Line int // counted from 1
	Err  error
}

func (e *LineError) Error() string { return fmt.Sprintf("line %d: %v", e.Line, e.Err) }

// Unwrap is what is wrong with the line.
func (e *LineError) Unwrap() error { return e.Err }

// cutComment splits a line at a # that starts it or follows white space; the
// # of F# or #iv is part of a name.
func cutComment(text string) (before, comment string, found bool) {
	text = strings.TrimSpace(strings.TrimPrefix(text, "\ufeff"))
	if strings.HasPrefix(text, "#") {
		return "", text[1:], true
	}
	for i := 1; i < len(text); i++ {
		space := text[i-1] == ' ' || text[i-1] == '\t'
		if text[i] == '#' && space && !startsNumeral(text[i+1:]) {
			return strings.TrimSpace(text[:i]), text[i+1:], true
		}
	}
	return text, "", false
}

// startsNumeral reports whether the text after a # is the rest of a numeral such as #iv or ##IV.
func startsNumeral(s string) bool {
	s = strings.TrimLeft(s, "#")
	return s != "" && strings.ContainsRune("IViv", rune(s[0]))
}

func parseCorrection(text string, s *score.Score) (Correction, error) {
	f := strings.Fields(text)
	if len(f) != 4 {
		return Correction{}, fmt.Errorf("%q is not four entries: write measure, beat, key and numeral, such as \"12 3 G V65\"", text)
	}
	beat, err := strconv.ParseFloat(f[1], 64)
	if err != nil || !(beat >= 1 && beat < 1000) {
		return Correction{}, fmt.Errorf("beat %q is not a number from 1 upward: write 3 or 2.5", f[1])
	}
	at, ok := s.Find(f[0], beat)
	if !ok {
		return Correction{}, fmt.Errorf("the score has no beat %s in a measure %q: use the printed measure number and a beat inside it", f[1], f[0])
	}
	c := Correction{At: at}
	in := tonal.Key{}
	if f[2] != "-" {
		if in, ok = tonal.ParseKey(f[2]); !ok {
			return Correction{}, fmt.Errorf("key %q is unknown: write G or Bb for major, e or bb for minor, or a single - to keep the key heard", f[2])
		}
		c.Key = &in
	}
	if f[3] != "-" {
		n, ok := tonal.ParseNumeral(f[3], in)
		if !ok {
			return Correction{}, fmt.Errorf("numeral %q is unknown: write one such as I, ii65, V7/V or Cad64, or a single - to keep the chord heard", f[3])
		}
		c.Numeral = &n
	}
	if c.Key == nil && c.Numeral == nil {
		return Correction{}, fmt.Errorf("%q corrects nothing: state a key, a numeral or both", text)
	}
	return c, nil
}

// in resolves the correction against the key heard at its moment: the key in
// force, and the numeral as it stands there. A numeral read without a key was
// read as in a major key, where small vii needs no alteration to be the leading
// tone; it is carried over.
func (c Correction) in(heard tonal.Key) (tonal.Key, *tonal.Numeral) {
	if c.Key != nil || c.Numeral == nil {
		if c.Key != nil {
			heard = *c.Key
		}
		return heard, c.Numeral
	}
	n := *c.Numeral
	if heard.Minor && n.Target == 0 && n.Degree == 7 && n.Quality.Small() {
		n.Alter++
	}
	if n.Cadential {
		n.Quality = heard.Triad()
	}
	return heard, &n
}

// Apply overrules a list of chords heard: a corrected numeral holds
// until the next chord heard or corrected, a corrected key until the next key
// heard or corrected. Spans are split where a correction falls inside them.
// Corrections must be sorted by time; end is where the music ends.
func Apply(chords []tonal.Chord, list []Correction, end score.Tick) []tonal.Chord {
	out := append([]tonal.Chord(nil), chords...)
	for _, c := range list {
		out = splitAt(out, c.At, end)
		if i := chordAt(out, c.At); i >= 0 {
			overrule(out, i, c, list)
		}
	}
	return out
}

// chordAt is the index of the chord that governs t, -1 where there is none.
func chordAt(chords []tonal.Chord, t score.Tick) int {
	i := sort.Search(len(chords), func(i int) bool { return chords[i].Start > t }) - 1
	if i < 0 || chords[i].End <= t {
		return -1
	}
	return i
}

// splitAt makes a chord start at t: it cuts the one that sounds, or opens a
// new, nameless one in a gap, in the key before it.
func splitAt(chords []tonal.Chord, t, end score.Tick) []tonal.Chord {
	i := sort.Search(len(chords), func(i int) bool { return chords[i].Start > t })
	if i > 0 && chords[i-1].Start == t {
		return chords
	}
	fresh := tonal.Chord{Start: t, End: end, Confidence: 1}
	if i < len(chords) {
		fresh.End = chords[i].Start
		fresh.Key = chords[i].Key
	}
	if i > 0 {
		fresh.Key = chords[i-1].Key
		if before := chords[i-1]; before.End > t {
			fresh = before
			fresh.Start = t
			chords[i-1].End = t
		}
	}
	if fresh.End <= t {
		return chords
	}
	out := append(chords[:i:i], fresh)
	return append(out, chords[i:]...)
}

// overrule writes the correction into chord i, and its key into the chords
// after it that were heard in the same key as i.
func overrule(chords []tonal.Chord, i int, c Correction, list []Correction) {
	heard := chords[i].Key
	key, numeral := c.in(heard)
	if numeral != nil {
		respell(&chords[i], key, *numeral)
	} else {
		rename(&chords[i], key)
	}
	give(&chords[i])
	if c.Key == nil {
		return
	}
	stop := nextKey(list, c.At)
	for j := i + 1; j < len(chords) && chords[j].Key == heard && chords[j].Start < stop; j++ {
		rename(&chords[j], key)
		chords[j].KeyConfidence = 1
	}
}

// nextKey is the moment of the first correction of a key after t.
func nextKey(list []Correction, t score.Tick) score.Tick {
	for _, c := range list {
		if c.At > t && c.Key != nil {
			return c.At
		}
	}
	return 1 << 62
}

// give marks the chord as named by the user.
func give(c *tonal.Chord) {
	c.Given, c.Confidence, c.KeyConfidence, c.Certainty, c.Rival, c.RivalClose = true, 1, 1, tonal.Sure, "", false
	c.Why = "given by the corrections"
}

// respell sets the chord to a numeral of a key.
func respell(c *tonal.Chord, k tonal.Key, n tonal.Numeral) {
	s := tonal.Spell(n, k)
	c.Key, c.Numeral, c.Root, c.Bass, c.Tones = k, n, s.Root, s.Bass, s.Tones
	c.Quality, c.Inversion, c.Pedal = s.Quality, s.Inversion, false
}

// rename names the chord anew in a key; its tones stay.
func rename(c *tonal.Chord, k tonal.Key) {
	n, ok := tonal.NameChord(c.Tones, c.Bass, k)
	if !ok {
		n = tonal.Numeral{Quality: c.Quality, Inversion: c.Inversion}
	}
	n.Cadential = c.Numeral.Cadential && n.Degree == 1 && n.Target == 0 && n.Inversion == 2
	c.Key, c.Numeral = k, n
}
