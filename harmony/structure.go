package harmony

import (
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
)

// formOn fills in the form from the phrases and the notes of a page that is read.
func (a *Analysis) formOn(page *form.Page) {
	phrases := make([]form.Phrase, len(a.Phrases))
	for i, p := range a.Phrases {
		phrases[i] = form.Phrase{Span: form.Span{Start: p.Start, End: p.End}}
		if p.Cadence >= 0 {
			c := a.Cadences[p.Cadence]
			phrases[i].Close, phrases[i].Tonic, phrases[i].Certainty = closeOf(c.Kind), c.Key.Tonic, c.Confidence
		}
	}
	a.Form = page.Hear(phrases)
}

// closeOf is how firmly a cadence closes a phrase.
func closeOf(k phrasing.CadenceKind) form.Close {
	switch k {
	case phrasing.PerfectAuthentic:
		return form.FullClose
	case phrasing.ImperfectAuthentic, phrasing.Plagal:
		return form.SoftClose
	case phrasing.Half, phrasing.Phrygian:
		return form.OpenClose
	}
	return form.NoClose
}
