package report

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/events"
	"hairpin/harmony/tonal"
)

// mostSuggestions is how many suggestions a reading ends with: more than a
// player can take to the next practice are none.
const mostSuggestions = 5

// Suggestion is something to try, the most important first.
type Suggestion struct {
	At        string       `json:"at"`
	Onset     Quarters     `json:"onset"`
	Measures  string       `json:"measures"`
	Verdict   verdict.Kind `json:"verdict,omitempty"` // if it is a disagreement
	Event     events.Kind  `json:"event,omitempty"`   // if it is an event
	Certainty string       `json:"certainty"`
	Text      string       `json:"text"`
}

// importance weighs a verdict: where page and harmony disagree first, then
// where the page is silent, then what is well and worth bringing out; large
// and sure before small and unsure. The weights are our own.
func importance(v verdict.Verdict) float64 {
	return kindWeight(v) * certaintyWeight(v.Certainty) * v.Size
}

func kindWeight(v verdict.Verdict) float64 {
	switch {
	case v.Aspect == verdict.AtContrast: // the page's own wish, not a disagreement
		return 0.4
	case v.Kind == verdict.WorksAgainst:
		return 1
	case v.Kind == verdict.Unshaped:
		return 0.8
	case v.Kind == verdict.Supports:
		return 0.4
	case v.Kind == verdict.Independent:
		return 0.3
	}
	return 0
}

func certaintyWeight(c tonal.Certainty) float64 {
	switch c {
	case tonal.Sure:
		return 1
	case tonal.Likely:
		return 0.75
	}
	return 0.4
}

// Suggestions are at most five things to try in the shown stretch, of the piece
// and not of its bars: where page and harmony disagree most, then what a
// teacher would point at, each kind of thing once.
func (r *Reading) Suggestions() []Suggestion {
	out := append(r.leading(), r.disagreements(2)...)
	said := map[events.Kind]bool{}
	for _, e := range events.Rank(r.Events) {
		c := tonal.CertaintyOf(e.Confidence)
		if len(out) == mostSuggestions || said[e.Kind] || c == tonal.Unsure || !r.Shows(e.Start, e.End) {
			continue
		}
		said[e.Kind] = true
		text := sentence(r.eventWhat(e) + ": " + r.eventTry(e))
		if also := r.alikeEvents(e); also != "" {
			text += " Likewise " + also + "."
		}
		out = append(out, Suggestion{At: r.At(e.Start), Onset: r.quarters(e.Start), Measures: r.Span(e.Start, e.End), Event: e.Kind, Certainty: c.String(), Text: text})
	}
	return out
}

// leading asks to lead to the climax, if there is a likely one.
func (r *Reading) leading() []Suggestion {
	c, ok := r.climaxOfAll()
	if !ok || c.Certainty == tonal.Unsure || c.Phrase >= len(r.Plan.Proposals) || !r.Shows(c.At, c.At+1) {
		return nil
	}
	p := r.Plan.Proposals[c.Phrase]
	peak := page.Mark(p.Peak)
	text := fmt.Sprintf("Lead to %s: it is the loudest place of the piece. Keep %s for there", r.At(c.At), peak)
	if from := page.Mark(p.From); from != peak {
		text = fmt.Sprintf("Lead to %s: take %s from %s to %s, and keep %s for there", r.At(c.At), r.Span(p.Start, c.At+1), from, peak, peak)
	}
	for _, a := range r.Plan.Advice {
		if a.Phrase == c.Phrase && a.Kind == advice.Grow && a.Certainty > tonal.Unsure {
			text += fmt.Sprintf(". Recorded players grow towards such a place in %.0f of 100 cases, anywhere else in %.0f", 100*a.Share, 100*a.Baseline)
		}
	}
	return []Suggestion{{At: r.At(c.At), Onset: r.quarters(c.At), Measures: r.Span(p.Start, p.End), Certainty: c.Certainty.String(), Text: text + "."}}
}

// disagreements are the stretches where page and harmony disagree most, with
// those that are alike.
func (r *Reading) disagreements(most int) (out []Suggestion) {
	ranked := r.Ranked()
	var chosen []verdict.Verdict
	for i, v := range ranked {
		if len(out) == most || v.Kind != verdict.WorksAgainst || v.Aspect != verdict.OverSpan || v.Certainty == tonal.Unsure || overlapsAny(chosen, v) {
			continue
		}
		chosen = append(chosen, v)
		text := r.VerdictSentence(v)
		if also := r.alike(ranked[i+1:], v, &chosen); also != "" {
			text += " Likewise in " + also + "."
		}
		out = append(out, Suggestion{At: r.At(v.Start), Onset: r.quarters(v.Start), Measures: r.Span(v.Start, v.End), Verdict: v.Kind, Certainty: v.Certainty.String(), Text: text})
	}
	return out
}

// alikeEvents names up to three further events of the same kind.
func (r *Reading) alikeEvents(e events.Event) string {
	const most = 3
	var out []string
	for _, x := range r.Events {
		if x.Kind == e.Kind && x.Start != e.Start && r.Shows(x.Start, x.End) && tonal.CertaintyOf(x.Confidence) > tonal.Unsure && len(out) < most {
			if m := r.Measures(x.Start, x.End); !slices.Contains(out, m) {
				out = append(out, m)
			}
		}
	}
	if len(out) == 0 {
		return ""
	}
	if len(out) == 1 && !strings.Contains(out[0], "–") {
		return "in m. " + out[0]
	}
	return "in mm. " + strings.Join(out, ", ")
}

// Ranked are the shown verdicts that ask for something, the most important first.
func (r *Reading) Ranked() []verdict.Verdict {
	var out []verdict.Verdict
	for _, v := range r.Verdicts {
		if r.Shows(v.Start, v.End) && importance(v) > 0 && v.Aspect != verdict.AtPeak {
			out = append(out, v)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return importance(out[i]) > importance(out[j]) })
	return out
}

// alike names up to three further stretches with the same advice, and marks them as spoken of.
func (r *Reading) alike(rest []verdict.Verdict, v verdict.Verdict, chosen *[]verdict.Verdict) string {
	const most = 3
	var found []verdict.Verdict
	for _, w := range rest {
		if len(found) < most && w.Aspect == v.Aspect && w.Kind == v.Kind && sameWay(w, v) && !overlapsAny(*chosen, w) {
			found = append(found, w)
			*chosen = append(*chosen, w)
		}
	}
	sort.Slice(found, func(i, j int) bool { return found[i].Start < found[j].Start })
	own, names := r.Measures(v.Start, v.End), []string{}
	for _, w := range found {
		if name := r.Measures(w.Start, w.End); name != own && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	switch {
	case len(names) == 0:
		return ""
	case len(names) == 1 && !strings.Contains(names[0], "–"):
		return "m. " + names[0]
	}
	return "mm. " + strings.Join(names, ", ")
}

func sameWay(a, b verdict.Verdict) bool {
	return (a.Tension > 0) == (b.Tension > 0) && (a.Level > 0) == (b.Level > 0) && a.Swells == b.Swells
}

// overlapsAny reports whether half of v or more is already spoken of.
func overlapsAny(chosen []verdict.Verdict, v verdict.Verdict) bool {
	for _, c := range chosen {
		if d := min(c.End, v.End) - max(c.Start, v.Start); 2*d >= v.End-v.Start {
			return true
		}
	}
	return false
}
