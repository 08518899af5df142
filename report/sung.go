package report

import (
	"strings"
	"unicode/utf8"

	"hairpin/score"
)

// sungAt is the word that is sung at a moment, of the first part that sings then, in full
// and without its punctuation; "" if nobody sings, or several verses share the notes.
func (r *Reading) sungAt(t score.Tick) string {
	list := r.Score.Syllables
	for i, y := range list {
		if y.At <= t && y.Verses <= 1 && t < r.sungUntil(y, t) {
			return wordOf(list, i)
		}
	}
	return ""
}

// sungUntil is the end of the note that carries a syllable at a moment; a syllable with
// another after it in its part has ended with that. It is 0 where no such note sounds.
func (r *Reading) sungUntil(y score.Syllable, t score.Tick) score.Tick {
	for _, z := range r.Score.Syllables {
		if z.Part == y.Part && z.Voice == y.Voice && z.At > y.At && z.At <= t {
			return 0
		}
	}
	for _, n := range r.Score.Notes[r.Score.FirstNote(t-r.longest):r.Score.FirstNote(t+1)] {
		if n.Part == y.Part && n.Onset >= y.At && n.Onset <= t && n.End() > t {
			return n.End()
		}
	}
	return 0
}

// wordOf joins the syllables of the word that syllable i belongs to.
func wordOf(list []score.Syllable, i int) string {
	var own []score.Syllable
	at := 0
	for k, y := range list {
		if y.Part == list[i].Part && y.Voice == list[i].Voice {
			if k == i {
				at = len(own)
			}
			own = append(own, y)
		}
	}
	from, to := at, at
	for from > 0 && !own[from-1].Ends {
		from--
	}
	for to < len(own)-1 && !own[to].Ends {
		to++
	}
	var b strings.Builder
	for _, y := range own[from : to+1] {
		b.WriteString(y.Text)
	}
	return strings.Trim(b.String(), " .,;:!?\"'“”„«»()-–")
}

// onWord names the word sung at a moment: `, on the word "grove"`; "" for none.
func (r *Reading) onWord(t score.Tick) string {
	const least = 3 // letters: nobody leads to an "of"
	if word := r.sungAt(t); utf8.RuneCountInString(word) >= least {
		return `, on the word "` + word + `"`
	}
	return ""
}
