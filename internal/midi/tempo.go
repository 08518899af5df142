package midi

import (
	"cmp"
	"math"
	"slices"

	"hairpin/score"
)

// Where the score says nothing about its tempo.
const usualTempo = 90

// tempoWords are the tempos of the usual words in quarters a minute: the middle
// of the ranges printed on metronomes (common practice, no source).
var tempoWords = [...]struct {
	word   string
	perMin float64
}{
	{"prestissimo", 192}, {"presto", 176}, {"vivacissimo", 164}, {"vivace", 152}, {"allegretto", 108}, {"allegro", 132},
	{"moderato", 96}, {"andantino", 84}, {"andante", 76}, {"larghetto", 63}, {"largo", 48}, {"adagietto", 68}, {"adagio", 60},
	{"lento", 54}, {"grave", 42}, {"langsam", 56}, {"mäßig", 92}, {"lebhaft", 132}, {"schnell", 152},
	{"lent", 54}, {"modéré", 92}, {"vif", 144}, {"slow", 60}, {"fast", 144},
}

// tempos lists the tempos as played. Metronome marks count before playback
// values of the same moment; words only where the score has neither anywhere.
func (p *performer) tempos() {
	var list []Tempo
	marks := slices.Clone(p.s.Tempos)
	slices.SortStableFunc(marks, func(a, b score.Tempo) int {
		return cmp.Or(cmp.Compare(a.At, b.At), btoi(b.Printed)-btoi(a.Printed))
	})
	for _, t := range marks {
		at := p.tick(t.At)
		if k := len(list); t.PerMin > 0 && (k == 0 || list[k-1].At != at) {
			list = append(list, Tempo{at, t.PerMin})
		}
	}
	if len(list) == 0 {
		list = p.wordTempos()
	}
	if len(list) == 0 || list[0].At > 0 {
		first := Tempo{0, usualTempo}
		if len(list) > 0 {
			first.PerMin = list[0].PerMin
		}
		list = append([]Tempo{first}, list...)
	}
	factor := 1.0
	if p.plan.Tempo > 0 {
		factor = p.plan.Tempo / list[0].PerMin
	}
	for i := range list {
		list[i].PerMin = min(max(list[i].PerMin*factor, 4), 1000)
	}
	p.out.Tempos = p.holds(p.bent(list))
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// wordTempos are the tempos that words name; the first word of a direction counts.
func (p *performer) wordTempos() (list []Tempo) {
	for _, w := range p.s.Words {
		perMin, ok := tempoNamed(w.Text)
		if k := len(list); ok && (k == 0 || list[k-1].At < p.tick(w.At)) {
			list = append(list, Tempo{p.tick(w.At), perMin})
		}
	}
	return list
}

func tempoNamed(text string) (perMin float64, ok bool) {
	for _, word := range lettersOf(text) {
		for _, t := range tempoWords {
			if word == t.word {
				return t.perMin, true
			}
		}
	}
	return 0, false
}

// holds slows the tempo down under fermatas, to about five thirds of the
// written length of the note held.
func (p *performer) holds(list []Tempo) []Tempo {
	const slower = 0.6
	end := Tick(-1)
	for _, f := range p.s.Fermatas {
		from := p.tick(f.At)
		to := from
		for _, n := range p.s.Notes[p.s.FirstNote(f.At):] {
			if n.Onset > f.At {
				break
			}
			if n.Part == f.Part && !n.Grace && (to == from || p.tick(n.End()) < to) {
				to = p.tick(n.End())
			}
		}
		if from < end || to <= from {
			continue
		}
		end = to
		list = slowed(list, from, to, slower)
	}
	return list
}

// slowed multiplies the tempo of a stretch.
func slowed(list []Tempo, from, to Tick, factor float64) (out []Tempo) {
	before := list[0].PerMin
	after := before
	started := false
	for _, t := range list {
		switch {
		case t.At <= from:
			before, after = t.PerMin, t.PerMin
			if t.At < from {
				out = append(out, t)
			}
			continue
		case !started:
			out, started = append(out, Tempo{from, before * factor}), true
		}
		if t.At < to {
			after = t.PerMin
			t.PerMin *= factor
		}
		if t.At > to && out[len(out)-1].At < to {
			out = append(out, Tempo{to, after})
		}
		out = append(out, t)
	}
	if !started {
		out = append(out, Tempo{from, before * factor})
	}
	if out[len(out)-1].At < to {
		out = append(out, Tempo{to, after})
	}
	return out
}

// Seconds is the time of a tick from the start.
func (f *Performance) Seconds(t Tick) float64 {
	sum := 0.0
	for i, x := range f.Tempos {
		end := t
		if i+1 < len(f.Tempos) {
			end = min(end, f.Tempos[i+1].At)
		}
		if end > x.At {
			sum += f.seconds(end-x.At, x.PerMin)
		}
	}
	return sum
}

func (f *Performance) seconds(d Tick, perMin float64) float64 {
	return float64(d) / float64(f.Quarter) * 60 / perMin
}

// clock answers Seconds for times in rising order.
type clock struct {
	f     *Performance
	i     int
	since float64 // seconds at tempo i
}

func (c *clock) at(t Tick) float64 {
	tempos := c.f.Tempos
	for c.i+1 < len(tempos) && tempos[c.i+1].At <= t {
		c.since += c.f.seconds(tempos[c.i+1].At-tempos[c.i].At, tempos[c.i].PerMin)
		c.i++
	}
	return c.since + c.f.seconds(t-tempos[c.i].At, tempos[c.i].PerMin)
}

// velocity is a level as MIDI velocity: sixteen a step, near the conventional
// 16 33 49 64 80 96 112 126 for ppp to fff. A note that is played is at least 1.
func velocity(level float64) uint8 {
	return uint8(min(max(math.Round(16*level), 1), 127))
}

// expression is a running level as the value of the expression controller. A
// step is 1.5 decibels by the recommended curve of 40·log10(value/127) (MIDI
// Manufacturers Association 2003, General MIDI 2, recommended practice for
// volume and expression; from memory), so that it moves notes that sound while
// the level changes and leaves most to velocity. Below ppp it goes to silence.
func expression(level float64) uint8 {
	const perStep, loudest = 1.5, 8
	v := 127 * math.Pow(10, (min(level, loudest)-loudest)*perStep/40)
	if level < 1 {
		v *= max(level, 0)
	}
	return uint8(math.Round(v))
}
