package events_test

import (
	"fmt"
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/internal/golden"
	"hairpin/tools/scoregen"
)

// Every event of medleys, with all that is known of it. They are written anew with
// HAIRPIN_UPDATE=1 go test ./harmony/events -run Golden.
func TestGoldenMedleys(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(180) {
		s := scoregen.Medley(5, 100+seed)
		a, err := harmony.Analyse(s, harmony.Options{})
		if err != nil {
			t.Fatal(err)
		}
		ranked := events.Rank(events.Find(s, a))
		found := map[events.Kind][]events.Event{}
		for _, e := range ranked {
			found[e.Kind] = append(found[e.Kind], e)
		}
		sums.Add(t, fmt.Sprint("medley ", seed), found)
		sums.Add(t, fmt.Sprint("medley ", seed, " ranked"), ranked)
	}
	sums.File(t, "medleys.tsv")
}
