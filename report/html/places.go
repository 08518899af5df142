package html

import (
	"strconv"

	"hairpin/report"
	"hairpin/score"
)

// Place is an entry of the contents: a suggestion, a phrase, a stretch in a key
// or the most tense moment, with what is needed to go there and to hear it.
type Place struct {
	Kind    string  `json:"kind"` // "try", "phrase", "key", "summit"
	Name    string  `json:"name"` // "1", "Phrase 3", "G major"
	Where   string  `json:"where"`
	Bar     int     `json:"bar"`  // index of its measure
	From    float64 `json:"from"` // quarter notes from the start as written
	To      float64 `json:"to"`
	Text    string  `json:"text"`
	Verdict string  `json:"verdict"` // "" if there is none
	Unsure  bool    `json:"unsure,omitempty"`
}

// places are the contents of the shown stretch, by kind.
func places(r *report.Reading, words *report.Words) (out []Place) {
	out = append(out, tryPlaces(r)...)
	for i, p := range r.Phrases() {
		if i >= len(words.Phrases) {
			break
		}
		s := words.Phrases[i]
		place := newPlace(r, "phrase", p.Start, p.End)
		place.Name, place.Text, place.Unsure = "Phrase "+strconv.Itoa(i+1), s.Ends, s.Certainty == "unsure"
		for _, v := range s.Stretches {
			place.Text += "; " + v.Harmony + ", " + string(v.Verdict)
			place.Verdict += string(v.Verdict) + " "
		}
		place.Text = signed(place.Text)
		out = append(out, place)
	}
	share := func(t score.Tick) float64 { return r.Score.Quarters(t) }
	for _, k := range keysOf(r, share) {
		place := newPlace(r, "key", tickAt(r, k.from), tickAt(r, k.to))
		place.Name = k.note
		out = append(out, place)
	}
	for _, s := range summitOf(r, share) {
		m := r.Score.Measures[s.bar]
		place := newPlace(r, "summit", m.Start, m.End())
		place.Name = s.note
		out = append(out, place)
	}
	return out
}

func tryPlaces(r *report.Reading) (out []Place) {
	for i, s := range r.Suggestions() {
		from := tickAt(r, float64(s.Onset))
		to := r.Score.Measures[measureOf(r.Score, from)].End()
		for _, v := range r.Verdicts {
			if v.Start == from && v.Kind == s.Verdict {
				to = max(to, v.End)
			}
		}
		place := newPlace(r, "try", from, to)
		place.Name, place.Text, place.Verdict, place.Unsure = strconv.Itoa(i+1), signed(s.Text), string(s.Verdict), s.Certainty == "unsure"
		out = append(out, place)
	}
	return out
}

func newPlace(r *report.Reading, kind string, from, to score.Tick) Place {
	return Place{Kind: kind, Where: r.Span(from, to), Bar: measureOf(r.Score, from),
		From: thousandth(r.Score.Quarters(from)), To: thousandth(r.Score.Quarters(to))}
}
