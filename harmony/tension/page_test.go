package tension

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// The figures of TENSION.md's worked bar are what the program computes.
func TestTensionPage(t *testing.T) {
	text, err := os.ReadFile("TENSION.md")
	if err != nil {
		t.Fatal(err)
	}
	s, a := page(t)
	for _, m := range a.Moments {
		e := a.Explainer(s).At(m.Start)
		var names []string
		for _, n := range e.Sounding {
			names = append(names, n.Name)
		}
		row := fmt.Sprintf("| %s | %s | %s | %.0f | %.0f | %.0f | %.0f |", e.At, strings.Join(names, " "), e.Chord.Roman,
			m.Tension.Dissonance, m.Tension.Distance, m.Tension.Pull, m.Tension.Total)
		if !strings.Contains(string(text), row) {
			t.Errorf("TENSION.md has no row %s", row)
		}
	}
	sum := fmt.Sprintf("total = %.2f × dissonance + %.2f × distance + %.2f × pull", shareDissonance, shareDistance, sharePull)
	if !strings.Contains(string(text), sum) {
		t.Errorf("TENSION.md does not say %s", sum)
	}
}
