package musicxml

import (
	"math"
	"math/big"
	"testing"

	"hairpin/score"
)

// Decimals of the schema (W3C, XML Schema Part 2, 2004): a sign, digits, one point.
// Of more than six digits after the point the rest is dropped, a million million is
// too much (our own bounds).
func TestDecimal(t *testing.T) {
	for text, want := range map[string]float64{
		"0": 0, "12": 12, " 12 ": 12, "+3": 3, "-3": -3, "0.5": 0.5, ".5": 0.5, "5.": 5, "-1.25": -1.25, "007": 7,
		"0.1234567": 0.123456, "0.9999999": 0.999999, "999999999999": 999999999999,
	} {
		if got, ok := number(text); !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("%q is read %v (%v), want %v", text, got, ok, want)
		}
	}
	for _, text := range []string{"", ".", "-", "+", "1e3", "NaN", "1..2", "1,5", "--1", "1 2", "1000000000000", "99999999999999999999999"} {
		if got, ok := number(text); ok {
			t.Errorf("%q is read %v", text, got)
		}
	}
}

func TestInteger(t *testing.T) {
	for text, want := range map[string]int{"-7": -7, "7": 7, "+7": 7, " 0 ": 0} {
		if got, ok := integer(text, -7, 7); !ok || got != want {
			t.Errorf("%q is read %d (%v)", text, got, ok)
		}
	}
	for _, text := range []string{"8", "-8", "", "+", "++1", "+-1", "1.0", "x"} {
		if got, ok := integer(text, -7, 7); ok {
			t.Errorf("%q is read %d", text, got)
		}
	}
}

func TestFirstNumber(t *testing.T) {
	for text, want := range map[string]float64{"ca. 96": 96, "96-104": 96, "c. 72.5": 72.5, "60.": 60, "0": 0, "9": 9} {
		if got, ok := firstNumber(text); !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("%q: %v (%v), want %v", text, got, ok, want)
		}
	}
	if got, ok := firstNumber("presto."); ok {
		t.Errorf("a word is %v", got)
	}
}

// Halves go away from zero; the outside reference for large numbers is math/big.
func TestScale(t *testing.T) {
	for _, c := range []struct{ n, num, den, want int64 }{{1, 1, 2, 1}, {-1, 1, 2, -1}, {1, 1, 3, 0}, {2, 1, 3, 1}, {5, 1, 2, 3}, {-5, 1, 2, -3}, {7, 3, 4, 5}, {0, 9, 4, 0}} {
		if got, ok := scale(c.n, c.num, c.den); !ok || got != c.want {
			t.Errorf("%d times %d/%d is %d (%v), want %d", c.n, c.num, c.den, got, ok, c.want)
		}
		if got := divRound(c.n*c.num, c.den); got != c.want {
			t.Errorf("%d/%d is %d, want %d", c.n*c.num, c.den, got, c.want)
		}
	}
	for _, c := range []struct{ n, num, den int64 }{{1 << 58, 1, 1}, {1 << 50, 1 << 30, 1 << 22}, {1<<58 + 1, 1, 1}, {1 << 62, 1 << 62, 1}, {1 << 40, 1 << 40, 1<<22 - 1}, {1 << 61, 7, 1 << 6}} {
		exact := new(big.Int).Mul(big.NewInt(c.n), big.NewInt(c.num))
		exact.Add(exact, big.NewInt(c.den/2)).Quo(exact, big.NewInt(c.den))
		within := exact.Cmp(big.NewInt(1<<58)) <= 0
		if got, ok := scale(c.n, c.num, c.den); ok != within || ok && got != exact.Int64() {
			t.Errorf("%d times %d/%d is %d (%v), want %s (%v)", c.n, c.num, c.den, got, ok, exact, within)
		}
	}
}

func TestLeastCommonMultiple(t *testing.T) {
	for _, c := range []struct {
		a, b, most, want int64
		ok               bool
	}{{4, 6, 12, 12, true}, {4, 6, 11, 0, false}, {7, 5, 35, 35, true}, {8, 8, 8, 8, true}, {1, 9, 9, 9, true}} {
		if got, ok := lcm(c.a, c.b, c.most); ok != c.ok || ok && got != c.want {
			t.Errorf("of %d and %d, at most %d: %d (%v)", c.a, c.b, c.most, got, ok)
		}
	}
}

// Letters of the plainest interval: any textbook; the tritone is a fourth here.
func TestPlainSteps(t *testing.T) {
	for semitones, want := range []int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6, 7, 8, 8} {
		if got := plainSteps(float64(semitones)); got != want {
			t.Errorf("%d half tones are %d steps, want %d", semitones, got, want)
		}
		if got := plainSteps(-float64(semitones)); got != -want {
			t.Errorf("%d half tones down are %d steps, want %d", semitones, got, -want)
		}
	}
}

// A written key that transposes past seven signs is spelled the other way: seven
// sharps at most, seven flats at most (common practice, no source).
func TestTransposedKeepsWithinSevenSigns(t *testing.T) {
	up := transposition{1, 2} // a whole tone, two sharps more
	for written, want := range map[int]int{4: 1, 5: 1, 6: 2, 7: 2, -7: 1} {
		r := &partReader{transpose: map[int]transposition{0: up}, keys: map[int]score.KeyMark{0: {Written: written}}}
		if got := r.transposed(1, 0); got.steps != want {
			t.Errorf("from %d signs up a tone: %d steps, want %d", written, got.steps, want)
		}
	}
	down := transposition{-1, -2}
	for written, want := range map[int]int{-4: -1, -5: -1, -6: -2, 7: -1} {
		r := &partReader{transpose: map[int]transposition{0: down}, keys: map[int]score.KeyMark{0: {Written: written}}}
		if got := r.transposed(1, 0); got.steps != want {
			t.Errorf("from %d signs down a tone: %d steps, want %d", written, got.steps, want)
		}
	}
}
