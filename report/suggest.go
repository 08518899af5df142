package report

import (
	"slices"
	"sort"
	"strings"

	"hairpin/dynamics"
	"hairpin/harmony"
)

// mostSuggestions is how many suggestions a reading ends with: more than a
// player can take to the next practice are none.
const mostSuggestions = 5

// Suggestion is something to try, the most important first.
type Suggestion struct {
	At        string        `json:"at"`
	Onset     Quarters      `json:"onset"`
	Measures  string        `json:"measures"`
	Verdict   dynamics.Kind `json:"verdict"`
	Certainty string        `json:"certainty"`
	Text      string        `json:"text"`
}

// importance weighs a verdict: where page and harmony disagree first, then
// where the page is silent, then what is well and worth bringing out; large
// and sure before small and unsure. The weights are our own.
func importance(v dynamics.Verdict) float64 {
	return kindWeight(v) * certaintyWeight(v.Certainty) * v.Size
}

func kindWeight(v dynamics.Verdict) float64 {
	switch {
	case v.Aspect == dynamics.AtContrast: // the page's own wish, not a disagreement
		return 0.4
	case v.Kind == dynamics.WorksAgainst:
		return 1
	case v.Kind == dynamics.Unshaped:
		return 0.8
	case v.Kind == dynamics.Supports:
		return 0.4
	case v.Kind == dynamics.Independent:
		return 0.3
	}
	return 0
}

func certaintyWeight(c harmony.Certainty) float64 {
	switch c {
	case harmony.Sure:
		return 1
	case harmony.Likely:
		return 0.75
	}
	return 0.4
}

// Suggestions are at most five things to try in the shown stretch. What is to
// be done alike elsewhere is named with the first of its kind.
func (r *Reading) Suggestions() []Suggestion {
	ranked := r.ranked()
	var chosen []dynamics.Verdict
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
		out = append(out, Suggestion{r.at(v.Start), r.quarters(v.Start), r.span(v.Start, v.End), v.Kind, v.Certainty.String(), text})
	}
	return out
}

// ranked are the shown verdicts that ask for something, the most important first.
func (r *Reading) ranked() []dynamics.Verdict {
	var out []dynamics.Verdict
	for _, v := range r.Verdicts {
		if r.shows(v.Start, v.End) && importance(v) > 0 && v.Aspect != dynamics.AtPeak {
			out = append(out, v)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return importance(out[i]) > importance(out[j]) })
	return out
}

// alike names up to three further stretches with the same advice, and marks them as spoken of.
func (r *Reading) alike(rest []dynamics.Verdict, v dynamics.Verdict, chosen *[]dynamics.Verdict) string {
	const most = 3
	var found []dynamics.Verdict
	for _, w := range rest {
		if len(found) < most && w.Aspect == v.Aspect && w.Kind == v.Kind && sameWay(w, v) && !overlapsAny(*chosen, w) {
			found = append(found, w)
			*chosen = append(*chosen, w)
		}
	}
	sort.Slice(found, func(i, j int) bool { return found[i].Start < found[j].Start })
	own, names := r.measures(v.Start, v.End), []string{}
	for _, w := range found {
		if name := r.measures(w.Start, w.End); name != own && !slices.Contains(names, name) {
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

func sameWay(a, b dynamics.Verdict) bool {
	return (a.Tension > 0) == (b.Tension > 0) && (a.Level > 0) == (b.Level > 0) && a.Swells == b.Swells
}

// overlapsAny reports whether half of v or more is already spoken of.
func overlapsAny(chosen []dynamics.Verdict, v dynamics.Verdict) bool {
	for _, c := range chosen {
		if d := min(c.End, v.End) - max(c.Start, v.Start); 2*d >= v.End-v.Start {
			return true
		}
	}
	return false
}
