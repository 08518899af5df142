package page

import (
	"math"
	"strings"
	"testing"

	"hairpin/dynamics/written"
)

// Runs of letters beyond the ordered series of eight (Gehrkens 1914, § 120): each
// further p halves what is left, each further f adds half a step up to the loudest;
// more than eight letters are no mark (our choices).
func TestPlainLevel(t *testing.T) {
	for text, want := range map[string]float64{
		"p": 3, "pp": 2, "ppp": 1, "pppp": 0.5, "ppppp": 0.25, "pppppp": 0.125, "f": 6, "ff": 7, "fff": 8, "ffff": 8.5,
		strings.Repeat("p", 8): 1.0 / 32, strings.Repeat("f", 8): loudest,
	} {
		if got, ok := plainLevel(text); !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("%s is %g (%v), want %g", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "pf", "fp", "m", strings.Repeat("p", 9), strings.Repeat("f", 9)} {
		if got, ok := plainLevel(text); ok {
			t.Errorf("%q is level %g", text, got)
		}
	}
}

// Accents in letters: s, r or z stress one note, p after them says what follows
// (Gehrkens 1914, §§ 121–123; MusicXML 4.0). What is none of these is no mark.
func TestAccentMarks(t *testing.T) {
	for text, want := range map[string]struct{ steps, level, then float64 }{
		"sf": {sfSize, 0, -1}, "sfz": {sfSize, 0, -1}, "fz": {sfSize, 0, -1}, "rf": {sfSize, 0, -1}, "rfz": {sfSize, 0, -1},
		"sff": {sffSize, 0, -1}, "sffz": {sffSize, 0, -1}, "sfff": {sffSize, 0, -1}, "sfp": {sfSize, 0, P}, "sfzp": {sfSize, 0, P}, "sfpp": {sfSize, 0, PP},
		"fp": {0, F, P}, "fpp": {0, F, PP}, "ffp": {0, FF, P}, "fffp": {0, FFF, P}, "ffffp": {0, FFF, P}, "mfp": {0, MF, P},
	} {
		acts, ok := readAccentMark(text)
		if !ok || len(acts) == 0 || acts[0].kind != accent || math.Abs(acts[0].steps-want.steps)+math.Abs(acts[0].level-want.level) > 1e-9 {
			t.Errorf("%s is read %+v", text, acts)
			continue
		}
		if then := len(acts) == 2; then != (want.then >= 0) || then && math.Abs(acts[1].level-want.then) > 1e-9 {
			t.Errorf("%s: then %+v, want %g", text, acts[1:], want.then)
		}
		if acts[0].unsure != (text[0] == 'r') {
			t.Errorf("%s is unsure: %v", text, acts[0].unsure)
		}
	}
	for _, text := range []string{"", "s", "z", "sz", "p", "f", "ff", "ssf", "srf", "sfx", "mp", "sfm"} {
		if acts, ok := readAccentMark(text); ok {
			t.Errorf("%q is read %+v", text, acts)
		}
	}
}

// An instrument rests if it is silent for a whole measure, at least.
func TestRestsOf(t *testing.T) {
	for put, want := range map[string]int{"2:1#2 rest 3:1": 1, "2:2#2 rest 3:2": 1, "2:1#2 rest 2:4": 0, "2:2#2 rest 3:1": 0, "2:1#2 rest 4:1": 1, "1:1#2 rest 3:1": 0, "8:1#2 rest 9:1": 0} {
		s := written.Score(t, put)
		if got := restsOf(s, []int{1}); len(got) != want {
			t.Errorf("%s: %v, want %d", put, got, want)
		}
	}
}
