package page

import "strings"

// actionKind says what a mark or word asks the player to do.
type actionKind int

const (
	setLevel actionKind = iota // go to Level
	step                       // go Steps from the current level
	ramp                       // grow or fade gradually, Steps says which way and how much
	accent                     // one note or chord stands out, the level stays
	tint                       // a manner that leans to Level if nothing else is said
	cancel                     // no change of level here
)

// action is one thing a mark or word asks for.
type action struct {
	kind   actionKind
	level  float64 // setLevel, tint: the level; accent: the level reached if above the running one, 0 if relative
	steps  float64 // step, ramp, accent: size in steps, negative for softer
	target float64 // ramp: the level named as its end, 0 if none
	niente bool    // ramp: ends in silence
	slow   bool    // ramp: poco a poco, over the whole following passage
	sudden bool    // subito
	pass   int     // 0 every time, 2 only when repeated
	echo   bool
	unsure bool      // readers differ
	text   string    // the words it was read from
	from   CauseKind // where a level comes from that is not printed here; "" if it is
	as     string    // the mark that a part takes from its neighbours; "" for its own
}

// cause is what an action gives as the reason of its level.
func (a action) cause() Cause {
	if a.from != "" {
		return Cause{Kind: a.from, Text: a.text}
	}
	return Cause{Kind: Print, Text: a.text}
}

// Sizes of accents in steps above the running level. That sf is relative to
// the prevailing level: Gehrkens 1914, "Music Notation and Terminology", §122;
// the sizes are common practice, no source.
const (
	sfSize     = 1.0
	sffSize    = 2.0
	accentSize = 0.5
	marcato    = 0.75
	softAccent = 0.25
)

// readMark reads a dynamic mark such as p, sfz, fp; false if it is none.
func readMark(s string) ([]action, bool) {
	switch s {
	case "mp":
		return set(s, MP), true
	case "mf":
		return set(s, MF), true
	case "n":
		return set(s, Niente), true
	case "pf": // MusicXML: soft then loud; older editions: poco forte, the reading taken
		return []action{{kind: setLevel, level: F - 0.5, unsure: true, text: s}}, true
	}
	if v, ok := plainLevel(s); ok {
		return set(s, v), true
	}
	return readAccentMark(s)
}

func set(text string, level float64) []action {
	return []action{{kind: setLevel, level: level, text: text}}
}

// plainLevel reads runs of p or f: ppp, f. Beyond three letters each adds half a step.
func plainLevel(s string) (float64, bool) {
	n := len(s)
	switch {
	case n == 0 || n > 8:
		return 0, false
	case strings.Count(s, "p") == n && n <= 3:
		return P + 1 - float64(n), true
	case strings.Count(s, "p") == n:
		return PPP / float64(int(1)<<(n-3)), true
	case strings.Count(s, "f") == n:
		return min(F-1+float64(min(n, 3))+0.5*float64(max(n-3, 0)), loudest), true
	}
	return 0, false
}

// readAccentMark reads sf, sffz, fz, rfz and the two-event marks fp, sfpp, ffp, mfp.
func readAccentMark(s string) ([]action, bool) {
	if s == "mfp" {
		return []action{{kind: accent, level: MF, text: s}, {kind: setLevel, level: P, text: s}}, true
	}
	head := strings.TrimRight(s, "p")
	soft := s[len(head):]
	body := strings.TrimSuffix(head, "z")
	stress := strings.HasPrefix(body, "s") || strings.HasPrefix(body, "r") || body != head
	fs := strings.TrimLeft(body, "sr")
	if len(body)-len(fs) > 1 || fs == "" || strings.Trim(fs, "f") != "" || !stress && soft == "" {
		return nil, false
	}
	hit := action{kind: accent, steps: sfSize, text: s, unsure: body[0] == 'r'}
	if len(fs) > 1 {
		hit.steps = sffSize
	}
	if !stress {
		hit.level, hit.steps = F-1+float64(min(len(fs), 3)), 0
	}
	out := []action{hit}
	if soft != "" {
		v, _ := plainLevel(soft)
		out = append(out, action{kind: setLevel, level: v, text: s})
	}
	return out, true
}
