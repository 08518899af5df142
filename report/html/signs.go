package html

import (
	"regexp"
	"strings"
)

// ascii finds letters that stand for accidentals in names of notes, chords and
// keys ("Bb7", "f#", "Eb major") and in numerals ("bVI", "#ivo").
var ascii = regexp.MustCompile(`\b([A-G])(bb?)(\d|maj|min|m|dim|aug|sus|add|ø|[^A-Za-z]|$)|\b([A-Ga-g])(##?)|\b(bb?|##?)(VII|VI|V|IV|III|II|I|vii|vi|v|iv|iii|ii|i)\b|(^|[ (/])([#b])(VII|VI|V|IV|III|II|I|vii|vi|v|iv|iii|ii|i)`)

// figured finds the figures of a numeral or of a chord's name: "V65", "iiø42/V", "Ger65",
// "Cad64", "Dm7b5". Two figures stand over each other, as a figured bass has them.
var figured = regexp.MustCompile(`(^|[\s(/♭♯,])((?:VII|VI|V|IV|III|II|I|vii|vi|v|iv|iii|ii|i|Ger|Fr|It|Sw|Cad)(?:maj|[°ø+])?)(65|64|43|42|53|7|6|9)($|[^\pL\pN:–])`)

var flatFive = regexp.MustCompile(`([A-G][♭♯]*)m7b5`)

// stacked are the figures one above the other.
var stacked = map[string]string{"65": "⁶₅", "64": "⁶₄", "43": "⁴₃", "42": "⁴₂", "53": "⁵₃", "7": "⁷", "6": "⁶", "9": "⁹"}

// signed writes accidentals as signs and figures over each other, in words as in the pictures.
func signed(text string) string {
	text = accidentals(text)
	if !mayFigure(text) {
		return text
	}
	if strings.Contains(text, "m7b5") {
		text = flatFive.ReplaceAllString(text, "${1}m7♭5")
	}
	return twice(text, figured, func(m []string) string { return m[1] + m[2] + stacked[m[3]] + m[4] })
}

// accidentals writes accidentals as signs.
func accidentals(text string) string {
	if !maySign(text) {
		return text
	}
	return twice(text, ascii, func(m []string) string {
		switch {
		case m[2] != "":
			return m[1] + asSigns(m[2]) + m[3]
		case m[5] != "":
			return m[4] + asSigns(m[5])
		case m[6] != "":
			return asSigns(m[6]) + m[7]
		}
		return m[8] + asSigns(m[9]) + m[10]
	})
}

// twice puts words in the place of what an expression finds, and once more, as neighbours
// share a sign: "Bb/Db", "V65 V7".
func twice(text string, find *regexp.Regexp, word func(found []string) string) string {
	for range 2 {
		next := find.ReplaceAllStringFunc(text, func(found string) string { return word(find.FindStringSubmatch(found)) })
		if next == text {
			break
		}
		text = next
	}
	return text
}

// maySign tells most texts that have no accidental from the others: a sharp, or a b
// behind a note's letter or before a numeral. It is much faster than the expression.
func maySign(text string) bool {
	for i := range len(text) {
		switch c := text[i]; {
		case c == '#', c == 'b' && i > 0 && (text[i-1] >= 'A' && text[i-1] <= 'G' || text[i-1] == 'b'):
			return true
		case c == 'b' && i+1 < len(text) && strings.IndexByte("VIvib", text[i+1]) >= 0:
			return true
		}
	}
	return false
}

// mayFigure tells most texts without figures from the others: a digit right behind what a
// numeral or a chord's name may end with. It is much faster than the expression.
func mayFigure(text string) bool {
	const ends = "IVivrtwdjm+\xb8\xb0" // the last two end ø and °
	for i := 1; i < len(text); i++ {
		if c := text[i]; c >= '2' && c <= '9' && strings.IndexByte(ends, text[i-1]) >= 0 {
			return true
		}
	}
	return false
}

func asSigns(letters string) string {
	return strings.NewReplacer("b", "♭", "#", "♯").Replace(letters)
}

// signedAll is signed for every text of a list.
func signedAll(texts []string) []string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = signed(t)
	}
	return out
}
