package tonal

import (
	"strings"

	"hairpin/score"
)

// Key is a local or home key.
type Key struct {
	Tonic score.Class
	Minor bool
}

// ParseKey reads "C", "Bb" (major), "a", "eb" (minor), or "A minor", "Bb major".
func ParseKey(s string) (Key, bool) {
	name, mode, _ := strings.Cut(strings.TrimSpace(s), " ")
	c, ok := score.ParseClass(name)
	if !ok {
		return Key{}, false
	}
	minor := name[0] >= 'a'
	switch strings.ToLower(strings.TrimSpace(mode)) {
	case "":
	case "minor", "min", "m":
		minor = true
	case "major", "maj":
		minor = false
	default:
		return Key{}, false
	}
	return Key{c, minor}, true
}

// String is the key's short name: capital for major, small for minor.
func (k Key) String() string {
	n := k.Tonic.String()
	if k.Minor {
		return strings.ToLower(n[:1]) + n[1:]
	}
	return n
}

// Name is the key in words: "Bb major", "A minor".
func (k Key) Name() string {
	return k.Tonic.String() + " " + k.Mode()
}

// Mode is "major" or "minor".
func (k Key) Mode() string {
	if k.Minor {
		return "minor"
	}
	return "major"
}

// Triad is the quality of the tonic triad.
func (k Key) Triad() Quality {
	if k.Minor {
		return Minor
	}
	return Major
}

// Fifths is the key's signature: sharps positive, flats negative.
func (k Key) Fifths() int {
	if k.Minor {
		return int(k.Tonic) - 3
	}
	return int(k.Tonic)
}

// SignsFrom is how many signs lie between two keys' signatures, the short way round the
// circle of fifths: 0 to 6.
func (k Key) SignsFrom(other Key) int {
	d := Mod(k.Fifths()-other.Fifths(), 12)
	return min(d, 12-d)
}
