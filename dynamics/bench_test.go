package dynamics_test

import (
	"fmt"
	"testing"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/tools/scoregen"
)

func BenchmarkDynamics(b *testing.B) {
	for _, n := range [...]int{10, 100, 1000, 10000} {
		s := scoregen.Piano(n, 1)
		a, err := harmony.Analyse(s, harmony.Options{})
		if err != nil {
			b.Fatal(err)
		}
		p := page.Printed(s, a.Phrases)
		sh, err := shaping.Shape(s, a, p)
		if err != nil {
			b.Fatal(err)
		}
		steps := map[string]func() error{
			"printed": func() error { page.Printed(s, a.Phrases); return nil },
			"judge":   func() error { verdict.Judge(s, a, p); return nil },
			"shape":   func() error { _, err := shaping.Shape(s, a, p); return err },
			"plan":    func() error { _, err := advice.Find(s, a, p, sh); return err },
		}
		for _, what := range [...]string{"printed", "judge", "shape", "plan"} {
			b.Run(fmt.Sprintf("what=%s/measures=%d", what, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if err := steps[what](); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
