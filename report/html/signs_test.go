package html

import "testing"

// Signs as common practice prints them (no source).
func TestAccidentalsAreSigns(t *testing.T) {
	for in, want := range map[string]string{
		"Bb major":                  "B♭ major",
		"Ebmaj7 and F#m7b5":         "E♭maj7 and F♯m7♭5",
		"Bb/Db":                     "B♭/D♭",
		"f# minor, c#":              "f♯ minor, c♯",
		"bVI in C":                  "♭VI in C",
		"V7/bVI, #ivo":              "V⁷/♭VI, ♯ivo",
		"V65, V65 V7":               "V⁶₅, V⁶₅ V⁷",
		"iiø42/V (Ger65)":           "iiø⁴₂/V (Ger⁶₅)",
		"vii°6 at 6:1, I 64":        "vii°⁶ at 6:1, I 64",
		"IVmaj7":                    "IVmaj⁷",
		"I6 and the m. 64 of op. 7": "I⁶ and the m. 64 of op. 7",
		"Above Ebbing A Bright":     "Above Ebbing A Bright",
		"Bbb4 and Ab4":              "B♭♭4 and A♭4",
		"Abm":                       "A♭m",
		"a rub between D and Eb.":   "a rub between D and E♭.",
		"Gb":                        "G♭",
		"no. #4 in the list of ab":  "no. #4 in the list of ab",
	} {
		if got := signed(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}
