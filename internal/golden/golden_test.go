package golden

import "testing"

func TestDump(t *testing.T) {
	type inner struct{ Level float64 }
	type outer struct {
		Name   string
		Zero   int
		List   []inner
		To     *inner
		Table  map[string]int
		hidden int
	}
	got := string(Dump(outer{Name: "p", List: []inner{{1.23996}, {-0.00001}}, To: &inner{3}, Table: map[string]int{"b": 2, "a": 1}, hidden: 5}))
	want := "{Name:\"p\" List:{Level:1.2400 }\n{Level:0.0000 }\n To:{Level:3.0000 } Table:\"a\"=1 \"b\"=2 }"
	if got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if s := string(Dump([]byte("as it is"))); s != "as it is" {
		t.Errorf("text became %q", s)
	}
}
