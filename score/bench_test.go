package score_test

import (
	"fmt"
	"testing"

	"hairpin/score"
	"hairpin/tools/scoregen"
)

func BenchmarkUnfold(b *testing.B) {
	for _, n := range [...]int{10, 100, 1000, 10000} {
		b.Run(fmt.Sprintf("measures=%d", n), func(b *testing.B) {
			s := scoregen.Piano(n, 1)
			s.Repeats = []score.Repeat{{At: s.Length(), Measure: n - 1, Times: 2}}
			b.ReportAllocs()
			for b.Loop() {
				if len(score.Unfold(s).Measures) != 2*n {
					b.Fatal("not unfolded")
				}
			}
		})
	}
}
