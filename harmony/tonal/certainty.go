package tonal

// Certainty says how sure a reading is.
type Certainty int

// The certainties.
const (
	Unsure Certainty = iota
	Likely
	Sure
)

// sureFrom and likelyFrom are the probabilities from which a reading is called
// sure or likely.
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

// String is the certainty in words.
func (c Certainty) String() string {
	return [...]string{"unsure", "likely", "sure"}[c]
}
