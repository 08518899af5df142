package shaping

import (
	"fmt"
	"slices"
)

// quantities are the series that [observe] makes of a score with its analysis:
// what a reading may be of.
func quantities() []string {
	return []string{
		"printed", "fresh", "over pp", "over mf", "accent", "accent before",
		"dissonance", "distance", "change", "cadence",
		"place", "arch", "first 8", "last 8", "last 2", "phrase start", "phrase end", "again", "slowing", "tempo", "theme", "theme start",
		"melody", "top", "top start", "centre", "step in", "step out", "turn", "below peak",
		"notes", "attack", "rate", "moves", "length",
		"voices", "octaves", "staccato", "arpeggio", "slurred", "entry", "bass", "over low", "span",
		"downbeat",
	}
}

// byName lists readings by their names in the table of weights. A reading of a
// quantity that nobody measures is an error: it would weigh zeros.
func byName(list []reading) (map[string]reading, error) {
	known, out := quantities(), map[string]reading{}
	for _, r := range list {
		if !slices.Contains(known, r.of) {
			return nil, fmt.Errorf("the reading %q is of an unknown quantity, %q", r.name(), r.of)
		}
		out[r.name()] = r
	}
	return out, nil
}
