package stated

import (
	"slices"
	"sort"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// FromSymbols takes the chord symbols printed in the score as its chords,
// in the keys of the chords heard. Each holds until the next one; "none" (N.C.)
// leaves a gap. Of several symbols at one moment the first counts. Before the
// first symbol the chords heard stay; without any, all of them.
func FromSymbols(s *score.Score, heard []tonal.Chord) []tonal.Chord {
	list := append([]score.ChordSymbol(nil), s.Symbols...)
	sort.SliceStable(list, func(i, j int) bool { return list[i].At < list[j].At })
	list = slices.CompactFunc(list, func(a, b score.ChordSymbol) bool { return a.At == b.At })
	var out []tonal.Chord
	for i, y := range list {
		end := s.Length()
		if i+1 < len(list) {
			end = list[i+1].At
		}
		under := heardAt(heard, y.At)
		c, ok := symbolChord(y, under.Key)
		if !ok || end <= y.At {
			continue
		}
		c.Start, c.End, c.KeyConfidence = y.At, end, under.KeyConfidence
		if len(out) == 0 {
			out = until(heard, y.At)
		}
		out = append(out, c)
	}
	if len(out) == 0 {
		return heard
	}
	return out
}

// heardAt is the chord heard at t, or the last one before it; the first if there is none.
func heardAt(heard []tonal.Chord, t score.Tick) tonal.Chord {
	i := sort.Search(len(heard), func(i int) bool { return heard[i].Start > t }) - 1
	if i = max(i, 0); i < len(heard) {
		return heard[i]
	}
	return tonal.Chord{}
}

// until is the part of a list of chords before t.
func until(chords []tonal.Chord, t score.Tick) []tonal.Chord {
	var out []tonal.Chord
	for _, c := range chords {
		if c.Start < t {
			c.End = min(c.End, t)
			out = append(out, c)
		}
	}
	return out
}

// symbolChord spells one printed symbol; false if it names no chord.
func symbolChord(y score.ChordSymbol, k tonal.Key) (tonal.Chord, bool) {
	root, hasRoot := symbolRoot(y.Root, k)
	kind, ok := kindOf(y, root)
	if !ok || !hasRoot {
		return tonal.Chord{}, false
	}
	root += score.Class(kind.shift)
	c := tonal.Chord{
		Key: k, Root: root, Given: true, Confidence: 1, Certainty: tonal.Sure,
		Why: "printed symbol " + symbolText(y),
	}
	c.Tones = withDegrees(root, kind.above, y.Degrees)
	if len(c.Tones) == 0 {
		return tonal.Chord{}, false
	}
	c.Quality = kind.quality
	if c.Quality == tonal.NoQuality || len(y.Degrees) > 0 {
		if q := qualityOfTones(c.Tones, root, k); q != tonal.NoQuality {
			c.Quality = q
		}
	}
	setBass(&c, y, kind.inversion)
	n, named := tonal.NameChord(coreTones(c), c.Bass, k)
	if !named {
		n = tonal.Numeral{Quality: c.Quality, Inversion: c.Inversion}
	}
	c.Numeral = n
	return c, true
}

// kindOf is what the symbol's kind is made of, or what its printed text says
// where the kind is none of the standard's or leaves it open.
func kindOf(y score.ChordSymbol, root score.Class) (symbolKind, bool) {
	kind, ok := symbolKinds[y.Kind]
	if ok && !(y.Kind == "other" && len(y.Degrees) == 0) {
		return kind, true
	}
	tones, read := tonesOfText(root, y.Text)
	if !read {
		return kind, ok
	}
	kind = symbolKind{}
	for _, t := range tones {
		kind.above = append(kind.above, int(t-root))
	}
	return kind, true
}

func symbolText(y score.ChordSymbol) string {
	text := y.Root + " " + y.Kind
	if y.Text != "" {
		text = y.Root + y.Text
	}
	if y.Bass != "" {
		text += "/" + y.Bass
	}
	return text
}

// symbolRoot reads a root: a letter, "function:V" or "numeral:4" in the key.
func symbolRoot(text string, k tonal.Key) (score.Class, bool) {
	if f, ok := strings.CutPrefix(text, "function:"); ok {
		n, ok := tonal.ParseNumeral(strings.TrimRight(f, "0123456789"), k)
		if !ok {
			return 0, false
		}
		return n.Root(k), true
	}
	if d, ok := strings.CutPrefix(text, "numeral:"); ok {
		alter := strings.Count(d, "#") - strings.Count(d, "b")
		d = strings.Trim(d, "#b")
		if len(d) != 1 || d[0] < '1' || d[0] > '7' {
			return 0, false
		}
		return k.Degree(int(d[0]-'0')) + score.Class(7*alter), true
	}
	return score.ParseClass(text)
}

// setBass reads the bass note, or the inversion, of a symbol. A bass foreign to
// the chord is a pedal below it.
func setBass(c *tonal.Chord, y score.ChordSymbol, usual int) {
	c.Bass = c.Root
	if b, ok := score.ParseClass(y.Bass); ok {
		for i, t := range c.Tones {
			if t == b {
				c.Bass, c.Inversion = b, min(i, 3)
				return
			}
		}
		c.Pedal = true
		return
	}
	i := usual
	if y.Inversion >= 0 {
		i = y.Inversion
	}
	if i < len(c.Tones) && i <= 3 {
		c.Bass, c.Inversion = c.Tones[i], i
	}
}

// coreTones are the tones that decide the chord's name: its quality's own, or
// all of them if it has none.
func coreTones(c tonal.Chord) []score.Class {
	if c.Quality == tonal.NoQuality {
		return c.Tones
	}
	return c.Quality.Tones(c.Root)
}

// symbolKind is what a MusicXML kind is made of.
type symbolKind struct {
	quality   tonal.Quality // NoQuality: told from the tones
	above     []int         // tones above the root, on the line of fifths
	shift     int           // from the printed root to the root of the quality
	inversion int           // the usual one
}

// Intervals above the root on the line of fifths.
const (
	unison, majorSecond, minorThird, majorThird = 0, 2, -3, 4
	fourth, diminishedFifth, fifth, raisedFifth = -1, -6, 1, 8
	majorSixth, lowSeventh, minorSeventh        = 3, -9, -2
	majorSeventh, raisedFourth, raisedSecond    = 5, 6, 9
	sharpSixth                                  = 10
)

// symbolKinds are the 33 values of kind in MusicXML 4.0 (W3C Music Notation
// Community Group, 2021), with their contents as given there. The Italian,
// French and German sixths carry no contents in the standard: the root printed
// is taken as the lowered sixth degree they stand on, and the Neapolitan's as
// the lowered second, in first inversion; Tristan is the chord of the opera's
// second measure (all from memory).
var symbolKinds = map[string]symbolKind{
	"major":              {tonal.Major, []int{0, majorThird, fifth}, 0, 0},
	"minor":              {tonal.Minor, []int{0, minorThird, fifth}, 0, 0},
	"augmented":          {tonal.Augmented, []int{0, majorThird, raisedFifth}, 0, 0},
	"diminished":         {tonal.Diminished, []int{0, minorThird, diminishedFifth}, 0, 0},
	"dominant":           {tonal.DominantSeventh, []int{0, majorThird, fifth, minorSeventh}, 0, 0},
	"major-seventh":      {tonal.MajorSeventh, []int{0, majorThird, fifth, majorSeventh}, 0, 0},
	"minor-seventh":      {tonal.MinorSeventh, []int{0, minorThird, fifth, minorSeventh}, 0, 0},
	"diminished-seventh": {tonal.DiminishedSeventh, []int{0, minorThird, diminishedFifth, lowSeventh}, 0, 0},
	"augmented-seventh":  {tonal.Augmented, []int{0, majorThird, raisedFifth, minorSeventh}, 0, 0},
	"half-diminished":    {tonal.HalfDiminished, []int{0, minorThird, diminishedFifth, minorSeventh}, 0, 0},
	"major-minor":        {tonal.MinorMajorSeventh, []int{0, minorThird, fifth, majorSeventh}, 0, 0},
	"major-sixth":        {tonal.Major, []int{0, majorThird, fifth, majorSixth}, 0, 0},
	"minor-sixth":        {tonal.Minor, []int{0, minorThird, fifth, majorSixth}, 0, 0},
	"dominant-ninth":     {tonal.DominantSeventh, []int{0, majorThird, fifth, minorSeventh, majorSecond}, 0, 0},
	"major-ninth":        {tonal.MajorSeventh, []int{0, majorThird, fifth, majorSeventh, majorSecond}, 0, 0},
	"minor-ninth":        {tonal.MinorSeventh, []int{0, minorThird, fifth, minorSeventh, majorSecond}, 0, 0},
	"dominant-11th":      {tonal.DominantSeventh, []int{0, majorThird, fifth, minorSeventh, majorSecond, fourth}, 0, 0},
	"major-11th":         {tonal.MajorSeventh, []int{0, majorThird, fifth, majorSeventh, majorSecond, fourth}, 0, 0},
	"minor-11th":         {tonal.MinorSeventh, []int{0, minorThird, fifth, minorSeventh, majorSecond, fourth}, 0, 0},
	"dominant-13th":      {tonal.DominantSeventh, []int{0, majorThird, fifth, minorSeventh, majorSecond, fourth, majorSixth}, 0, 0},
	"major-13th":         {tonal.MajorSeventh, []int{0, majorThird, fifth, majorSeventh, majorSecond, fourth, majorSixth}, 0, 0},
	"minor-13th":         {tonal.MinorSeventh, []int{0, minorThird, fifth, minorSeventh, majorSecond, fourth, majorSixth}, 0, 0},
	"suspended-second":   {tonal.Suspended, []int{0, majorSecond, fifth}, 0, 0},
	"suspended-fourth":   {tonal.Suspended, []int{0, fourth, fifth}, 0, 0},
	"Neapolitan":         {tonal.Major, []int{0, majorThird, fifth}, 0, 1},
	"Italian":            {tonal.Italian, tonal.Italian.Above(), sharpSixth, 1},
	"French":             {tonal.French, tonal.French.Above(), raisedFourth, 2},
	"German":             {tonal.German, tonal.German.Above(), sharpSixth, 1},
	"pedal":              {tonal.NoQuality, []int{0}, 0, 0},
	"power":              {tonal.NoQuality, []int{0, fifth}, 0, 0},
	"Tristan":            {tonal.NoQuality, []int{0, raisedFourth, sharpSixth, raisedSecond}, 0, 0},
	"other":              {tonal.NoQuality, []int{0}, 0, 0},
	"none":               {},
}

// plainDegree are the intervals of degrees 1–7 in a dominant chord, against
// which added degrees are altered (MusicXML 4.0, degree-alter).
var plainDegree = [8]int{0, unison, majorSecond, majorThird, fourth, fifth, majorSixth, minorSeventh}

// withDegrees spells a kind on its root, with tones added, altered or left out.
func withDegrees(root score.Class, above []int, degrees []score.Degree) []score.Class {
	tones := make([]score.Class, len(above))
	for i, f := range above {
		tones[i] = root + score.Class(f)
	}
	for _, d := range degrees {
		if d.Value < 1 {
			continue
		}
		place := (d.Value-1)%7 + 1
		t := root + score.Class(plainDegree[place]+7*int(d.Alter))
		at := indexOfStep(tones, t.Step())
		switch {
		case d.Type == "subtract" && at >= 0:
			tones = append(tones[:at], tones[at+1:]...)
		case d.Type == "alter" && at >= 0:
			tones[at] += score.Class(7 * int(d.Alter))
		case d.Type == "add" || d.Type == "alter":
			tones = append(tones, t)
		}
	}
	return tones
}

// indexOfStep is the tone on a letter, -1 if there is none.
func indexOfStep(tones []score.Class, step int) int {
	for i, t := range tones {
		if t.Step() == step {
			return i
		}
	}
	return -1
}

// qualityOfTones names a set of tones on a root: the fullest quality all of
// whose tones are there; an open fifth takes the third of the key.
func qualityOfTones(tones []score.Class, root score.Class, k tonal.Key) tonal.Quality {
	has := map[score.Class]bool{}
	for _, t := range tones {
		has[t] = true
	}
	best := tonal.NoQuality
	for _, q := range tonal.Qualities() {
		own := q.Tones(root)
		if !q.AugmentedSixth() && allIn(own, has) && (best == tonal.NoQuality || len(own) > len(best.Above())) {
			best = q
		}
	}
	if best == tonal.NoQuality && len(tones) == 2 && has[root+fifth] {
		best = tonal.Minor
		for d := 1; d <= 7; d++ {
			if k.Degree(d) == root+majorThird {
				best = tonal.Major
			}
		}
	}
	return best
}

func allIn(tones []score.Class, has map[score.Class]bool) bool {
	for _, t := range tones {
		if !has[t] {
			return false
		}
	}
	return true
}
