package sound

import (
	"math"
	"slices"
)

// Of the strokes of [Sound.Spread]: levels of 50 ms, a stroke is one that is highest
// among its two neighbours on each side and not so many decibels under the loudest.
const (
	strokeLong = Rate / 20
	strokeDeep = 45.0
)

// Spread is how much louder, in decibels, the loudest strokes are than the usual one:
// their 95th percentile over their median. Compression makes it small; so does even
// playing. It is 0 where there are too few strokes.
func (s *Sound) Spread() float64 {
	var level []float64
	for from := 0; from+strokeLong <= len(s.Samples); from += strokeLong {
		sum := 1e-12
		for _, x := range s.Samples[from : from+strokeLong] {
			sum += float64(x) * float64(x)
		}
		level = append(level, 10*math.Log10(sum/strokeLong))
	}
	strokes := strokesOf(level)
	const least = 20
	if len(strokes) < least {
		return 0
	}
	return strokes[len(strokes)*95/100] - strokes[len(strokes)/2]
}

// strokesOf are the levels of the strokes, rising.
func strokesOf(level []float64) (out []float64) {
	if len(level) < 5 {
		return nil
	}
	sorted := slices.Sorted(slices.Values(level))
	floor := sorted[len(sorted)*95/100] - strokeDeep
	for i := 2; i+2 < len(level); i++ {
		if level[i] > floor && level[i] == slices.Max(level[i-2:i+3]) {
			out = append(out, level[i])
		}
	}
	slices.Sort(out)
	return out
}

// Clipped reports whether loud places are cut off: of the file's own samples one in
// ten thousand stands with its neighbours at the very top.
func (s *Sound) Clipped() bool {
	return s.cut*10_000 > len(s.Samples)
}

// cutOff counts samples of a file that stand, three in a row, at the highest value
// that it can hold.
func cutOff(samples []float32) (n int) {
	const top = 0.998
	row := 0
	for _, x := range samples {
		if x < top && x > -top {
			row = 0
			continue
		}
		if row++; row >= 3 {
			n++
		}
	}
	return n
}
