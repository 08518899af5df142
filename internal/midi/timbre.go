package midi

import "strings"

// timbre is how a struck or plucked tone is made of partials.
type timbre struct {
	ratios   []float64 // of the partials to the lowest; nil: whole numbers, as of strings
	strength []float64 // of the partials at mf
	quicker  []float64 // how many times as fast each partial dies away
	fade     float64   // seconds in which middle C falls to a third
	rings    bool      // nothing damps it at the end of the written note
}

// Bars of mallet instruments. Their lowest partials are tuned by the arch under
// the bar: marimba and vibraphone two octaves above the lowest one (1 : 4), the
// xylophone a twelfth (1 : 3); the third lies near 9 to 10 or 6; glockenspiel bars
// are hardly cut away and stay near 1 : 2.76 : 5.40, those of an even bar. Upper
// partials die away faster than the lowest, wooden bars faster than metal ones,
// and the xylophone's fastest (N. H. Fletcher and T. D. Rossing 1998, The Physics
// of Musical Instruments, 2nd ed., ch. 19; ratios and order of decay from memory).
// Strengths and seconds are our own, by ear and in that order.
var bars = [...]struct {
	word string
	timbre
}{
	{"marimba", timbre{[]float64{1, 3.98, 9.2}, []float64{1, 0.22, 0.06}, []float64{1, 3.5, 7}, 0.4, true}},
	{"vibra", timbre{[]float64{1, 3.98, 9.9}, []float64{1, 0.25, 0.08}, []float64{1, 2.5, 5}, 2.4, false}},
	{"xylo", timbre{[]float64{1, 3, 6.1}, []float64{1, 0.4, 0.2}, []float64{1, 2.5, 5}, 0.18, true}},
	{"glocken", timbre{[]float64{1, 2.76, 5.4}, []float64{1, 0.35, 0.2}, []float64{1, 2, 4}, 1.2, true}},
}

// Plucked strings die away faster than those of the piano, which all other struck
// tones are like (common practice, no source; the seconds are our own).
const (
	pianoFade   = 1.6
	pluckedFade = 0.7
)

var plucked = [...]string{"guitar", "gitarre", "harpsi", "cembalo", "harp", "harfe", "lute", "laute", "mandolin", "banjo", "ukulele"}

// timbreOf is the timbre for a part's name.
func timbreOf(name string) timbre {
	name = strings.ToLower(name)
	for _, b := range bars {
		if strings.Contains(name, b.word) {
			return b.timbre
		}
	}
	for _, word := range plucked {
		if strings.Contains(name, word) {
			return timbre{fade: pluckedFade}
		}
	}
	return timbre{fade: pianoFade}
}

// ratio is the frequency of a partial in those of the lowest; 0 if there is none.
func (t timbre) ratio(k int) float64 {
	switch {
	case t.ratios == nil:
		return float64(k + 1)
	case k < len(t.ratios):
		return t.ratios[k]
	}
	return 0
}

// haste is how many times as fast as the lowest a partial dies away.
func (t timbre) haste(k int) float64 {
	if k < len(t.quicker) {
		return t.quicker[k]
	}
	return 1 + 0.35*float64(k)
}
