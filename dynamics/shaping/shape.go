package shaping

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

const (
	// stepsPerSpread turns performers' spread of loudness into steps: in the
	// mazurkas of Kosta, Bandtlow & Chew 2018 (MazurkaBL) p and f, three steps
	// apart, lie about two spreads apart.
	stepsPerSpread = 1.5
	// pageRange is the share of the page's spread that the proposal has at least,
	// and widest the most steps a spread becomes for its sake: the page's range
	// is the player's range. Chosen on the performances as the widest range that
	// costs their correlation less than .005: .95 costs the sonatas of Mozart that.
	pageRange = 0.85
	widest    = 4.0
	// MaxBend is the most by which a proposal leaves the printed level, in
	// steps: p does not become f, nor f p. Two bends in three stay under one step.
	MaxBend = 2.25
	// FreeBend is the most without a [Reason]: from there to MaxBend the bend is drawn in.
	FreeBend = 1.5
	// beyondPage is how far a proposal may go past the softest and the loudest
	// level of the page, in steps: not so far that another mark names it.
	beyondPage = 0.5
	// shade is the least bend worth telling, in steps.
	shade = 0.1
	// leastRoom is how far it may go from their middle in any case, so that a
	// page with a single mark leaves room to shape.
	leastRoom = 2.0
)

// Proposal is the level proposed at one moment.
type Proposal struct {
	At      score.Tick
	Printed float64   // the printed level there
	Level   float64   // the proposed one
	Causes  []float64 // what each of [Causes] adds to the bend, in steps; they add up to Level - Printed
	Main    Cause     // the largest of them that points the way of the bend; "" where there is no bend worth telling
	Reason  Reason    // why the bend is larger than FreeBend; "" where it is not
}

// Bend is how far the proposal leaves the page, in steps.
func (p Proposal) Bend() float64 { return p.Level - p.Printed }

// Shaping is a proposal for the whole piece.
type Shaping struct {
	Proposals []Proposal          // at every beat and onset, in order
	Notes     []float64           // a level for every note of the score, by its index
	Says      map[Cause][]float64 // what each cause says at each proposal, before the frame: performers' spreads, 0 on average
	Caution   string              // what the reader should know; "" if nothing
}

// Shape proposes a level for every moment inside the printed marks. Without an
// analysis (nil) it leaves the harmony out. The weights are fitted on
// performances; the table names them.
func Shape(s *score.Score, a *harmony.Analysis, p *page.Page) (*Shaping, error) {
	m, err := model()
	if err != nil {
		return nil, err
	}
	o := observe(s, a, p)
	out := &Shaping{}
	if o.cells() == 0 {
		return out, nil
	}
	c := contributions{m, o.styles(), map[Cause][]float64{}}
	o.factors(m.weighs, c.add)
	out.Proposals, out.Says = proposeAll(o.at[:o.cells()], o.series("printed"), c.parts, o.leaves(p)), c.parts
	out.Notes = noteLevels(s, a, out)
	if !p.Marked {
		out.Caution = "nothing is printed: the proposal bends an even mf, from the music alone"
	}
	return out, nil
}

// proposeAll bends every moment.
func proposeAll(at []score.Tick, printed []float64, parts map[Cause][]float64, leaves []Leave) []Proposal {
	middle, n, inside := average(printed), len(Causes()), frameOf(printed)
	steps := stepsFor(printed, parts)
	inOrder := make([][]float64, n)
	for k, c := range Causes() {
		inOrder[k] = parts[c]
	}
	out, causes := make([]Proposal, len(at)), make([]float64, n*len(at))
	for i, t := range at {
		out[i] = Proposal{At: t, Printed: printed[i], Causes: causes[n*i : n*i+n : n*i+n]}
		out[i].bend(inOrder, i, steps, middle, inside, leaves[i])
	}
	return out
}

// stepsFor is how many steps a performers' spread of loudness is in a piece: more
// than usual where the page asks for a wide range.
func stepsFor(printed []float64, parts map[Cause][]float64) float64 {
	sum := make([]float64, len(printed))
	for _, c := range Causes() {
		for i, x := range parts[c] {
			sum[i] += x
		}
	}
	_, own := moments(sum)
	_, page := moments(printed)
	return min(max(pageRange*page/max(own, 1e-9), stepsPerSpread), widest)
}

// Levels is the shaped level at every moment of a matrix.
func (m *Model) Levels(x Matrix) []float64 {
	out := make([]float64, len(x.Onsets))
	for i, p := range proposeAll(make([]score.Tick, len(out)), x.Level, m.Contributions(x), x.Leaves) {
		out[i] = p.Level
	}
	return out
}

// frame is the range of levels in which the proposals stay.
type frame struct{ low, high float64 }

// frameOf is the range of the page and a little more, within ppp to fff.
func frameOf(printed []float64) frame {
	low, high := page.MF, page.MF
	if len(printed) > 0 {
		low, high = slices.Min(printed), slices.Max(printed)
	}
	middle, room := (low+high)/2, max((high-low)/2+beyondPage, leastRoom)
	return frame{max(middle-room, page.PPP), min(middle+room, page.FFF)}
}

// bend bends the moment i. The model's own curve runs around the piece's
// middle level; what it asks beyond the printed level is the bend.
func (p *Proposal) bend(parts [][]float64, i int, steps, middle float64, inside frame, leave Leave) {
	raw := 0.0
	for k, c := range Causes() {
		x := 0.0
		if parts[k] != nil {
			x = steps * parts[k][i]
		}
		if c == ByPage { // the page's own part: what it says beyond the printed curve
			x -= p.Printed - middle
		}
		p.Causes[k] = x
		raw += x
	}
	bend := min(max(drawIn(raw, leave.For(raw) != ""), min(p.Printed, inside.low)-p.Printed), max(p.Printed, inside.high)-p.Printed)
	if math.Abs(raw) > 1e-9 {
		for k := range p.Causes {
			p.Causes[k] *= bend / raw
		}
	}
	p.Level, p.Main = p.Printed+bend, mainCause(p.Causes, bend)
	if math.Abs(bend) > FreeBend+1e-9 {
		p.Reason = leave.For(bend)
	}
}

// drawIn leaves small bends alone and draws large ones in: below MaxBend where
// there is a reason to go far, to FreeBend elsewhere.
func drawIn(raw float64, far bool) float64 {
	x := math.Abs(raw)
	if room := MaxBend - FreeBend; far && x > FreeBend {
		x = FreeBend + room*math.Tanh((x-FreeBend)/room)
	}
	if !far {
		x = min(x, FreeBend)
	}
	return math.Copysign(x, raw)
}

// mainCause is the cause that pushes most in the direction of the bend.
func mainCause(causes []float64, bend float64) Cause {
	best, most := Cause(""), shade
	if math.Abs(bend) < shade {
		return best
	}
	for k, c := range Causes() {
		if x := causes[k] * math.Copysign(1, bend); x > most {
			best, most = c, x
		}
	}
	return best
}

// On is the proposal moved to another level, that of a phrase's line: its cause stays
// where it points the same way.
func (p Proposal) On(level float64) Proposal {
	if (level-p.Printed)*p.Bend() <= 0 {
		p.Main = ""
	}
	if p.Level = level; math.Abs(p.Bend()) <= FreeBend {
		p.Reason = ""
	}
	return p
}

// Sentence says which way a proposal bends and why.
func (p Proposal) Sentence() string {
	if math.Abs(p.Bend()) < shade {
		return "as printed"
	}
	way := "louder"
	if p.Bend() < 0 {
		way = "softer"
	}
	text := fmt.Sprintf("%s %s than %s", amount(p.Bend()), way, page.Mark(p.Printed))
	if p.Main != "" {
		text += ", mainly for its " + string(p.Main)
	}
	if p.Reason != "" {
		text += "; " + string(p.Reason)
	}
	return text
}

func amount(bend float64) string {
	switch x := math.Abs(bend); {
	case x < 0.35:
		return "a shade"
	case x < 0.8:
		return "a little"
	case x < 1.3:
		return "about a step"
	}
	return "well"
}

// At is the shaped level at t, on the line between two proposals.
func (sh *Shaping) At(t score.Tick) float64 {
	n := len(sh.Proposals)
	if n == 0 {
		return page.MF
	}
	i := sort.Search(n, func(i int) bool { return sh.Proposals[i].At > t }) - 1
	if i < 0 {
		return sh.Proposals[0].Level
	}
	if i+1 >= n {
		return sh.Proposals[n-1].Level
	}
	a, b := sh.Proposals[i], sh.Proposals[i+1]
	return a.Level + (b.Level-a.Level)*float64(t-a.At)/float64(b.At-a.At)
}

// Curve is the shaping as a curve of the whole.
func (sh *Shaping) Curve(s *score.Score) page.Curve {
	c := page.Curve{Part: -1}
	for i, p := range sh.Proposals {
		g := page.Segment{Start: p.At, End: s.Length(), From: p.Level, To: p.Level, Certainty: tonal.Likely}
		if i+1 < len(sh.Proposals) {
			g.End, g.To = sh.Proposals[i+1].At, sh.Proposals[i+1].Level
		}
		c.Segments = append(c.Segments, g)
	}
	return c
}
