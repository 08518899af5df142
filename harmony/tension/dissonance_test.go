package tension

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
)

// rating is a chord and what listeners said of it.
type rating struct {
	keys  []int
	value float64
}

func parseRatings(t *testing.T, table string, base int) []rating {
	t.Helper()
	var out []rating
	for _, item := range strings.Fields(table) {
		tones, value, _ := strings.Cut(item, "=")
		var r rating
		for _, s := range strings.Split(tones, ".") {
			k, err := strconv.Atoi(s)
			if err != nil {
				t.Fatal(err)
			}
			r.keys = append(r.keys, base+k)
		}
		v, err := strconv.ParseFloat(value, 64)
		if err != nil {
			t.Fatal(err)
		}
		r.value = v
		out = append(out, r)
	}
	return out
}

// spearman is the rank correlation, ties ranked by their mean.
func spearman(x, y []float64) float64 { return tonal.Pearson(ranks(x), ranks(y)) }

func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case x[a] < x[b]-1e-12:
			return -1
		case x[a] > x[b]+1e-12:
			return 1
		}
		return 0
	})
	out := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]]-x[order[i]] < 1e-12 {
			j++
		}
		for k := i; k < j; k++ {
			out[order[k]] = float64(i+j-1) / 2
		}
		i = j
	}
	return out
}

func TestDissonanceOrdersPublishedRatings(t *testing.T) {
	meter := newClashMeter()
	for _, c := range []struct {
		name, table string
		base        int
		sign        float64
		count       int
	}{
		{"Bowling 2018, triads", bowlingTriads, 60, -1, 66},
		{"Bowling 2018, tetrads", bowlingTetrads, 60, -1, 220},
		{"Johnson-Laird 2012, triads", lairdTriads, 0, 1, 55},
		{"Johnson-Laird 2012, tetrads", lairdTetrads, 0, 1, 48},
	} {
		var ours, theirs, rough []float64
		for _, r := range parseRatings(t, c.table, c.base) {
			ours = append(ours, meter.raw(slices.Clone(meter.centred(r.keys))))
			rough = append(rough, meter.rough.of(meter.centred(r.keys)))
			theirs = append(theirs, c.sign*r.value)
		}
		if len(ours) != c.count {
			t.Errorf("%s: %d chords, want %d", c.name, len(ours), c.count)
		}
		rho := spearman(ours, theirs)
		t.Logf("%s: rank correlation %.3f (roughness alone %.3f)", c.name, rho, spearman(rough, theirs))
		if rho < 0.85 {
			t.Errorf("%s: rank correlation %.3f, want at least .85", c.name, rho)
		}
	}
}
