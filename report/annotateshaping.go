package report

import (
	"fmt"
	"sort"

	"hairpin/dynamics"
	"hairpin/harmony"
	"hairpin/score"
)

// pin is a hairpin that the page does not print.
type pin struct {
	start, end score.Tick
	kind       score.HairpinKind
}

// shaping draws proposed hairpins dashed, as editors show what is not the
// composer's.
func (a *annotator) shaping() {
	number := a.onto.FreeNumber(a.marked.part, "wedge")
	if number == 0 {
		return
	}
	for _, p := range a.r.proposedPins(a.marked.part) {
		kind := "crescendo"
		if p.kind == score.Diminuendo {
			kind = "diminuendo"
		}
		a.put(a.marked, p.start, false, directionXML("below", fmt.Sprintf(`<wedge type="%s" number="%d" line-type="dashed"/>`, kind, number)))
		a.put(a.marked, p.end, true, directionXML("below", fmt.Sprintf(`<wedge type="stop" number="%d"/>`, number)))
	}
}

// proposedPins are hairpins where the harmony moves and the page is silent.
// They end where the page prints something of its own.
func (r *Reading) proposedPins(part int) (list []pin) {
	for _, v := range r.Verdicts {
		if v.Aspect != dynamics.OverSpan || v.Kind != dynamics.Unshaped || v.Certainty == harmony.Unsure || !r.shows(v.Start, v.End) {
			continue
		}
		p := pin{max(v.Start, r.from), min(v.End, r.to), score.Crescendo}
		if v.Tension < 0 {
			p.kind = score.Diminuendo
		}
		list = append(list, p)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].start < list[j].start })
	return r.clearPins(joinPins(list), part)
}

// joinPins makes one hairpin of neighbours that go the same way, and lets each
// end where the next begins.
func joinPins(list []pin) (out []pin) {
	for _, p := range list {
		k := len(out) - 1
		switch {
		case k >= 0 && p.start <= out[k].end && p.kind == out[k].kind:
			out[k].end = max(out[k].end, p.end)
			continue
		case k >= 0:
			out[k].end = min(out[k].end, p.start)
		}
		out = append(out, p)
	}
	return out
}

// clearPins cuts the hairpins where the part prints marks, hairpins or dashes
// of its own, and leaves out what is then shorter than a beat.
func (r *Reading) clearPins(list []pin, part int) (out []pin) {
	for _, p := range list {
		for _, h := range r.Score.Hairpins {
			p.avoid(h.Span, part)
		}
		for _, d := range r.Score.Dashes {
			p.avoid(d.Span, part)
		}
		for _, d := range r.Score.Dynamics {
			if d.Part == part && d.At > p.start {
				p.end = min(p.end, d.At)
			}
		}
		if p.end-p.start >= dynamics.Tolerance(r.Score, p.start) {
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
