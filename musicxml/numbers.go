package musicxml

import (
	"math/bits"
	"strconv"
)

// decimal reads an XML decimal as a fraction num/den. It takes at most 12
// digits before the point and uses at most 6 behind it.
func decimal(s string) (num, den int64, ok bool) {
	s = trim(s)
	sign := int64(1)
	if s != "" && (s[0] == '-' || s[0] == '+') {
		if s[0] == '-' {
			sign = -1
		}
		s = s[1:]
	}
	den = 1
	digits, point := 0, false
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == '.' && !point:
			point = true
		case c < '0' || c > '9':
			return 0, 1, false
		case point && den >= 1e6: // finer than any score needs
		default:
			num = 10*num + int64(c-'0')
			if point {
				den *= 10
			}
			if num > 1e18 {
				return 0, 1, false
			}
			digits++
		}
	}
	return sign * num, den, digits > 0 && num/den < 1e12
}

// integer reads an XML integer between lo and hi.
func integer(s string, lo, hi int) (int, bool) {
	n, err := strconv.Atoi(trim(s))
	return n, err == nil && n >= lo && n <= hi
}

// number reads a decimal as a float; NaN, infinity and exponents are refused.
func number(s string) (float64, bool) {
	num, den, ok := decimal(s)
	return float64(num) / float64(den), ok
}

// firstNumber finds the first number in a text such as "ca. 96".
func firstNumber(s string) (float64, bool) {
	isDigit := func(c byte) bool { return '0' <= c && c <= '9' }
	for i := 0; i < len(s); i++ {
		if !isDigit(s[i]) {
			continue
		}
		j := i
		for j < len(s) && (isDigit(s[j]) || s[j] == '.' && j+1 < len(s) && isDigit(s[j+1])) {
			j++
		}
		return number(s[i:j])
	}
	return 0, false
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}

// lcm is the least common multiple, or false if it is above most.
func lcm(a, b, most int64) (int64, bool) {
	a /= gcd(a, b)
	if a > most/b {
		return 0, false
	}
	return a * b, true
}

// divRound is a/b to the nearest integer, halves away from zero. b is positive.
func divRound(a, b int64) int64 {
	if a < 0 {
		return -divRound(-a, b)
	}
	return (a + b/2) / b
}

// scale is n*num/den to the nearest integer, or false if that is above 1<<58.
// num and den are positive.
func scale(n, num, den int64) (int64, bool) {
	sign := int64(1)
	if n < 0 {
		sign, n = -1, -n
	}
	hi, lo := bits.Mul64(uint64(n), uint64(num))
	lo, carry := bits.Add64(lo, uint64(den)/2, 0)
	if hi += carry; hi >= uint64(den) {
		return 0, false
	}
	q, _ := bits.Div64(hi, lo, uint64(den))
	return sign * int64(q), q <= 1<<58
}
