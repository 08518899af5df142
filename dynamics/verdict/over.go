package verdict

import (
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Over judges any one stretch. A mark at its end that a slope leads to counts.
func Over(s *score.Score, a *harmony.Analysis, p *page.Page, from, to score.Tick) Verdict {
	return newJudge(s, a, p).over(from, to, to)
}

// Over judges a stretch as the function does, by another table: for the fit.
func (m *Model) Over(s *score.Score, a *harmony.Analysis, p *page.Page, from, to score.Tick) Verdict {
	j := newJudge(s, a, p)
	j.model = m
	return j.over(from, to, to)
}

// over judges a stretch; the page is read up to until.
func (j *judge) over(from, to, until score.Tick) Verdict {
	m := j.p.Over(from, until)
	x := j.spanOver(from, to, m.Kind)
	h := x.move
	h.Chances, h.spread = j.chances(x), x.beats().spread
	kind, deed, probability := kindOf(m.Kind, h)
	h.does(deed)
	j.arrive(x, &h)
	v := Verdict{Start: from, End: to, Aspect: OverSpan, Kind: kind, Harmony: h, Page: PageMove{Move: m}, From: m.From,
		SixFour: h.Onto != nil && h.Onto.Numeral.Cadential, Probability: probability}
	v.Tension = v.Harmony.change()
	v.Page.fill()
	v.Swells = m.Kind == page.Swells || m.Kind == page.Dips
	if v.Level = v.Page.Change; v.Swells {
		v.Level = v.Page.Swell
	}
	v.Size = size(h.moved(), v.Level)
	v.Grounds = j.grounds(v)
	v.Confidence = leastOf(v.Grounds)
	v.Certainty = tonal.CertaintyOf(v.Confidence)
	return v
}

// fill says the movement in numbers.
func (m *PageMove) fill() {
	switch m.Kind {
	case page.Grows, page.Falls:
		m.Change = m.To - m.From
		if m.Way = Up; m.Kind == page.Falls {
			m.Way = Down
		}
	case page.Swells, page.Dips:
		m.Swell = m.Peak - m.From
	}
}

// chances are what the model tells of a stretch; where no chord sounds, the
// change of tension decides and nothing is sure.
func (j *judge) chances(x *span) Chances {
	if len(x.chords) > 0 {
		return x.custom(j.model.Chances(x.quantities()))
	}
	out := Chances{0.2, 0.2, 0.2, 0.2}
	out[map[Way]Deed{Up: Builds, Still: Holds, Down: Releases}[moves(x.move.To-x.move.From, tensionMove)]] += 0.2
	return out
}

// shortWait is how many measures of a dominant a fading into its resolution may
// take; our own choice.
const shortWait = 2

// custom is what common practice says and the model has too few rows to learn: a
// cadential six-four lets nothing go, its fourth and sixth hang over the
// dominant as suspensions (Aldwell & Schachter, Harmony and Voice Leading, on the
// cadential six-four; from memory), and to fade over a dominant into its goal
// goes with the release, unless the dominant is long: then it works against the
// wait. Within one measure that holds for whatever comes before the dominant.
func (x *span) custom(c Chances) Chances {
	measure := x.j.s.Measures[x.j.s.MeasureAt(x.from)].Length
	all := x.share(isDominant) == 1
	switch {
	case x.move.Onto.Numeral.Cadential && x.move.To < x.move.From:
		c = Chances{Waits: 1 - c[Holds], Holds: c[Holds]}
	case x.move.Onto.Numeral.Cadential:
		c[Waits], c[Releases] = c[Waits]+c[Releases], 0
	case x.page == page.Falls && all && x.to-x.from > shortWait*measure:
		c[Releases], c[Waits] = 0, c[Releases]+c[Waits]
	case x.page == page.Falls && all && x.leadsInto(tonic):
		c[Releases], c[Waits] = c[Releases]+c[Waits], 0
	case x.page == page.Falls && (all || x.to-x.from <= measure) && x.home() != nil:
		c = Chances{Releases: homeMeets, Holds: 1 - homeMeets}
	}
	return c
}

// home is the goal of the last chord, if that is a dominant and its own goal
// answers it where the stretch ends, or within a beat: a hairpin is often drawn up
// to the note before. A goal that is a dominant itself lets nothing go: nil.
func (x *span) home() *tonal.Chord {
	last := x.move.Onto
	if functionOf(last) != dominant {
		return nil
	}
	goal, late := last.Numeral.Region(last.Key).Tonic, x.to+Tolerance(x.j.s, x.to-1)
	all := x.j.a.Chords
	for i := sort.Search(len(all), func(i int) bool { return all[i].End > x.to }); i < len(all) && all[i].Start <= late; i++ {
		if all[i].Root == goal && functionOf(&all[i]) != dominant {
			return &all[i]
		}
	}
	return nil
}

// Probabilities of verdicts that the model does not tell: shares of the labelled
// rows (testdata/README.md).
const (
	swellMeets   = 0.8 // a swell over chords that change has the tension's peak inside
	swellApart   = 0.6 // over one chord it is a matter of sound
	dipMeets     = 0.5
	terraceApart = 0.5
	homeMeets    = 0.8 // a fading into the goal of its last dominant; on the careful side
)

// kindOf is the likeliest verdict, what the harmony does in it, and its probability.
func kindOf(m page.MoveKind, h HarmonyMove) (Kind, Deed, float64) {
	c := h.Chances
	switch m {
	case page.Grows:
		return likeliest(c, Supports, WorksAgainst, Independent, Supports)
	case page.Falls:
		return likeliest(c, WorksAgainst, Supports, Independent, WorksAgainst)
	case page.Swells, page.Dips:
		return archOf(m, h)
	case page.Terraced:
		kind, deed, _ := likeliest(c, Unshaped, Unshaped, Independent, Independent)
		return kind, deed, terraceApart
	}
	return likeliest(c, Unshaped, Unshaped, Calm, Calm)
}

// archOf is the verdict on a swell or a dip.
func archOf(m page.MoveKind, h HarmonyMove) (Kind, Deed, float64) {
	_, deed, _ := likeliest(h.Chances, Supports, WorksAgainst, Independent, Calm)
	switch {
	case h.Chords <= 1, h.spread < tensionMove:
		return Independent, deed, swellApart
	case m == page.Dips:
		return Supports, deed, dipMeets
	}
	return Supports, deed, swellMeets
}

// likeliest adds up the chances by the verdict that each deed gives, and takes
// of the likeliest verdict the likeliest deed.
func likeliest(c Chances, verdicts ...Kind) (Kind, Deed, float64) {
	sum := map[Kind]float64{}
	for d, k := range verdicts {
		sum[k] += c[d]
	}
	best := Deed(0)
	for d, k := range verdicts {
		if a, b := sum[k], sum[verdicts[best]]; a > b || k == verdicts[best] && c[d] > c[best] {
			best = Deed(d)
		}
	}
	return verdicts[best], best, sum[verdicts[best]]
}
