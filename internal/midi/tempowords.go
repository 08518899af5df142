package midi

import (
	"math"
	"slices"
	"sort"
	"strings"
	"unicode"
)

// How words change the tempo. Players differ widely and no page says how far;
// these are moderate figures of our own (common practice, no source).
const (
	slowing   = 0.75 // a ritardando or rallentando comes down to three quarters of the tempo,
	quickener = 1.2  // an accelerando goes up by a fifth,
	dying     = 0.87 // calando and the like slow down a little;
	held      = 0.85 // a ritenuto does so at once.
	mosso     = 0.15 // più and meno mosso change it for good
	small     = 0.5  // with poco half of that,
	large     = 1.4  // with molto more
	measures  = 2    // for so long where nothing ends it
	slowest   = 0.5  // several words together stay
	fastest   = 1.6  // between these
)

// tempoChange is what a word asks of the tempo.
type tempoChange struct {
	to      float64 // factor of the tempo to reach, 1 for none
	sudden  bool    // at once
	lasting bool    // a new tempo, which a tempo does not undo
	back    bool    // a tempo: first of all to the tempo before
	first   bool    // tempo primo: to the first tempo of all
}

// wordStems are the beginnings of words that change the tempo, and whole words
// where a full stop follows.
var wordStems = [...]struct {
	stem   string
	change tempoChange
}{
	{"ritenut", tempoChange{to: held, sudden: true}}, {"riten.", tempoChange{to: held, sudden: true}},
	{"retenu", tempoChange{to: held, sudden: true}}, {"zurückgehalten", tempoChange{to: held, sudden: true}},
	{"rit.", tempoChange{to: slowing}}, {"ritard", tempoChange{to: slowing}},
	{"rall.", tempoChange{to: slowing}}, {"rallent", tempoChange{to: slowing}}, {"ralent", tempoChange{to: slowing}},
	{"allarg", tempoChange{to: slowing}}, {"slent", tempoChange{to: slowing}}, {"cédez.", tempoChange{to: slowing}},
	{"zurückhalten", tempoChange{to: slowing}}, {"verlangsam", tempoChange{to: slowing}}, {"langsamer.", tempoChange{to: slowing}},
	{"breiter.", tempoChange{to: slowing}},
	{"calando.", tempoChange{to: dying}}, {"morendo.", tempoChange{to: dying}}, {"smorz", tempoChange{to: dying}},
	{"accel", tempoChange{to: quickener}}, {"stringend", tempoChange{to: quickener}}, {"string.", tempoChange{to: quickener}},
	{"affrett", tempoChange{to: quickener}}, {"beschleun", tempoChange{to: quickener}}, {"schneller.", tempoChange{to: quickener}},
	{"pressez.", tempoChange{to: quickener}}, {"drängend", tempoChange{to: quickener}},
}

// readTempoWords says what a direction asks of the tempo; false for nothing.
func readTempoWords(text string) (c tempoChange, ok bool) {
	words := lettersOf(text)
	line := " " + strings.Join(words, " ") + " "
	has := func(list ...string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return strings.Contains(line, " "+w+" ") })
	}
	if has("senza", "non", "sans", "ohne", "nicht", "rubato") {
		return c, false
	}
	c.to = 1
	switch {
	case has("più mosso", "piu mosso", "plus vite"):
		c = tempoChange{to: 1 + mosso, sudden: true, lasting: true}
	case has("meno mosso", "moins vite"):
		c = tempoChange{to: 1 - mosso, sudden: true, lasting: true}
	default:
		for _, w := range words {
			c = changeOf(w, c)
		}
	}
	degree := 1.0
	if has("poco", "etwas", "peu") && !has("poco a poco", "peu à peu") {
		degree = small
	} else if has("molto", "assai", "sehr", "très") {
		degree = large
	}
	c.to = 1 + (c.to-1)*degree
	c.first = has("tempo primo", "tempo i", "tempo 1", "primo tempo", "1er mouvement", "erstes zeitmaß")
	c.back = c.first || has("a tempo", "in tempo", "im tempo", "au mouvement", "im zeitmaß")
	return c, c.back || math.Abs(c.to-1) > 0.01
}

// lettersOf are the words of a text in small letters, without points and commas.
func lettersOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// changeOf is what a single word asks for, or else the change known so far.
func changeOf(word string, sofar tempoChange) tempoChange {
	for _, s := range wordStems {
		whole, exact := strings.CutSuffix(s.stem, ".")
		if exact && word == whole || !exact && strings.HasPrefix(word, s.stem) {
			return s.change
		}
	}
	return sofar
}

// bend is a stretch in which words multiply the tempo, from one factor to another.
type bend struct {
	from, to   Tick
	start, end float64
}

// bent follows the words that change the tempo of the page, in steps of an
// eighth note. A gradual change holds until the next such word, tempo of the
// page, double bar line or the end of its dashes, at most for two measures; then
// the tempo before returns. Where a tempo of the page stands at the word itself,
// that alone counts.
func (p *performer) bent(list []Tempo) []Tempo {
	passing, lasting := p.bends(list)
	if len(passing)+len(lasting) == 0 {
		return list
	}
	var times []Tick
	for _, t := range list {
		times = append(times, t.At)
	}
	for _, b := range slices.Concat(passing, lasting) {
		for t := b.from; t < b.to; t += p.bendStep() {
			times = append(times, t)
		}
		times = append(times, b.to)
	}
	slices.Sort(times)
	var out []Tempo
	for _, t := range slices.Compact(times) {
		now := tempoAt(list, t) * p.factor(passing, t) * p.factor(lasting, t)
		if k := len(out); t < p.out.Length && (k == 0 || math.Abs(out[k-1].PerMin-now) > 1e-6) {
			out = append(out, Tempo{t, now})
		}
	}
	return out
}

func (p *performer) bendStep() Tick { return max(p.out.Quarter/2, 1) }

// factor is what the stretches make of the tempo from a moment on, for one step.
func (p *performer) factor(list []bend, at Tick) float64 {
	i := sort.Search(len(list), func(i int) bool { return list[i].from > at }) - 1
	if i < 0 || at >= list[i].to {
		return 1
	}
	b := list[i]
	end := min(b.to, at+p.bendStep())
	middle := float64(at+end-2*b.from) / float64(2*(b.to-b.from))
	return b.start + (b.end-b.start)*middle
}

// bends lists the gradual changes and the lasting ones, each in order and apart.
func (p *performer) bends(list []Tempo) (passing, lasting []bend) {
	for i, w := range p.s.Words {
		c, ok := readTempoWords(w.Text)
		at := p.tick(w.At)
		if !ok || w.Hidden || p.saidBefore(i, c) || at > 0 && hasTempo(list, at) || at >= p.out.Length {
			continue
		}
		if c.lasting || c.first {
			lasting = append(lasting, p.lasting(list, lasting, c, at))
		}
		if k := len(passing) - 1; k >= 0 {
			passing[k].to = min(passing[k].to, at)
		}
		if !c.lasting && math.Abs(c.to-1) > 0.01 {
			passing = append(passing, p.passing(list, passing, c, i))
		}
	}
	return passing, lasting
}

// lasting is a new tempo until the next one of the page; it ends the one before.
func (p *performer) lasting(list []Tempo, before []bend, c tempoChange, at Tick) bend {
	factor := c.to
	if k := len(before) - 1; k >= 0 && before[k].to > at {
		factor *= before[k].end
		before[k].to = at
	}
	if c.first {
		factor = list[0].PerMin / tempoAt(list, at)
	}
	return bend{at, nextTempo(list, at, p.out.Length), factor, factor}
}

// passing is a gradual change; it goes on from the one that it follows directly.
func (p *performer) passing(list []Tempo, before []bend, c tempoChange, word int) bend {
	at := p.tick(p.s.Words[word].At)
	now := 1.0
	if k := len(before) - 1; k >= 0 && before[k].to == at && !c.back {
		now = before[k].end
	}
	b := bend{at, min(p.bendEnd(word), nextTempo(list, at, p.out.Length)), now, min(max(now*c.to, slowest), fastest)}
	if c.sudden {
		b.start = b.end
	}
	return b
}

// saidBefore reports whether another part has asked for the same at the same time.
func (p *performer) saidBefore(i int, c tempoChange) bool {
	for k := i - 1; k >= 0 && p.s.Words[k].At == p.s.Words[i].At; k-- {
		if b, ok := readTempoWords(p.s.Words[k].Text); ok && b == c && !p.s.Words[k].Hidden {
			return true
		}
	}
	return false
}

// bendEnd is where the change that a word asks for ends.
func (p *performer) bendEnd(word int) Tick {
	w := p.s.Words[word]
	m := p.s.Measures[p.s.MeasureAt(w.At)]
	end := min(w.At+measures*max(m.Nominal, m.Length), p.s.Length())
	i := sort.Search(len(p.s.Dashes), func(i int) bool { return p.s.Dashes[i].Start >= w.At })
	for ; i < len(p.s.Dashes) && p.s.Dashes[i].Start <= w.At+p.s.Division; i++ {
		if d := p.s.Dashes[i]; d.Part == w.Part {
			end = max(d.End, w.At+1)
			break
		}
	}
	i = sort.Search(len(p.s.DoubleBar), func(i int) bool { return p.s.DoubleBar[i] > w.At })
	if i < len(p.s.DoubleBar) {
		end = min(end, p.s.DoubleBar[i])
	}
	return max(p.tick(end), p.tick(w.At)+1)
}

// hasTempo reports whether the page has a tempo of its own at a moment.
func hasTempo(list []Tempo, at Tick) bool {
	i := sort.Search(len(list), func(i int) bool { return list[i].At >= at })
	return i < len(list) && list[i].At == at
}

// nextTempo is the first tempo of the page after a moment, or the end.
func nextTempo(list []Tempo, at, end Tick) Tick {
	if i := sort.Search(len(list), func(i int) bool { return list[i].At > at }); i < len(list) {
		return list[i].At
	}
	return end
}

// tempoAt is the tempo of the page at a moment; the list begins at 0.
func tempoAt(list []Tempo, at Tick) float64 {
	i := sort.Search(len(list), func(i int) bool { return list[i].At > at })
	return list[max(i-1, 0)].PerMin
}
