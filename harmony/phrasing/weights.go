package phrasing

import "hairpin/score"

// Weights are the log-odds that each mark adds to a boundary between phrases.
type Weights struct {
	None    float64 // a moment without any mark
	Cadence float64 // times the probability that a formula of the harmony closes
	Lead    float64 // a beat of unusual silence in the leading line
	All     float64 // unusual silence in all lines
	Long    float64 // a last note nearly three times as long as usual
	Held    float64 // all lines hold over
	Fermata float64
	Slur    float64 // the leading line's slur ends
	Text    float64 // the words the leading line sings stop; at a comma half of it
	Bar     float64 // double bar or repeat sign
	Echo    float64 // a passage starts that comes back elsewhere
	Ground  float64 // a ground bass starts again
	Broken  float64 // cost of a phrase that does not last whole measures; in measured music added to that of the nearest number
	Odd     float64 // cost of whole measures, but not two, four or eight
	Two     float64 // cost of two measures
	Open    float64 // cost of up to two measures that end without a close
	Length  float64 // cost of a phrase twice or half as long as usual in the piece
	SixFour float64 // cost of a boundary after a cadential six-four
	Waiting float64 // cost of one inside a dominant seventh and the like, or between it and what it leads to
	Opening float64 // the opening of the piece comes back
	Return  float64 // long music comes back after other music
	Alike   float64 // shorter music comes back, or what comes back is first heard
	Print   float64 // a new tempo or character is printed
	Silence float64 // all are silent for a measure
	Bars    bool    // usual phrases last four or eight measures, rather than 8, 12 or 16 beats

	Authentic, Half, Withheld Signs // log-odds that a formula closes, or that its close is withheld
}

// closingWeights are the weights of the signs for a kind of formula.
func (w Weights) closingWeights(k CadenceKind) Signs {
	switch k {
	case Half, Phrygian:
		return w.Half
	case Deceptive, Evaded:
		return w.Withheld
	}
	return w.Authentic
}

// WeightsFor are the weights that suit a score: those of chorales where
// fermatas stand at least every sixth measure, those of measured music otherwise.
// The limit is a choice of ours.
func WeightsFor(s *score.Score) Weights {
	held := map[score.Tick]bool{}
	for _, f := range s.Fermatas {
		held[f.At] = true
	}
	if len(held) >= 3 && 6*len(held) >= len(s.Measures) {
		return ChoraleWeights()
	}
	return DefaultWeights()
}

// DefaultWeights suit music without such signs: phrases of four or eight
// measures are usual. The signs are fitted, see signs.go. None, Odd, Two
// and Length are chosen on the closes marked in 30 movements of Mozart's sonatas
// and in four of Chopin's mazurkas (Hentschel, Neuwirth & Rohrmeier 2021, The Annotated
// Mozart Sonatas, and the same group's annotations of the mazurkas; both CC
// BY-NC-SA 4.0, title and licence from memory), and nothing of them is kept but these
// numbers; since then also on our own notes of where phrases begin in twenty pieces, and
// Lead, Broken, SixFour and Waiting with them. Open is counted on the sonatas, Print, Silence
// and Ground are set by hand. The other weights are those of chorales.
func DefaultWeights() Weights {
	w := ChoraleWeights()
	w.Bars = true
	w.None, w.Odd, w.Two, w.Length = -2.1, 1.3, 1.5, 1.1
	w.Open = 0.7
	w.SixFour, w.Waiting, w.Print, w.Silence = 6, 2, 0.5, 2
	w.Lead, w.Broken = 0.1, 0.6
	w.Authentic, w.Half, w.Withheld = sonataAuthentic(), sonataHalf(), sonataWithheld()
	w.Ground = 5.5 // a ground of five measures must outweigh Odd
	return w
}

// ChoraleWeights lie between values set by hand and those fitted to them by
// tools/fit/phrases on phrase ends that analysts marked in the When in Rome
// corpus (Gotham et al. 2023): 175 chorales with their fermatas taken out, 22
// madrigals and, at half weight, 31 songs. The fit alone would trust harmony a little
// more and rests of the leading line not at all, which suits chorales and
// polyphony but not songs. Text is chosen by how it changes the chorales and the
// madrigals as they are heard. Fermata, Slur, Bar and Ground are set by hand: those
// scores cannot tell. The songs' analyses are CC BY-SA 4.0; for the others no
// licence is stated, and nothing of them is kept but these numbers.
func ChoraleWeights() Weights {
	return Weights{
		None: -1, Cadence: 5, Lead: 0.3, All: 1, Long: 1.5, Held: -2,
		Fermata: 5, Slur: 0.8, Text: 1, Bar: 3, Echo: 1.3, Ground: 4, Broken: 1.2, Odd: 0.4, Length: 2.2,
		Opening: 4, Return: 2, Alike: 1,
		Authentic: choraleAuthentic(), Half: choraleHalf(), Withheld: choraleWithheld(),
	}
}
