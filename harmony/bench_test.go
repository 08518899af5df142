package harmony

import (
	"fmt"
	"testing"

	"hairpin/tools/scoregen"
)

func BenchmarkAnalyse(b *testing.B) {
	for _, n := range [...]int{10, 100, 1000, 10000} {
		b.Run(fmt.Sprintf("measures=%d", n), func(b *testing.B) {
			s := scoregen.Piano(n, 1)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Analyse(s, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
