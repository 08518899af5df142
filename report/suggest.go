package report

import (
	"slices"
	"sort"
	"strings"

	"hairpin/dynamics/verdict"
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
	Verdict   verdict.Kind `json:"verdict"`
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

// Suggestions are at most five things to try in the shown stretch. What is to
// be done alike elsewhere is named with the first of its kind.
func (r *Reading) Suggestions() []Suggestion {
	ranked := r.Ranked()
	var chosen []verdict.Verdict
	var out []Suggestion
	for i, v := range ranked {
		if len(out) == mostSuggestions || overlapsAny(chosen, v) {
			continue
		}
		chosen = append(chosen, v)
		text := r.VerdictSentence(v)
		if also := r.alike(ranked[i+1:], v, &chosen); also != "" {
			text += " Likewise in " + also + "."
		}
		out = append(out, Suggestion{r.At(v.Start), r.quarters(v.Start), r.Span(v.Start, v.End), v.Kind, v.Certainty.String(), text})
	}
	return out
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
