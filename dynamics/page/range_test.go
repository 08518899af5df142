package page

import (
	"testing"

	"hairpin/dynamics/written"
)

// A sudden change after pp and a fading is told from pp: nobody printed ppp. Our own rule.
func TestContrastsLeaveAPrintedLevel(t *testing.T) {
	p := Printed(written.Score(t, "1:1 pp", "2:1 >5:1", "5:1 f"), nil)
	if len(p.Contrasts) == 0 {
		t.Fatal("the f after the fading is no contrast")
	}
	for _, c := range p.Contrasts {
		if Mark(c.From) != "pp" || Mark(c.To) != "f" {
			t.Errorf("%s to %s", Mark(c.From), Mark(c.To))
		}
	}
}
