package musicxml_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"hairpin/internal/golden"
)

// What is read from documents one element of which is gone, stands twice, has
// changed places with another or has another number. They are written anew with
// HAIRPIN_UPDATE=1 go test ./musicxml -run Golden.
func TestGoldenChanged(t *testing.T) {
	var sums golden.Sums
	for _, path := range sources(t) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if filepath.Ext(path) == ".mxl" || len(text) > 100_000 {
			continue
		}
		rnd := rand.New(rand.NewPCG(uint64(len(text)), 4))
		for _, kind := range []string{"gone", "twice", "moved", "other number"} {
			var all bytes.Buffer
			for range 60 * 4_000 / max(len(text), 4_000) {
				all.Write(told(changed(text, kind, rnd)))
			}
			sums.Add(t, fmt.Sprint(filepath.Base(path), " ", kind), all.Bytes())
		}
	}
	sums.File(t, "changed.tsv")
}

func changed(text []byte, kind string, rnd *rand.Rand) []byte {
	pattern := `<[a-z-]+[^<>]*(/>|>[^<>]*</[a-z-]+>)` // an element without others in it
	if kind == "other number" {
		pattern = `[0-9]+`
	}
	places := regexp.MustCompile(pattern).FindAllIndex(text, -1)
	if len(places) == 0 {
		return text
	}
	one := places[rnd.IntN(len(places))]
	old := text[one[0]:one[1]]
	switch kind {
	case "gone":
		return slices.Concat(text[:one[0]], text[one[1]:])
	case "twice":
		return slices.Concat(text[:one[0]], old, text[one[0]:])
	case "moved":
		to := places[rnd.IntN(len(places))]
		return slices.Concat(text[:to[0]], old, text[to[0]:])
	}
	n, _ := strconv.Atoi(string(old))
	n = [...]int{n + 1, max(n-1, 0), 2 * n, 0, n + 7}[rnd.IntN(5)]
	return slices.Concat(text[:one[0]], []byte(strconv.Itoa(n)), text[one[1]:])
}
