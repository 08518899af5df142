package page

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"hairpin/dynamics/written"
)

// Movements of small written scores: testdata/movements.txt explains the format.
func TestMovementsAsAPlayerReadsThem(t *testing.T) {
	raw, err := os.ReadFile("testdata/movements.txt")
	if err != nil {
		t.Fatal(err)
	}
	name, put := "", []string(nil)
	n := 0
	for _, line := range strings.Split(string(raw), "\n") {
		key, rest, ok := strings.Cut(line, ":")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		rest = strings.TrimSpace(rest)
		switch key {
		case "case":
			name = rest
		case "put":
			put = strings.Split(rest, "; ")
		case "over":
			for _, want := range strings.Split(rest, "; ") {
				n++
				if got := movementOf(t, put, want); got != want {
					t.Errorf("%s\n put  %s\n reads %s\n want  %s", name, strings.Join(put, "; "), got, want)
				}
			}
		}
	}
	if n < 35 {
		t.Errorf("only %d movements", n)
	}
}

// movementOf reads the page over the stretch of an expectation, in its words.
func movementOf(t *testing.T, put []string, want string) string {
	t.Helper()
	s := written.Blank()
	for _, item := range put {
		if item != "" {
			written.Put(t, s, item)
		}
	}
	f := strings.Fields(want)
	a, err1 := written.At(f[0])
	b, err2 := written.At(f[1])
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	m := Printed(s, nil).Over(a.At, b.At)
	return fmt.Sprintf("%s %s %s %s %s %s", f[0], f[1], m.Kind, dash(m.FromMark), dash(m.ToMark), m.Certainty)
}

func dash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}
