package decode

import "math"

// majorProfile and minorProfile are the relative frequencies of the scale
// degrees, tonic first, of Albrecht, J., & Shanahan, D. (2013), The use of
// large corpora to train a new type of key-finding algorithm, Music Perception
// 31(1), 59–67.
var (
	majorProfile = [12]float64{.238, .006, .111, .006, .137, .094, .016, .214, .009, .080, .008, .081}
	minorProfile = [12]float64{.220, .006, .104, .123, .019, .103, .012, .214, .062, .022, .061, .052}
)

// reaches are the windows, in beats before and after, in which keys are fitted;
// the last takes the whole piece.
var reaches = [...]struct{ before, after float64 }{{3, 3}, {8, 8}, {24, 24}, {8, 0}, {0, 8}, {math.Inf(1), math.Inf(1)}}

// fitKeys correlates the notes around each slice with all 24 profiles; a key's
// fit is 0 for the best key and negative for the others.
func (v *view) fitKeys() {
	n := len(v.Slices)
	sums := make([]histogram, n+1)
	beats := make([]float64, n+1)
	for i := range v.Slices {
		sums[i+1] = sums[i]
		beats[i+1] = beats[i] + v.Slices[i].Beats
		for k := range v.entries[i] {
			e := &v.entries[i][k]
			sums[i+1].add(e.pc, e.mass+0.25*e.onset)
		}
	}
	for r, reach := range reaches {
		if math.IsInf(reach.before, 1) {
			v.fit[r] = [][24]float64{keyFits(&sums[0], &sums[n])}
			continue
		}
		v.fit[r] = make([][24]float64, n)
		a, b := 0, 0
		for i := range v.fit[r] {
			for beats[i]-beats[a] > reach.before {
				a++
			}
			for b < n && (b <= i || beats[b]-beats[i+1] < reach.after) {
				b++
			}
			v.fit[r][i] = keyFits(&sums[a], &sums[b])
		}
	}
}

// fitAt is how well each key fits the notes within a reach of slice i.
func (v *view) fitAt(reach, i int) *[24]float64 {
	return &v.fit[reach][min(i, len(v.fit[reach])-1)]
}

// histogram is the evidence by pitch class, and its product with every key's profile.
type histogram struct {
	pc  [12]float64
	key [24]float64
}

func (h *histogram) add(pc int, mass float64) {
	h.pc[pc] += mass
	for k, x := range &profiles[pc] {
		h.key[k] += mass * x
	}
}

// profiles are, by pitch class, what each key's profile has for it; a profile
// is taken less its mean and of length one.
var profiles = profilesByPitch()

func profilesByPitch() (out [12][24]float64) {
	for md, profile := range [2][12]float64{unit(majorProfile), unit(minorProfile)} {
		for p := range out {
			for tonic := 0; tonic < 12; tonic++ {
				out[p][12*md+tonic] = profile[mod12(p-tonic)]
			}
		}
	}
	return out
}

func unit(profile [12]float64) (out [12]float64) {
	mean, length := 0.0, 0.0
	for _, x := range profile {
		mean += x / 12
	}
	for _, x := range profile {
		length += (x - mean) * (x - mean)
	}
	for i, x := range profile {
		out[i] = (x - mean) / math.Sqrt(length)
	}
	return out
}

// keyFits correlates the histogram between two running sums with every key.
func keyFits(from, to *histogram) (out [24]float64) {
	sum, square := 0.0, 0.0
	for p := range to.pc {
		x := to.pc[p] - from.pc[p]
		sum += x
		square += x * x
	}
	if square -= sum * sum / 12; square < 1e-9*sum*sum {
		return out
	}
	best, length := math.Inf(-1), math.Sqrt(square)
	for k := range out {
		out[k] = (to.key[k] - from.key[k]) / length
		best = max(best, out[k])
	}
	for k := range out {
		out[k] -= best
	}
	return out
}

// guessHome names the likeliest home key before anything is decoded, from the
// whole piece's notes, its last and first bass and its printed signature.
func (v *view) guessHome() int {
	n := len(v.Slices)
	if n == 0 {
		return 0
	}
	best, at := math.Inf(-1), 0
	for k := 0; k < 24; k++ {
		score := v.fitAt(len(reaches)-1, 0)[k]
		if v.low[n-1].pc == k%12 {
			score += 0.3
		}
		if v.low[0].pc == k%12 {
			score += 0.1
		}
		if v.Signature && signatureOffset(k, v.Slices[0].Signature) == 0 {
			score += 0.3
		}
		if score > best {
			best, at = score, k
		}
	}
	return at
}

// signatureOffset is how many sharps the key has more than the printed signature, -6 to 5.
func signatureOffset(key, signature int) int {
	own := 7 * (key % 12)
	if mode(key) == 1 {
		own -= 3
	}
	return mod12(own-signature+6) - 6
}
