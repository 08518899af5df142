package phrasing

import (
	"math"
	"sort"
	"strings"

	"hairpin/harmony/form"
	"hairpin/score"
)

// surface is what the page shows of points of rest, apart from the harmony.
type surface struct {
	s         *score.Score
	w         Weights
	lines     []line
	lead      int // index into lines, -1 if there is none
	beat      score.Tick
	fermatas  []score.Tick
	bars      []score.Tick     // double bars and repeat signs
	signs     []score.Tick     // new key signatures and metres
	passed    []float64        // measures passed at the start of each measure, and at the end
	slurs     []score.Tick     // onsets of the last notes under the lead's slurs
	sung      []score.Syllable // what the lead sings
	first     score.Tick       // first onset
	end       score.Tick       // last release
	parallels map[score.Tick]bool
	returns   []form.Return
	turns     map[score.Tick]float64 // where the texture changes, and how much
	fugue     *form.Fugue            // nil if it is none
}

func newSurface(s *score.Score, part int, w Weights) *surface {
	return surfaceOf(form.Read(s, part), w)
}

func surfaceOf(page *form.Page, w Weights) *surface {
	s, part := page.Score, page.Part
	v := &surface{s: s, w: w, lines: lines(s, part)}
	v.lead = leadingLine(s, v.lines)
	v.beat = usualBeat(s)
	for _, f := range s.Fermatas {
		v.fermatas = append(v.fermatas, f.At)
	}
	for _, n := range s.Notes {
		if n.Pitched() && n.Signs.Has(score.FermataSign) {
			v.fermatas = append(v.fermatas, n.End()-1)
		}
	}
	for _, t := range s.DoubleBar {
		v.bars = append(v.bars, v.afterEnding(t))
	}
	for _, r := range s.Repeats {
		v.bars = append(v.bars, v.afterEnding(r.At))
	}
	v.signs = form.Signs(s)
	sortTicks(v.fermatas)
	sortTicks(v.bars)
	v.bounds()
	v.passed = passed(s)
	if v.lead >= 0 && len(s.Measures) > 0 {
		v.slurs = v.leadSlurs()
		v.sung = v.leadText()
		v.parallels = v.findParallels()
		v.returns, v.turns = page.Returns, page.Turns()
	}
	if v.fugue = page.Fugue; v.fugue != nil {
		v.lead = -1 // all voices lead
	}
	return v
}

// passed counts the measures up to each; those of a split measure count by their length.
func passed(s *score.Score) []float64 {
	out := make([]float64, len(s.Measures)+1)
	for i, m := range s.Measures {
		out[i+1] = out[i] + float64(m.Length)/float64(max(m.Nominal, m.Length, 1))
	}
	return out
}

func sortTicks(t []score.Tick) {
	sort.Slice(t, func(i, j int) bool { return t[i] < t[j] })
}

// usualBeat is the beat of the metre that governs most measures: a quarter
// where none is printed.
func usualBeat(s *score.Score) score.Tick {
	time := map[score.Tick]score.Tick{}
	best := s.Division
	for _, m := range s.Measures {
		b := m.Beat(s.Division)
		time[b] += m.Length
		if time[b] > time[best] || time[b] == time[best] && b < best {
			best = b
		}
	}
	return max(best, 1)
}

func (v *surface) bounds() {
	v.first = math.MaxInt64
	for _, l := range v.lines {
		if len(l.events) == 0 {
			continue
		}
		v.first = min(v.first, l.events[0].onset)
		for _, e := range l.events {
			v.end = max(v.end, e.end)
		}
	}
}

// leadSlurs are the onsets of the last notes under the leading line's slurs.
func (v *surface) leadSlurs() []score.Tick {
	l := v.lines[v.lead]
	var out []score.Tick
	for _, u := range v.s.Slurs {
		if u.Part != l.part || u.Staff != 0 && u.Staff != l.staff || u.End-u.Start < 2*v.beat {
			continue
		}
		if i := l.before(u.End); i >= 0 && l.events[i].end >= u.End && u.End > l.events[i].onset {
			out = append(out, l.events[i].onset)
		}
		if i := l.before(u.End + 1); i >= 0 && l.events[i].onset == u.End {
			out = append(out, u.End)
		}
	}
	sortTicks(out)
	return out
}

// leadText is what the leading line sings.
func (v *surface) leadText() []score.Syllable {
	l := v.lines[v.lead]
	var out []score.Syllable
	for _, y := range v.s.Syllables {
		if y.Part == l.part && y.Voice == l.voice {
			out = append(out, y)
		}
	}
	return out
}

// insideWord is how strongly words stop where one syllable is sung to the next note: a choice of ours.
const insideWord = -5

// strikes reports whether the leading line strikes a note at a moment.
func (v *surface) strikes(t score.Tick) bool {
	e, ok := v.lines[v.lead].soundingAt(t)
	return ok && e.onset == t
}

// stop is how strongly the words sung on an event stop before the moment t: 1 at a
// full stop and the like, a half at a comma, insideWord where a soloist sings a syllable on
// to the next note or holds one of an unfinished word, else 0 in a word and under a note held.
func (v *surface) stop(e event, t score.Tick) float64 {
	next := sort.Search(len(v.sung), func(i int) bool { return v.sung[i].At > e.onset })
	goesOn := e.end >= t && t < v.end && (next == len(v.sung) || v.sung[next].At != t)
	switch solo := soloist(v.s) >= 0; {
	case next == 0:
		return 0
	case solo && (goesOn && v.strikes(t) || e.end > t && !v.sung[next-1].Ends):
		return insideWord
	case goesOn || !v.sung[next-1].Ends:
		return 0
	}
	text := strings.TrimRight(v.sung[next-1].Text, "\"'’”»)]")
	switch {
	case strings.HasSuffix(text, ","):
		return 0.5
	case text != "" && strings.ContainsAny(text[len(text)-1:], ".;:!?"):
		return 1
	}
	return 0
}

// within reports whether a sorted list has a member in [from, to].
func within(list []score.Tick, from, to score.Tick) bool {
	i := sort.Search(len(list), func(i int) bool { return list[i] >= from })
	return i < len(list) && list[i] <= to
}

// rest is the evidence that the music pauses just before t.
type rest struct {
	lead    float64 // unusual silence of the leading line around t, in beats, at most 2
	all     float64 // share of the moving lines that pause unusually just before t, 0–1
	long    float64 // how much longer the leading line's last note is than usual: 0 usual, 1 nearly three times
	held    float64 // share of the lines that hold a note over t, 0–1
	fermata bool
	slur    bool
	stop    float64 // how strongly the text stops, 0–1, or insideWord
	bar     bool    // a double bar, a repeat sign, or the end of the music
	ground  bool    // a ground bass starts again
	echo    bool    // what starts at t repeats or is repeated
}

// restAt gathers the evidence for a boundary at t.
func (v *surface) restAt(t score.Tick) rest {
	var r rest
	active, silent, held := 0, 0, 0
	for i, l := range v.lines {
		p := l.before(t)
		if p < 0 || t-l.events[p].end > 4*v.beat {
			continue
		}
		active++
		unusual := float64(l.gap(p, v.end)) - 2.5*l.usualGap(p, v.end)
		if l.events[p].end > t {
			held++
		} else if unusual > 0 {
			silent++
		}
		if i == v.lead {
			v.leadRest(&r, l, p, unusual, t)
		}
	}
	if active > 0 {
		r.all = float64(silent) / float64(active)
		r.held = float64(held) / float64(active)
	}
	r.fermata = v.fermataBefore(t)
	r.bar = t >= v.end || within(v.bars, t, t)
	r.echo = v.parallels[t]
	return r
}

// leadRest fills in what the leading line's event p, the last before t, tells.
func (v *surface) leadRest(r *rest, l line, p int, unusual float64, t score.Tick) {
	e := l.events[p]
	r.stop = v.stop(e, t)
	if e.end > t {
		return
	}
	r.lead = math.Max(0, math.Min(2, unusual/float64(v.beat)))
	whole := e.end - e.onset + l.gap(p, v.end)
	r.long = math.Max(0, math.Min(1, math.Log2(float64(whole)/l.usual(p))/1.5))
	if p+2 < len(l.events) && l.events[p+2].onset-l.events[p+1].onset >= whole {
		r.long = 0 // the next note is as long: no gap between groups (Lerdahl & Jackendoff 1983, rule 2b)
	}
	r.slur = within(v.slurs, e.onset, e.onset)
}

// fermataBefore reports whether a note or rest that ends at t, at most two
// beats before it without an attack between, is held by a fermata.
func (v *surface) fermataBefore(t score.Tick) bool {
	i := sort.Search(len(v.fermatas), func(i int) bool { return v.fermatas[i] >= t }) - 1
	if i < 0 {
		return false
	}
	f := v.fermatas[i]
	for _, l := range v.lines {
		p := l.before(t)
		if p >= 0 && l.events[p].onset <= f && l.events[p].end > f && l.events[p].end <= t && t-l.events[p].end <= 2*v.beat {
			return true
		}
	}
	return false
}

// longEnding is how many measures a last ending may have to belong to the section that it
// closes: a choice of ours.
const longEnding = 2

// afterEnding is where a section ends that a bar line seems to close: after its last ending, if
// a short one begins at the bar line, else there.
func (v *surface) afterEnding(t score.Tick) score.Tick {
	for _, e := range v.s.Endings {
		if e.Start == t && t > 0 {
			m := v.s.Measures[v.s.MeasureAt(t)]
			if e.End-e.Start <= longEnding*max(m.Nominal, m.Length) {
				return e.End
			}
		}
	}
	return t
}
