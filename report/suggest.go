package report

import (
	"sort"

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
	kind := map[dynamics.Kind]float64{dynamics.WorksAgainst: 1, dynamics.Unshaped: 0.8, dynamics.Supports: 0.4, dynamics.Independent: 0.3}[v.Kind]
	certainty := map[harmony.Certainty]float64{harmony.Sure: 1, harmony.Likely: 0.75, harmony.Unsure: 0.4}[v.Certainty]
	return kind * certainty * v.Size
}

// Suggestions are at most five things to try in the shown stretch.
func (r *Reading) Suggestions() []Suggestion {
	var ranked []dynamics.Verdict
	for _, v := range r.Verdicts {
		if r.shows(v.Start, v.End) && importance(v) > 0 && v.Aspect != dynamics.AtPeak {
			ranked = append(ranked, v)
		}
	}
	sort.SliceStable(ranked, func(i, j int) bool { return importance(ranked[i]) > importance(ranked[j]) })
	var chosen []dynamics.Verdict
	var out []Suggestion
	for _, v := range ranked {
		if len(out) == mostSuggestions {
			break
		}
		if overlapsAny(chosen, v) {
			continue
		}
		chosen = append(chosen, v)
		out = append(out, Suggestion{r.at(v.Start), r.quarters(v.Start), r.span(v.Start, v.End), v.Kind, certaintyWord(v.Certainty), v.Sentence})
	}
	return out
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
