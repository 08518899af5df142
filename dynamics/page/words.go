package page

import (
	"sort"
	"strings"
	"sync"
)

// readWords reads what a text on the page says about loudness; nil if nothing.
func readWords(text string) []action {
	if out, ok := firstAndSecond(text); ok {
		return out
	}
	r := reader{words: fold(text)}
	if len(r.words) > 24 { // a footnote or title, not an instruction
		return nil
	}
	for r.next() {
	}
	r.bindBack()
	return r.out
}

// fold lowers a text, drops accents and stops, turns the SMuFL letters of
// marks into plain ones, and cuts it into words.
func fold(text string) []string {
	var b strings.Builder
	for _, c := range strings.ToLower(dropInitials(text)) {
		switch {
		case c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '\'' || c == '/' || c == '_':
			b.WriteRune(c)
		case c == '’':
			b.WriteByte('\'')
		case c >= 0xE520 && c <= 0xE526: // SMuFL 1.4, range Dynamics: p m f r s z n
			b.WriteByte("pmfrszn"[c-0xE520])
		case c == ',' || c == ';' || c == '\n':
			b.WriteString(" , ")
		default:
			b.WriteString(plain(c))
		}
	}
	return strings.Fields(b.String())
}

// dropInitials takes out the initials of names, which are no marks: F. Chopin.
func dropInitials(text string) string {
	words := strings.Fields(text)
	for i, w := range words {
		if len(words) > 1 && (w == "F." || w == "P." || w == "F" || w == "P" || w == "N.") {
			words[i] = "_"
		}
	}
	return strings.Join(words, " ")
}

func plain(c rune) string {
	for _, p := range [...][2]string{{"a", "àáâäãª"}, {"e", "èéêë"}, {"i", "ìíîï"}, {"o", "òóôöº°"}, {"u", "ùúûü"}, {"c", "ç"}, {"ss", "ß"}} {
		if strings.ContainsRune(p[1], c) {
			return p[0]
		}
	}
	if c == '–' || c == '—' || c == '-' {
		return " "
	}
	if c == 0x0301 || c == 0x0300 || c == 0x0308 { // combining accents
		return ""
	}
	return " "
}

// firstAndSecond reads "p/f" and "mf-f": the second level counts when repeated.
func firstAndSecond(text string) ([]action, bool) {
	text = strings.NewReplacer("-", "/", "–", "/", " ", "").Replace(text)
	a, b, ok := strings.Cut(text, "/")
	if !ok {
		return nil, false
	}
	one, ok1 := levelMark(a)
	two, ok2 := levelMark(b)
	if !ok1 || !ok2 {
		return nil, false
	}
	two.pass = 2
	return []action{one, two}, true
}

func levelMark(s string) (action, bool) {
	as, ok := readMark(s)
	if !ok || len(as) != 1 || as[0].kind != setLevel {
		return action{}, false
	}
	return as[0], true
}

// reader walks the words of one text.
type reader struct {
	words []string
	at    int
	mods  []modifier // waiting for the word they modify
	out   []action
	pass  int
}

type modifier struct {
	role role
	text string
}

func (r *reader) has(want role) bool {
	for _, m := range r.mods {
		if m.role == want {
			return true
		}
	}
	return false
}

// next reads one term or word; false at the end.
func (r *reader) next() bool {
	if r.at >= len(r.words) {
		return false
	}
	w := r.words[r.at]
	t, n, known := lookup(r.words[r.at:])
	if acts, ok := readMark(w); ok && n <= 1 {
		r.at++
		r.bind(acts, w)
		return true
	}
	if !known {
		r.unknown(w)
		return true
	}
	text := strings.Join(r.words[r.at:r.at+n], " ")
	r.at += n
	r.term(t, text)
	return true
}

// unknown drops modifiers that belong to a word of another kind: più mosso.
func (r *reader) unknown(w string) {
	r.at++
	if w == "," {
		r.bindBack()
		return
	}
	r.mods = nil
}

func (r *reader) term(t term, text string) {
	switch t.role {
	case isLevel:
		r.bind(set(text, t.value), text)
	case isTint:
		r.bind([]action{{kind: tint, level: t.value, text: text}}, text)
	case isRamp:
		r.bind([]action{{kind: ramp, steps: t.value, text: text}}, text)
	case isFade:
		r.bind([]action{{kind: ramp, steps: t.value, slow: true, text: text}}, text)
	case isStep:
		r.bind([]action{{kind: step, steps: t.value, text: text}}, text)
	case isAccent:
		if t.value == 0 {
			acts, _ := readMark("fp")
			r.bind(acts, text)
			return
		}
		r.bind([]action{{kind: accent, steps: t.value, text: text}}, text)
	case joint:
		r.bindBack()
	case silence:
		r.toSilence(text)
	case first:
		r.setPass(1)
	case again:
		r.setPass(2)
	case echo:
		r.out = append(r.out, action{kind: step, steps: -1, echo: true, text: text})
	case atOnce:
		r.atOnce(text)
	default:
		r.mods = append(r.mods, modifier{t.role, text})
	}
}

// atOnce binds forward to a level that follows, else back to the last action.
func (r *reader) atOnce(text string) {
	if r.at < len(r.words) && r.levelAhead() || len(r.out) == 0 {
		r.mods = append(r.mods, modifier{atOnce, text})
		return
	}
	last := &r.out[len(r.out)-1]
	last.sudden, last.text = true, last.text+" "+text
}

func (r *reader) levelAhead() bool {
	if _, ok := levelMark(r.words[r.at]); ok {
		return true
	}
	t, _, ok := lookup(r.words[r.at:])
	return ok && (t.role == isLevel || t.role == isStep || t.role == more || t.role == less || t.role == much)
}

// setPass binds "2nd time" forward to a level that follows, else back to the last action.
func (r *reader) setPass(pass int) {
	n := len(r.out)
	if n == 0 || r.at < len(r.words) && r.levelAhead() {
		r.pass = pass
		return
	}
	r.out[n-1].pass = pass
}

func (r *reader) toSilence(text string) {
	if n := len(r.out); n > 0 && r.out[n-1].kind == ramp {
		r.out[n-1].niente = true
		r.out[n-1].text += " al " + text
	} else if r.has(toward) {
		r.out = append(r.out, action{kind: ramp, steps: -1, niente: true, text: "al " + text})
	} else {
		r.out = append(r.out, set(text, Niente)...)
	}
	r.mods = nil
}

// bind applies the waiting modifiers to new actions.
func (r *reader) bind(acts []action, text string) {
	defer func() { r.mods = nil }()
	for i := range acts {
		acts[i].pass = r.pass
	}
	r.pass = 0
	n := len(r.out)
	lead := acts[0]
	if r.has(toward) && lead.kind == setLevel && n > 0 && r.out[n-1].kind == ramp {
		r.out[n-1].target = modify(lead, r.mods).level
		r.out[n-1].text += " al " + text
		return
	}
	if r.has(negate) {
		r.out = append(r.out, action{kind: cancel, text: r.modText() + text})
		return
	}
	if r.swallow(lead) {
		return
	}
	full := r.modText() + text
	for i, a := range acts {
		a = modify(a, r.mods)
		if i == 0 {
			a.text = full
		}
		r.out = append(r.out, a)
	}
}

// swallow reports whether a ramp word only repeats or continues the ramp
// before it: "dim. smorzando" is one fading.
func (r *reader) swallow(a action) bool {
	n := len(r.out)
	if n == 0 || a.kind != ramp || r.out[n-1].kind != ramp || (a.steps > 0) != (r.out[n-1].steps > 0) {
		return false
	}
	r.out[n-1].slow = r.out[n-1].slow || a.slow
	r.out[n-1].text += " " + a.text
	return true
}

func (r *reader) modText() string {
	var b strings.Builder
	for _, m := range r.mods {
		b.WriteString(strings.Replace(m.text, "piu", "più", 1) + " ") // fold took its accent
	}
	return b.String()
}

// bindBack applies modifiers left at the end of a clause to the action before
// them: "cresc. poco a poco", "p subito".
func (r *reader) bindBack() {
	if n := len(r.out); n > 0 && len(r.mods) > 0 {
		last := &r.out[n-1]
		switch last.kind {
		case ramp, setLevel:
			text := last.text + " " + strings.TrimSpace(r.modText())
			*last = modify(*last, r.mods)
			last.text = text
		}
	}
	r.mods = nil
}

// modify applies modifiers to one action.
func modify(a action, mods []modifier) action {
	roles := map[role]bool{}
	for _, m := range mods {
		roles[m.role] = true
	}
	a.sudden = a.sudden || roles[atOnce]
	a.slow = a.slow || roles[slowly] || roles[always] && a.kind == ramp
	size := 1.0
	if roles[little] {
		size = 0.5
	}
	if roles[much] {
		size = 2
	}
	switch a.kind {
	case setLevel:
		return modifyLevel(a, roles, size)
	case ramp, step, accent:
		a.steps *= size
		if a.kind == ramp && roles[more] {
			a.steps *= 1.5
		}
		if a.kind == step && roles[less] {
			a.steps = -a.steps
		}
		if a.kind == step && roles[always] {
			a.kind, a.slow = ramp, true
		}
	}
	return a
}

// modifyLevel turns più f into a step, poco f into a milder level, sempre più f into a ramp.
func modifyLevel(a action, roles map[role]bool, size float64) action {
	away := 1.0
	if a.level < 4.5 {
		away = -1
	}
	switch {
	case roles[more] || roles[less]:
		if roles[less] {
			away = -away
		}
		kind := step
		if roles[always] || roles[slowly] {
			kind = ramp
		}
		return action{kind: kind, steps: away * size, slow: kind == ramp, sudden: a.sudden, pass: a.pass, text: a.text}
	case roles[extreme] && away > 0:
		a.level = FFF
	case roles[extreme]:
		a.level = PPP
	case roles[half]:
		a.level -= away
	case roles[nearly] || roles[little]:
		a.level -= away / 2
	case roles[much]:
		a.level = Clamp(a.level + away)
	}
	return a
}

type phraseBook struct {
	byFirst map[string][]phrase // longest first
}

type phrase struct {
	words []string
	term  term
}

var book = sync.OnceValue(func() phraseBook {
	b := phraseBook{map[string][]phrase{}}
	for _, t := range terms() {
		for _, text := range strings.Split(t.text, "|") {
			w := strings.Fields(strings.ReplaceAll(text, "-", " "))
			b.byFirst[w[0]] = append(b.byFirst[w[0]], phrase{w, t})
		}
	}
	for _, list := range b.byFirst {
		sort.SliceStable(list, func(i, j int) bool { return len(list[i].words) > len(list[j].words) })
	}
	return b
})

// lookup finds the longest known phrase at the start of words.
func lookup(words []string) (term, int, bool) {
	for _, p := range book().byFirst[words[0]] {
		if len(p.words) <= len(words) && equal(p.words, words[:len(p.words)]) {
			return p.term, len(p.words), true
		}
	}
	return term{}, 0, false
}

func equal(a, b []string) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// Always reports whether a text says sempre or the like.
func Always(text string) bool {
	words := fold(text)
	for i := range words {
		if t, _, ok := lookup(words[i:]); ok && t.role == always {
			return true
		}
	}
	return false
}

// Slows reports whether a text says ritardando or the like.
func Slows(text string) bool {
	for _, w := range fold(text) {
		switch w {
		case "rit", "ritard", "ritardando", "riten", "ritenuto", "rall", "rallentando", "rallent", "slentando", "allargando", "calando", "smorzando", "morendo", "zuruckhaltend", "cedez", "retenez", "langsamer", "retenu":
			return true
		}
	}
	return false
}
