package practice

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hairpin/dynamics/page"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/score"
)

// Plan is a way to a hard passage, rung by rung.
type Plan struct {
	Hands    Hands   // "": by the part's name and staves
	Rest     int     // beats of rest inside each repeat, 0 to 16
	From, To float64 // metronome of the first and the last rung, in the page's unit; 0: from half the page's tempo to all of it
	Hardest  int     // so many single measures of the shown ones, the hardest; 0: all shown as one passage
}

// Check says, as a [report.ChoiceError], what cannot be practised.
func (p Plan) Check() error {
	if err := p.Hands.check(); err != nil {
		return err
	}
	switch {
	case p.Rest < 0 || p.Rest > 16:
		return &report.ChoiceError{Text: fmt.Sprintf("%d beats of rest cannot be put into a repeat", p.Rest), Hint: "choose 0 to 16"}
	case p.Hardest < 0 || p.Hardest > 12:
		return &report.ChoiceError{Text: fmt.Sprintf("%d measures do not make a page", p.Hardest), Hint: "choose 1 to 12"}
	case p.From != 0 && !(p.From >= slowest && p.From <= p.To && p.To <= 400):
		return &report.ChoiceError{Text: fmt.Sprintf("a range of %g to %g beats a minute cannot be practised", p.From, p.To), Hint: fmt.Sprintf("write it as 50-80, between %d and 400: no metronome goes below", slowest)}
	}
	return nil
}

// longestPractice is how many measures a passage may have.
const longestPractice = 32

// Ladder writes the shown measures of one part as practice, one system a rung, in
// the part's own clefs and staves and with the page's measure numbers: the written
// pitches as block chords in half notes, in quarters, in eighths with the hands in
// turn, an alternation drill, and the passage as it stands on the page. Runs go in
// groups with rests, in rhythms and hands apart instead. Every rung has its
// metronome mark, is played pp, mp, f and as printed, and rests inside its repeat.
func Ladder(r *report.Reading, plan Plan) (*musicxml.File, error) {
	s, err := Sheet(r, plan)
	return s.File, err
}

// Practice is a sheet with what is played from it.
type Practice struct {
	File      *musicxml.File
	Part      int // of the source
	Exercises []Exercise
}

// Exercise is one passage and its rungs, from the bottom up.
type Exercise struct {
	First, Last int      // measures of the source
	Run         bool     // scales and runs: no rung has block chords
	Pitched     bool     // some of it has pitch
	Levels      []string // of the repeats of every rung; the last may be [AsPrinted]
	Steps       []Step
}

// Step is a rung on the sheet.
type Step struct {
	Name        string
	First, Rest int     // measures of the sheet: where it begins, where its rest does
	End         int     // the measure after it
	Tempo       float64 // quarter notes a minute
	Own         bool    // the page's own bars, or a staff of them
	Follows     bool    // bar by bar the source's
}

// Sheet is [Ladder] with the places of its rungs.
func Sheet(r *report.Reading, plan Plan) (p Practice, err error) {
	list, err := ladders(r, plan)
	if err != nil {
		return p, err
	}
	p.Part = list[0].passage.part
	s := &sheet{r: r, plan: plan, part: p.Part}
	for _, l := range list {
		p.Exercises = append(p.Exercises, s.ladder(l))
	}
	p.File, err = s.file(titled(r, "practice of "+spans(list)))
	return p, err
}

// softToLoud are the levels at which every rung is played before the page's own.
var softToLoud = [...]string{"pp", "mp", "f"}

// AsPrinted is the level of a repeat that follows the page.
const AsPrinted = "as printed"

// levels are how loud a rung is played, one repeat after the other; the last is
// what the page prints, if it prints any level.
func (p *passage) levels() []string {
	if !p.r.Page.Marked {
		return softToLoud[:]
	}
	return append(softToLoud[:len(softToLoud):len(softToLoud)], AsPrinted)
}

// ladder is one passage with its rungs.
type ladder struct {
	passage *passage
	hands   Hands
	rungs   []rung
	tempo   tempo
	why     string // why it was chosen, "" if it was asked for
}

// ladders makes what the plan asks for: one ladder, or one a hard measure.
func ladders(r *report.Reading, plan Plan) (list []ladder, err error) {
	if err := plan.Check(); err != nil {
		return nil, err
	}
	part := practised(r)
	picked := []Hard{{First: r.Score.MeasureAt(r.From), Last: lastMeasure(r)}}
	if plan.Hardest > 0 {
		if picked = Hardest(r, part, plan.Hardest); len(picked) == 0 {
			return nil, &report.ChoiceError{Text: "no measure of part " + fmt.Sprint(part+1) + " has notes enough to be hard", Hint: "choose measures with --measures, or another part with --part"}
		}
	}
	for _, h := range picked {
		if n := h.Last - h.First + 1; n > longestPractice {
			return nil, &report.ChoiceError{Text: fmt.Sprintf("%d measures are too many to practise in steps", n), Hint: fmt.Sprintf("choose at most %d with --measures, or let --hardest 3 choose", longestPractice)}
		}
		p, err := newPassage(r, part, h.First, h.Last)
		if err != nil {
			return nil, err
		}
		l := ladder{passage: p, hands: plan.Hands, tempo: p.tempo(plan), why: h.Why}
		if l.hands == "" {
			l.hands = usualHands(r, part)
		}
		l.rungs = l.climb()
		list = append(list, l)
	}
	return list, nil
}

func lastMeasure(r *report.Reading) int {
	last := 0
	for i, m := range r.Score.Measures {
		if m.Start < r.To {
			last = i
		}
	}
	return last
}

// climb lists the rungs; one that another one plays already is left out.
func (l ladder) climb() (list []rung) {
	p := l.passage
	var all []rung
	switch {
	case !p.pitched():
		all = p.drumRungs()
	case p.isRun():
		all = p.runRungs()
	default:
		all = p.chordRungs(l.hands)
	}
	oneLine := p.pitched() || len(p.voiceKeys()) == 1 && p.handToHand()
	if d := p.alternation(); oneLine && len(d.bars) > 0 && (l.hands.mallets() || l.hands == TwoHands && p.staves == 1) {
		all = append(all, d)
	}
	all = append(all, p.written())
	for i, g := range all {
		again := slices.ContainsFunc(all[i+1:], func(h rung) bool { return g.lead == h.lead && g.plays() == h.plays() })
		if !again {
			list = append(list, g)
		}
	}
	return list
}

// plays is what a rung sounds like: pitches, rests and values in order.
func (g rung) plays() string {
	var b strings.Builder
	for _, bar := range g.bars {
		for _, e := range bar.list {
			if e.name == "note" {
				fmt.Fprintf(&b, "%s %v %.3f;", e.find("pitch").flat()+e.find("unpitched").flat(), e.find("chord") != nil, float64(e.whole("duration", 0))/float64(bar.state.divisions))
			}
		}
	}
	return b.String()
}

// spans names the measures of the ladders.
func spans(list []ladder) string {
	if len(list) == 1 {
		return list[0].passage.name()
	}
	var numbers []string
	for _, l := range list {
		numbers = append(numbers, l.passage.bars[0].Number)
	}
	return "mm. " + strings.Join(numbers, ", ")
}

func (p *passage) name() string { return p.r.Span(p.from(), p.to()) }

// practised is the part to be practised: the one chosen, or the one with most notes there.
func practised(r *report.Reading) int {
	parts := r.ShownParts()
	if len(parts) == 0 { // nothing has pitch
		for i := range r.Score.Parts {
			parts = append(parts, i)
		}
	}
	count := make([]int, len(r.Score.Parts))
	for _, n := range r.Score.Notes {
		if n.Onset >= r.From && n.Onset < r.To {
			count[n.Part]++
		}
	}
	return slices.MaxFunc(parts, func(a, b int) int { return count[a] - count[b] })
}

// slowest is the lowest mark of a usual metronome (common practice, no source).
const slowest = 40

// tempo is a metronome's range in a unit.
type tempo struct {
	unit      value
	low, high float64
}

// at is the metronome mark of a rung, whole numbers, the last the highest.
func (t tempo) at(i, count int) float64 {
	if count < 2 {
		return t.high
	}
	return math.Round(t.low + (t.high-t.low)*float64(i)/float64(count-1))
}

// worthClimbing is the tempo under which half of it, or near it, is on no metronome.
const worthClimbing = 60

// within is the unit, or the next shorter ones where the page's tempo in it leaves
// no room to climb from: a half of a plain unit, a third of a dotted one.
func (v value) within(quarters float64) value {
	for i := slices.Index(units[:], v.kind); i >= 0 && i+1 < len(units) && quarters/v.quarters < worthClimbing; i++ {
		parts := 2.0
		if v.dots > 0 {
			parts = 3
		}
		v = value{units[i+1], 0, v.quarters / parts}
	}
	return v
}

var units = [...]string{"whole", "half", "quarter", "eighth", "16th", "32nd"}

var unitQuarters = map[string]float64{"whole": 4, "half": 2, "quarter": 1, "eighth": 0.5, "16th": 0.25, "32nd": 0.125}

// tempo is the range of the passage in the unit of the page's last metronome mark,
// or of the beat where there is none; in a shorter one for a slow page.
func (p *passage) tempo(plan Plan) tempo {
	const usual = 80
	b := p.bars[0]
	t := tempo{unit: p.printedUnit()}
	if t.unit.kind == "" {
		t.unit = value{"quarter", 0, 1}
		if beat := p.r.Score.Quarters(b.Beat(p.r.Score.Division)); b.Compound() && b.BeatUnit == 8 {
			t.unit = value{"quarter", 1, 1.5}
		} else if b.BeatUnit == 2 {
			t.unit = value{"half", 0, beat}
		}
	}
	t.low, t.high = plan.From, plan.To
	if t.low > 0 {
		return t
	}
	quarters := 0.0
	for _, x := range p.r.Score.Tempos {
		if x.At <= p.from() || quarters == 0 {
			quarters = x.PerMin
		}
	}
	t.high = usual
	if quarters > 0 {
		t.unit = t.unit.within(quarters)
		t.high = min(max(math.Round(quarters/t.unit.quarters), slowest), 400)
	}
	t.low = min(max(math.Round(t.high/2), slowest), t.high)
	return t
}

// printedUnit is the unit of the last metronome mark up to the passage, in any part.
func (p *passage) printedUnit() (v value) {
	for i := p.first; i >= 0 && v.kind == ""; i-- {
		for part := range p.r.Score.Parts {
			text := p.r.File.MeasureText(part, i)
			if !strings.Contains(text, "<metronome") {
				continue
			}
			if e, err := parsed(text); err == nil {
				e.metronome(&v)
			}
		}
	}
	return v
}

// metronome looks for the last metronome mark of note value and number.
func (e *element) metronome(v *value) {
	for _, c := range e.list {
		if kind := c.get("beat-unit"); c.name == "metronome" && c.find("per-minute") != nil && unitQuarters[kind] > 0 {
			*v = value{kind: kind, quarters: unitQuarters[kind]}
			for i, d := range c.list {
				if d.name == "beat-unit-dot" && i < slices.Index(c.list, c.find("per-minute")) {
					v.dots++
					v.quarters *= 1.5
				}
			}
		}
		c.metronome(v)
	}
}

// loud reports whether the page prints forte or more in the passage.
func (p *passage) loud() bool {
	return slices.ContainsFunc(p.r.Page.Whole.Segments, func(g page.Segment) bool {
		return g.Start < p.to() && g.End > p.from() && max(g.From, g.To) >= page.F
	})
}

// opening is the last level mark up to the passage's first moment, "" if there is none.
func (p *passage) opening() (mark string) {
	for _, d := range p.r.Score.Dynamics {
		if d.Part == p.part && score.IsLevel(d.Mark) && d.At <= p.from() {
			mark = d.Mark
		}
	}
	return mark
}

// level is the level mark that holds at the passage's start from before it: none
// where the passage opens with its own.
func (p *passage) level() (mark string, staff int) {
	for _, d := range p.r.Score.Dynamics {
		if d.Part != p.part || !score.IsLevel(d.Mark) {
			continue
		}
		if d.At == p.from() {
			return "", 0
		}
		if d.At < p.from() {
			mark, staff = d.Mark, d.Staff
		}
	}
	return mark, staff
}
