package harmony

import "testing"

// The textbooks' cadences, heard from the notes alone after a phrase that
// states the key. The half cadence reached by the dominant's own dominant is left
// out: as the last sound of a piece it is as well a cadence in the new key. The
// decoder is fitted, not derived, so two keys of 24 may differ.
func TestCadencesHeard(t *testing.T) {
	for _, f := range formulas {
		if f.name == "half by the dominant's dominant" {
			continue
		}
		wrong := 0
		for _, k := range allKeys() {
			c := chorale{"I IV V7:2 I:4 " + f.major.chords, "3 4 2 1 " + f.major.soprano}
			want := f.want
			if k.Minor {
				c = chorale{"i iv V7:2 i:4 " + f.minor.chords, "3 4 2 1 " + f.minor.soprano}
			} else if want == Phrygian {
				want = Half
			}
			s, _ := c.write(t, k)
			a, err := Analyse(s, Options{})
			if err != nil {
				t.Fatal(err)
			}
			n := len(a.Cadences)
			if n == 0 || a.Cadences[n-1].Kind != want || a.Cadences[n-1].Key != k {
				t.Logf("%s in %s: heard %s", f.name, k.Name(), show(a.Chords))
				wrong++
			}
		}
		if wrong > 2 {
			t.Errorf("%s: not heard in %d of 24 keys", f.name, wrong)
		}
	}
}
