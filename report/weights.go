package report

import (
	"fmt"
	"io"

	"hairpin/harmony/tension"
)

// weighing is how the parts of tension were weighed, as JSON carries it.
type weighing struct {
	Dissonance float64 `json:"dissonance"`
	Distance   float64 `json:"distance"`
	Pull       float64 `json:"pull"`
}

func (r *Reading) weighing() weighing {
	w := r.Harmony.Weights
	return weighing{w.Dissonance, w.Distance, w.Pull}
}

// weighed reports whether the user changed a weight.
func (r *Reading) weighed() bool {
	return r.Harmony.Weights != tension.Weights{Dissonance: 1, Distance: 1, Pull: 1}
}

// String writes the weights as the command takes them: "dissonance=1,distance=1,pull=0.5".
func (w weighing) String() string {
	return fmt.Sprintf("dissonance=%g,distance=%g,pull=%g", w.Dissonance, w.Distance, w.Pull)
}

// weightSentence says how tension was weighed, "" if as usual.
func (r *Reading) weightSentence() string {
	if !r.weighed() {
		return ""
	}
	return "tension is weighed " + r.weighing().String()
}

// weightColumn adds the weights to a table for tools, if the user changed them.
func (r *Reading) weightColumn(g grid) grid {
	if !r.weighed() {
		return g
	}
	g.head = append(g.head, "weights")
	for i := range g.rows {
		g.rows[i] = append(g.rows[i], r.weighing().String())
	}
	return g
}

// markdownWeights ends a Markdown text with the weights, if the user changed them.
func (r *Reading) markdownWeights(w io.Writer) error {
	if !r.weighed() {
		return nil
	}
	_, err := fmt.Fprintf(w, "\n%s\n", markdownText(sentence(r.weightSentence())))
	return err
}

// markdown writes a table and the weights it rests on.
func (r *Reading) markdown(w io.Writer, g grid) error {
	if err := g.markdown(w); err != nil {
		return err
	}
	return r.markdownWeights(w)
}

// notes writes what the reader should know below a table, and the weights.
func (r *Reading) notes(w io.Writer, text string) error {
	if err := r.note(w, text); err != nil {
		return err
	}
	return r.note(w, sentence(r.weightSentence()))
}
