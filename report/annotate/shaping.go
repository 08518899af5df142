package annotate

import (
	"math"
	"slices"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/report"
	"hairpin/score"
)

// pin is a hairpin that the page does not print.
type pin struct {
	start, end score.Tick
	kind       score.HairpinKind
}

// shaping draws proposed hairpins dashed and marked "(ed.)", as some programs draw
// dashes solid, and proposed levels in brackets, also where a hairpin leads to: so
// editors show what is not the composer's.
func (a *annotator) shaping() {
	at, marks := proposedMarks(a.r)
	for i, t := range at {
		if a.shown(t) {
			a.put(a.marked, t, false, directionXML("below", "<dynamics><other-dynamics>["+marks[i]+"]</other-dynamics></dynamics>"))
		}
	}
	if len(a.onto.FreeNumbers(a.marked.part, "wedge")) == 0 {
		return
	}
	for _, p := range proposedPins(a.r, a.marked.part) {
		kind := "crescendo"
		if p.kind == score.Diminuendo {
			kind = "diminuendo"
		}
		a.line(a.marked, p.start, p.end, "wedge",
			directionXML("below", wordsXML("(ed.)", "italic"), `<wedge type="`+kind+`" line-type="dashed"/>`), directionXML("below", `<wedge type="stop"/>`))
		if !a.levelAt(p.end, at) {
			mark := page.Mark(a.r.Line.At(p.end - 1))
			a.put(a.marked, p.end, true, directionXML("below", "<dynamics><other-dynamics>["+mark+"]</other-dynamics></dynamics>"))
		}
	}
}

// levelAt reports whether the page prints a dynamic mark at a moment or begins a
// hairpin there, or a proposed mark stands there.
func (a *annotator) levelAt(t score.Tick, proposed []score.Tick) bool {
	printed := func(d score.Dynamic) bool { return d.At == t && d.Part == a.marked.part }
	begun := func(h score.Hairpin) bool { return h.Start == t && h.Part == a.marked.part }
	return slices.Contains(proposed, t) || slices.ContainsFunc(a.r.Score.Dynamics, printed) || slices.ContainsFunc(a.r.Score.Hairpins, begun)
}

// proposedPins are the hairpins of the phrases' proposals where the page is
// silent. They end where the page prints something of its own.
func proposedPins(r *report.Reading, part int) []pin {
	var list []pin
	for _, x := range r.Plan.Proposals {
		for _, h := range x.Hairpins {
			p := pin{max(h.Start, r.From), min(h.End, r.To), score.Diminuendo}
			if h.Grows() {
				p.kind = score.Crescendo
			}
			if p.start < p.end {
				list = append(list, p)
			}
		}
	}
	marks, _ := proposedMarks(r)
	return clearPins(r, splitPins(list, marks), part)
}

// splitPins ends the hairpins where a mark stands, and begins them anew there.
func splitPins(list []pin, marks []score.Tick) (out []pin) {
	for _, p := range list {
		for _, t := range marks {
			if p.start < t && t < p.end {
				out = append(out, pin{p.start, t, p.kind})
				p.start = t
			}
		}
		out = append(out, p)
	}
	return out
}

// proposedMarks are levels for the beginnings of phrases where the page has
// not printed any yet, each where it differs from the one before.
func proposedMarks(r *report.Reading) (at []score.Tick, marks []string) {
	first := r.Score.Length()
	for _, z := range r.Page.Zones {
		if z.Text != "" {
			first = min(first, z.Start)
		}
	}
	last := ""
	for _, x := range r.Plan.Proposals {
		mark := page.Mark(x.From)
		if x.Start < first && mark != last {
			at, marks, last = append(at, x.Start), append(marks, mark), mark
		}
	}
	return at, marks
}

// clearPins cuts the hairpins where the part prints marks, hairpins or dashes
// of its own, and leaves out what is then shorter than two beats: a scrap that
// leads from a level to the same one.
func clearPins(r *report.Reading, list []pin, part int) (out []pin) {
	for _, p := range list {
		whole := p
		for _, h := range r.Score.Hairpins {
			p.avoid(h.Span, part)
		}
		for _, d := range r.Score.Dashes {
			p.avoid(d.Span, part)
		}
		for _, g := range r.Page.Whole.Segments {
			if math.Abs(g.To-g.From) >= 0.5 {
				p.avoid(score.Span{Start: g.Start, End: g.End, Part: part}, part)
			}
		}
		for _, d := range r.Score.Dynamics {
			if d.Part == part && d.At > p.start {
				p.end = min(p.end, d.At)
			}
		}
		least := verdict.Tolerance(r.Score, p.start)
		if p != whole {
			least *= 2
		}
		if p.end-p.start >= least {
			out = append(out, p)
		}
	}
	return out
}

// avoid cuts off what lies over a printed stretch.
func (p *pin) avoid(s score.Span, part int) {
	switch {
	case s.Part != part || s.End <= p.start || s.Start >= p.end:
	case s.Start <= p.start:
		p.start = min(s.End, p.end)
	default:
		p.end = s.Start
	}
}
