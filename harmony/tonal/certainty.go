package tonal

// Certainty says how sure a reading is. It is one scale for all that is told:
// chords, keys, phrases, cadences, events, goals and advice. Each is told by a
// probability, [CertaintyOf], and says with it what speaks for or against it; what
// rests on several takes the least of theirs.
type Certainty int

// The certainties.
const (
	Unsure Certainty = iota
	Likely
	Sure
)

// sureFrom and likelyFrom are the probabilities from which a reading is called
// sure or likely: right in six of seven cases, and in more than one of two. The
// bounds are ours; how often each word was right stands beside what is fitted.
const (
	sureFrom   = 0.85
	likelyFrom = 0.6
)

// CertaintyOf is a probability in words.
func CertaintyOf(p float64) Certainty {
	switch {
	case p >= sureFrom:
		return Sure
	case p >= likelyFrom:
		return Likely
	}
	return Unsure
}

// Least is the least probability that is called so.
func (c Certainty) Least() float64 { return [...]float64{0, likelyFrom, sureFrom}[c] }

// String is the certainty in words.
func (c Certainty) String() string {
	return [...]string{"unsure", "likely", "sure"}[c]
}
