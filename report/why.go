package report

import (
	"sort"

	"hairpin/dynamics/verdict"
	"hairpin/harmony/tension"
	"hairpin/score"
)

// Why is an explanation for the page.
type Why struct {
	At      string      `json:"at"`
	Heading string      `json:"heading"`
	Because string      `json:"because"` // the reason in one sentence
	Tension int         `json:"tension"` // 0 to 100
	Given   bool        `json:"given"`   // the chord is the user's own
	Rows    [][3]string `json:"rows"`    // cause, points of tension or "", reason
	Key     string      `json:"key"`     // as a correction writes it
	Roman   string      `json:"roman"`
	Propose string      `json:"propose"` // what the proposal does there, and why
}

// Explainer explains one moment after another. It is for one goroutine.
type Explainer struct {
	r     *Reading
	ear   *tension.Explainer
	spans []verdict.Verdict
}

// Explainer readies explanations of the reading's moments.
func (r *Reading) Explainer() *Explainer {
	return &Explainer{r, r.Harmony.Explainer(r.Score), r.SpanVerdicts()}
}

// Why explains the moment at, "MEASURE:BEAT". It returns a [ChoiceError] for a
// moment that the score does not have.
func (e *Explainer) Why(at string) (*Why, error) {
	r := e.r
	t, err := r.find(at)
	if err != nil {
		return nil, err
	}
	x := e.explain(t)
	out := &Why{At: r.At(t), Heading: x.said()}
	out.Because, out.Tension, out.Given = x.because(r.Score, t), int(float64(x.Tension.Total)+0.5), x.Chord != nil && x.Chord.Given
	for _, row := range x.rows().rows {
		out.Rows = append(out.Rows, [3]string{row[0], row[1], row[2]})
	}
	if c := r.chordAt(t); c != nil {
		out.Key, out.Roman = c.Key.String(), c.Roman()
	}
	out.Propose = r.proposedAt(t)
	return out, nil
}

// proposedAt says what the proposal does at a moment.
func (r *Reading) proposedAt(t score.Tick) string {
	if r.Shaping == nil {
		return ""
	}
	list := r.Shaping.Proposals
	i := sort.Search(len(list), func(i int) bool { return list[i].At > t })
	if i == 0 {
		return ""
	}
	return list[i-1].On(r.Line.At(t)).Sentence()
}
