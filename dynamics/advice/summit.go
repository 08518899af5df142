package advice

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Summit is the measure that a musician names as the climax of a piece: the goal of its long
// line. Players need not be loudest there, see [Loudest].
type Summit struct {
	Measure    int     // index into Score.Measures
	Confidence float64 // that musicians name it, or about as soon as another
	Heard      float64 // that it or a neighbour is among the loudest twentieth of players' measures
	Certainty  tonal.Certainty
	Causes     []shaping.Cause // what lifts it most above the piece's mean, at most two
}

// Sign is one thing that speaks for a measure as the climax.
type Sign struct {
	Name   string    // in the table of weights
	Values []float64 // by measure
}

// The signs, in the order of their weights.
const (
	signLoud = iota
	signPlace
	signTop
	signUnder
	signMark
	signAccent
	signGrown
	signChord
	signTension
	signSoft
	signs
)

// signNames are the names of the signs in the table.
func signNames() [signs]string {
	return [signs]string{"loudness", "place", "top of the tune", "higher elsewhere", "loudest mark", "emphatic accent", "end of a growth", "telling chord", "tension", "soft"}
}

// SignNames are the names of the signs, in the order of [Material.Signs].
func SignNames() []string { n := signNames(); return n[:] }

// Signs are what speaks for and against each measure as the climax: how loud all causes make
// it, how late it comes, how near the tune is to its top, how much higher it goes where the
// page is as loud, the page's loudest mark, an accent of the kind of sf, the end of a printed
// growth, a six-four, an augmented sixth or a Neapolitan, the tension, and that the page is
// soft on a page that knows f.
func (m Material) Signs() []Sign {
	out := make([]Sign, signs)
	for k, name := range signNames() {
		out[k] = Sign{name, make([]float64, len(m.Score.Measures))}
	}
	c := m.Crests(nil)
	out[signLoud].Values, out[signPlace].Values = c.Loud, c.Place
	m.pageSigns(out)
	m.lineSigns(out)
	if m.Analysis != nil {
		m.chordSigns(out)
	}
	for _, k := range []int{signMark, signAccent} {
		shared(out[k].Values)
	}
	return out
}

// shared makes a sign that many measures bear count for less: of n, the root of n together.
func shared(v []float64) {
	n := 0.0
	for _, x := range v {
		n += x
	}
	for i := range v {
		v[i] /= math.Sqrt(max(n, 1))
	}
}

// pageSigns fills in what is printed.
func (m Material) pageSigns(out []Sign) {
	p := m.Page
	for i := range m.Score.Measures {
		out[signSoft].Values[i] = one(p.Marked && p.Range.High >= page.F && m.loudestIn(i) < page.MP-0.5)
	}
	for _, z := range p.Zones {
		if p.Range.High >= page.MF && z.Text != "" && z.Level >= p.Range.High {
			out[signMark].Values[m.Score.MeasureAt(z.Start)] = 1
		}
	}
	for _, a := range p.Accents {
		if !a.Note && Emphatic(a.Sign) {
			out[signAccent].Values[m.Score.MeasureAt(a.At)] = 1
		}
	}
	for _, t := range Grown(p) {
		if t < m.Score.Length() {
			out[signGrown].Values[m.Score.MeasureAt(t)] = 1
		}
	}
}

// Grown are the moments at which a printed growth ends, in order.
func Grown(p *page.Page) (out []score.Tick) {
	list := p.Whole.Segments
	for i, g := range list {
		if g.Slope > 0 && (i+1 == len(list) || list[i+1].Slope <= 0) {
			out = append(out, g.End)
		}
	}
	return out
}

func one(is bool) float64 {
	if is {
		return 1
	}
	return 0
}

// Emphatic reports whether a sign is of the kind of sf: not a plain accent, nor fp, which
// asks for less at once.
func Emphatic(sign string) bool {
	return strings.HasPrefix(sign, "sf") || strings.HasPrefix(sign, "fz") || strings.HasPrefix(sign, "rf")
}

// loudestIn is the page's highest level in a measure, 0 on a page without marks.
func (m Material) loudestIn(measure int) float64 {
	out, x := 0.0, m.Score.Measures[measure]
	if !m.Page.Marked {
		return out
	}
	for _, t := range x.Every(max(1, x.Beat(m.Score.Division)/2)) {
		out = max(out, m.Page.Whole.At(t))
	}
	return out
}

// lineSigns fills in how high the tune goes, and how much higher in a measure that the page
// makes as loud.
func (m Material) lineSigns(out []Sign) {
	const (
		near   = 4.0  // semitones below the top from which on a measure is not near it
		octet  = 8.0  // semitones that count as all
		asMuch = 0.25 // steps of loudness that count as none
	)
	tops := m.measureTops()
	high := slices.Max(tops)
	loud := make([]float64, len(tops))
	for i := range loud {
		loud[i] = m.loudestIn(i)
	}
	order := make([]int, len(tops)) // the loudest first
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(loud[b], loud[a]) })
	highest, next := 0, 0 // the highest note of those as loud, and how many these are
	for _, i := range order {
		for ; next < len(order) && loud[order[next]] >= loud[i]-asMuch; next++ {
			highest = max(highest, tops[order[next]])
		}
		out[signTop].Values[i] = max(0, 1-float64(high-tops[i])/near)
		out[signUnder].Values[i] = min(float64(highest-tops[i]), octet) / octet
	}
}

// measureTops are the highest keys of the tune by measure, 0 in a rest: of the voices in a
// song, else of all.
func (m Material) measureTops() []int {
	out, sung := make([]int, len(m.Score.Measures)), map[int]bool{}
	for _, y := range m.Score.Syllables {
		sung[y.Part] = true
	}
	for _, n := range m.Score.Notes {
		if n.Pitched() && (len(sung) == 0 || sung[n.Part]) {
			out[n.Measure] = max(out[n.Measure], n.Pitch.Key())
		}
	}
	return out
}

// chordSigns fills in what the harmony does.
func (m Material) chordSigns(out []Sign) {
	for _, c := range m.Analysis.Chords {
		if n := c.Numeral; n.Cadential || n.Quality.AugmentedSixth() || n.Degree == 2 && n.Alter < 0 {
			out[signChord].Values[m.Score.MeasureAt(c.Start)] = 1
		}
	}
	v := out[signTension].Values
	for _, x := range m.Analysis.Moments {
		for i := m.Score.MeasureAt(x.Start); i < len(v) && m.Score.Measures[i].Start < x.End; i++ {
			v[i] = max(v[i], x.Tension.Total/tensionScale)
		}
	}
}

// Rising is where a climax may lie: past the opening, in a song from the voice's entry to its
// end.
func Rising(s *score.Score, f form.Form) (from, to score.Tick) {
	entry := Entry(s)
	return max(entry, opened(s, f)), Exit(s, entry)
}

// opened is the end of the opening, in which no climax lies: a twelfth of the piece, or
// its introduction.
func opened(s *score.Score, f form.Form) score.Tick {
	out := s.Length() / 12
	if x := f.Sections; len(x) > 0 && x[0].Name == form.Introduction {
		out = max(out, x[0].End)
	}
	return out
}

// Entry is where the voice of a song enters after its prelude, 0 without a voice. A
// voice that enters past the first third is no song's.
func Entry(s *score.Score) score.Tick {
	const most = 3
	first := s.Length()
	for _, x := range s.Syllables {
		first = min(first, x.At)
	}
	if first >= s.Length()/most {
		return 0
	}
	return first
}

// Exit is the end of the last sung measure of a song whose voice enters at from, else
// that of the piece.
func Exit(s *score.Score, from score.Tick) score.Tick {
	if from == 0 {
		return s.Length()
	}
	last := from
	for _, y := range s.Syllables {
		last = max(last, y.At)
	}
	if m := s.Measures[s.MeasureAt(last)]; m.End() > s.Length()/2 {
		return m.End()
	}
	return s.Length()
}

// Heights are the probabilities that the climax is this measure, by weights of the signs; 0
// outside where one may lie.
func (m Material) Heights(list []Sign, weights []float64) []float64 {
	var f form.Form
	if m.Analysis != nil {
		f = m.Analysis.Form
	}
	entry, first := Entry(m.Score), opened(m.Score, f)
	end := Exit(m.Score, entry)
	z := make([]float64, len(m.Score.Measures))
	for i, x := range m.Score.Measures {
		if x.Start < first || x.End() <= entry || x.Start >= end { // a voice may enter with an upbeat
			z[i] = math.Inf(-1)
			continue
		}
		for k, s := range list {
			z[i] += weights[k] * s.Values[i]
		}
	}
	return softmax(z)
}

// About is the probability of a measure and its neighbours up to reach away.
func About(chances []float64, at, reach int) (mass float64) {
	for _, x := range chances[max(at-reach, 0):min(at+reach+1, len(chances))] {
		mass += x
	}
	return mass
}

// leastHeard is how sure it must be that players are about loudest at a sure climax: ours.
const leastHeard = 0.7

// summit is the measure that musicians name, nil where nothing sounds or none may be named.
func (t *Table) summit(m Material) *Summit {
	if len(m.Grid) == 0 || len(m.Score.Measures) == 0 || len(t.Signs) == 0 {
		return nil
	}
	heights := m.Heights(m.Signs(), t.Signs)
	at := Highest(heights)
	if math.IsNaN(heights[at]) || heights[at] == 0 {
		return nil
	}
	out := &Summit{Measure: at, Causes: m.lifting(at)}
	heard := About(m.Crests(nil).Chances(t.Loud, t.Place), at, Reach(len(heights)))
	out.Confidence, out.Heard, out.Certainty = t.SummitSure(About(heights, at, 1), heard, len(heights))
	return out
}

// SummitSure says how sure a climax is, of the probability about it that musicians name it, that
// players are loudest about it, and how many measures the piece has.
func (t *Table) SummitSure(about, heard float64, measures int) (confidence, loud float64, sure tonal.Certainty) {
	confidence, loud = platt(t.SignOffset, t.SignSlope, about), platt(t.HeardOffset, t.HeardSlope, heard)
	if measures < fittedFrom {
		confidence = min(confidence, unfitted)
	}
	if sure = tonal.CertaintyOf(confidence); loud < leastHeard {
		sure = min(sure, tonal.Likely)
	}
	return confidence, loud, sure
}

// Highest is the index of the greatest, the first of equals.
func Highest(v []float64) (at int) {
	for i, x := range v {
		if x > v[at] {
			at = i
		}
	}
	return at
}
