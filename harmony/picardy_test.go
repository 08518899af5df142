package harmony

import (
	"hairpin/harmony/written"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
)

// A minor piece that closes on a raised third is at home in minor, whatever its
// signature says or hides, however it is reached (common practice, no source).
func TestPicardyThirdStaysMinor(t *testing.T) {
	for name, romans := range map[string]string{
		"authentic":               "i V6 i iv V7 i VI iv V7 I",
		"plagal with minor four":  "i V6 i iv V7 i VI iv V7 i iv I",
		"plagal with major four":  "i V6 i iv V7 i VI iv V7 i IV I",
		"after the relative":      "i iv V7 i V7/III III VI V7/III III V7/III III iv V7 i iiø65 V7 I",
		"over a dominant's pedal": "i iv V7 i iv Cad64 V7 I",
	} {
		for _, k := range written.Keys() {
			if !k.Minor {
				continue
			}
			for _, signs := range []bool{true, false} {
				a, err := Analyse(setOut(t, k, romans, textbook), Options{IgnoreSigns: !signs})
				if err != nil {
					t.Fatal(err)
				}
				read, _ := a.numerals()
				last := a.Chords[len(a.Chords)-1]
				if a.Home != k || last.Quality != tonal.Major || last.Root != k.Tonic || !strings.HasSuffix(read, "I") {
					t.Errorf("%s, %s, signs %v: home %s, last chord %s, read %s", name, k.Name(), signs, a.Home.Name(), last.Name(), read)
				}
			}
		}
	}
}
