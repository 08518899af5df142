package html

import (
	"strconv"
	"strings"

	"hairpin/report"
	"hairpin/score"
)

// Place is an entry of the contents: a suggestion, a section, a phrase, a stretch
// in a key or the most tense moment, with what is needed to go there and to hear it.
type Place struct {
	Kind    string  `json:"kind"` // "try", "section", "phrase", "key", "summit"
	Name    string  `json:"name"` // "1", "Section A′", "Phrase 3 (b)", "G major"
	Where   string  `json:"where"`
	Bar     int     `json:"bar"`  // index of its measure
	From    float64 `json:"from"` // quarter notes from the start as written
	To      float64 `json:"to"`
	Text    string  `json:"text"`
	Verdict string  `json:"verdict"` // "" if there is none
	Unsure  bool    `json:"unsure,omitempty"`
}

// places are the contents of the shown stretch, by kind; sections and phrases
// together in their order.
func places(r *report.Reading, words *report.Words) (out []Place) {
	out = append(out, tryPlaces(r)...)
	out = append(out, formPlaces(r, phrasePlaces(r, words))...)
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

// phrasePlaces are the shown phrases, named by number and the letter of their music.
func phrasePlaces(r *report.Reading, words *report.Words) (out []Place) {
	all, ideas := r.Phrases(), r.Harmony.Form.Ideas
	for _, s := range words.Phrases {
		i := s.Number - 1
		place := newPlace(r, "phrase", all[i].Start, all[i].End)
		place.Where = s.Measures
		place.Name, place.Text, place.Unsure = "Phrase "+strconv.Itoa(s.Number), s.Told(), s.Doubted()
		if i < len(ideas) && ideas[i].Letter != "" {
			place.Name += " (" + lettered(ideas[i].Letter, ideas[i].Prime) + ")"
		}
		if way := s.Way(); way != "" {
			place.Text = strings.TrimPrefix(place.Text+"; "+way, "; ")
		}
		for _, v := range s.Stretches {
			place.Text = strings.TrimPrefix(place.Text+"; "+v.Harmony+", "+string(v.Verdict), "; ")
			place.Verdict += string(v.Verdict) + " "
		}
		place.Text = signed(place.Text)
		out = append(out, place)
	}
	return out
}

// formPlaces puts each section, where there are several, before its phrases.
func formPlaces(r *report.Reading, phrases []Place) (out []Place) {
	sections := r.Harmony.Form.Sections
	if len(sections) < 2 {
		return phrases
	}
	names := r.SectionNames()
	for i, s := range sections {
		from, to := r.Score.Quarters(s.Start), r.Score.Quarters(s.End)
		place := newPlace(r, "section", s.Start, s.End)
		place.Where = r.PhraseBars(s.Start, s.End).Named()
		place.Name = names[i]
		n := 0
		for n < len(phrases) && (phrases[n].From+phrases[n].To)/2 < to {
			if (phrases[n].From+phrases[n].To)/2 >= from {
				place.Verdict += phrases[n].Verdict
			}
			n++
		}
		if n > 0 {
			out = append(append(out, place), phrases[:n]...)
		}
		phrases = phrases[n:]
	}
	return append(out, phrases...)
}

func lettered(name string, prime bool) string {
	if prime {
		return name + "′"
	}
	return name
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
