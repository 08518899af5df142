package midi

import (
	"math"
	"sort"
)

// The tone. Its numbers are our own, chosen by ear and so that each step of
// level raises the loudness by perStep decibels and tilts the partials upward.
const (
	partials = 12
	perStep  = 3.5   // decibels a step of level
	attack   = 0.004 // seconds of a struck tone
	swell    = 0.04  // seconds of a sustained one
	release  = 0.12  // seconds after a note's end
	drumFade = 0.09  // seconds in which a drum falls to a third
)

// tone is one sounding note. Times are in seconds.
type tone struct {
	start, end float64
	frequency  float64
	level      float64  // at its start
	curve      []moment // the running level it follows, nil for a struck tone
	drum       bool
	timbre     timbre
	pan        float64 // -0.5 left to 0.5 right
	seed       uint32

	tilted float64 // the level for which weights holds
	weight [partials]float64
	ready  bool
}

// add sounds the tone over one block that begins at a time.
func (t *tone) add(out *[block]float64, from float64) {
	const long = float64(block) / sampleRate
	if t.drum {
		t.addDrum(out, from)
		return
	}
	var a, b [partials]float64
	t.strengths(&a, from)
	t.strengths(&b, from+long)
	for k := range partials {
		if a[k] < 1e-6 && b[k] < 1e-6 {
			continue
		}
		turn := 2 * math.Pi * t.frequency * t.timbre.ratio(k)
		sin, cos := math.Sincos(math.Mod(turn*(from-t.start), 2*math.Pi))
		ds, dc := math.Sincos(turn / sampleRate)
		strength, more := a[k], (b[k]-a[k])/block
		for i := range out {
			out[i] += strength * sin
			strength += more
			sin, cos = sin*dc+cos*ds, cos*dc-sin*ds
		}
	}
}

// strengths are the amplitudes of the partials at a time.
func (t *tone) strengths(out *[partials]float64, at float64) {
	if at <= t.start {
		return
	}
	since := at - t.start
	level, shape := t.level, 0.0
	if t.curve != nil {
		level += t.running(at) - t.running(t.start)
		shape = min(since/swell, 1)
	} else {
		shape = min(since/attack, 1)
	}
	if at > t.end && !t.timbre.rings {
		shape *= max(0, 1-(at-t.end)/release)
	}
	t.tilt(level)
	shape *= loudness(level)
	fade := t.fade()
	for k := range out {
		out[k] = shape * t.weight[k]
		if t.curve == nil {
			out[k] *= math.Exp(-since / fade * t.timbre.haste(k))
		}
	}
}

// loudness is the amplitude of a level: 1 for fff, silence for 0.
func loudness(level float64) float64 {
	const fff = 8
	x := math.Pow(10, (level-fff)*perStep/20)
	if level < 1 {
		x *= max(level, 0)
	}
	return x
}

// fade is how long a struck tone takes to fall to a third: low tones ring longer.
func (t *tone) fade() float64 {
	x := t.timbre.fade * math.Sqrt(262/t.frequency)
	return min(max(x, 0.2*t.timbre.fade), 2.5*t.timbre.fade)
}

// over reports whether nothing is left of the tone at a time.
func (t *tone) over(at float64) bool {
	if t.timbre.rings {
		return at > t.end+release && at > t.start+8*t.fade()
	}
	return at > t.end+release
}

// running is the part's running level at a time.
func (t *tone) running(at float64) float64 {
	i := sort.Search(len(t.curve), func(i int) bool { return t.curve[i].at > at })
	if i == 0 {
		return t.level
	}
	return t.curve[i-1].level
}

// tilt sets the weights of the partials for a level: the louder, the stronger
// the upper ones. Their power always adds up to one.
func (t *tone) tilt(level float64) {
	if t.ready && math.Abs(level-t.tilted) < 0.02 {
		return
	}
	t.ready, t.tilted = true, level
	level = min(max(level, 0), 9)
	power := 0.0
	for k := range t.weight {
		t.weight[k] = 0
		if r := t.timbre.ratio(k); k == 0 || r > 0 && t.frequency*r < 0.4*sampleRate {
			t.weight[k] = t.timbre.weigh(k, level)
		}
		power += t.weight[k] * t.weight[k]
	}
	for k := range t.weight {
		t.weight[k] *= math.Sqrt(2 / power)
	}
}

// weigh is the strength of a partial before all are brought to the same power.
func (t timbre) weigh(k int, level float64) float64 {
	const mf, perLevel = 5, 1.35 // a step of level lifts each bar partial by so much over the one below
	if k < len(t.strength) {
		return t.strength[k] * math.Pow(perLevel, (level-mf)*float64(k))
	}
	return math.Pow(float64(k+1), -(3.2 - 0.3*level))
}

// addDrum is a burst of noise, brighter when louder.
func (t *tone) addDrum(out *[block]float64, from float64) {
	strength := 2 * loudness(t.level)
	smooth := min(0.15+0.09*t.level, 0.95)
	held := 0.0
	for i := range out {
		since := from - t.start + float64(i)/sampleRate
		if since < 0 {
			continue
		}
		held += smooth * (noise(t.seed+uint32(since*sampleRate)) - held)
		out[i] += strength * held * math.Exp(-since/drumFade)
	}
}

// noise is a number from -1 to 1 that looks random, always the same for the
// same seed (Marsaglia 2003, Xorshift RNGs, Journal of Statistical Software 8(14)).
func noise(seed uint32) float64 {
	x := seed*2654435761 + 1
	x ^= x << 13
	x ^= x >> 17
	x ^= x << 5
	return float64(x)/(1<<31) - 1
}
