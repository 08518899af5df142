package page

import "testing"

// What modifiers make of marks and words: più and meno step away from and back to the middle,
// sempre più grows on; molto doubles and poco halves; mezzo takes a step back, quasi half of
// one. Gehrkens 1914, Music Notation and Terminology, on the terms of dynamics, from memory;
// the sizes are ours.
func TestModifiedWords(t *testing.T) {
	for text, want := range map[string]action{
		"più f": {kind: step, steps: 1}, "più p": {kind: step, steps: -1}, "meno f": {kind: step, steps: -1}, "meno p": {kind: step, steps: 1}, "molto più f": {kind: step, steps: 2}, "poco più f": {kind: step, steps: 0.5},
		"sempre più f": {kind: ramp, steps: 1, slow: true}, "poco f": {level: F - 0.5}, "poco p": {level: P + 0.5}, "molto f": {level: FF}, "molto p": {level: PP}, "quasi p": {level: P + 0.5}, "subito p": {level: P, sudden: true}, "p subito": {level: P, sudden: true},
		"cresc.": {kind: ramp, steps: 1}, "dim.": {kind: ramp, steps: -1}, "molto cresc.": {kind: ramp, steps: 2}, "cresc. molto": {kind: ramp, steps: 2}, "poco cresc.": {kind: ramp, steps: 0.5}, "più cresc.": {kind: ramp, steps: 1.5}, "cresc. poco a poco": {kind: ramp, steps: 1, slow: true}, "sempre cresc.": {kind: ramp, steps: 1, slow: true},
		"cresc. al f": {kind: ramp, steps: 1, target: F}, "dim. al niente": {kind: ramp, steps: -1, niente: true}, "dim. decresc.": {kind: ramp, steps: -1}, "2nd time p": {level: P, pass: 2}, "p 2nd time": {level: P, pass: 2},
	} {
		got := readWords(text)
		if len(got) != 1 {
			t.Errorf("%q: %+v", text, got)
			continue
		}
		a := got[0]
		if a.kind != want.kind || !near(a.level, want.level) || !near(a.steps, want.steps) || !near(a.target, want.target) || a.niente != want.niente || a.slow != want.slow || a.sudden != want.sudden || a.pass != want.pass {
			t.Errorf("%q: %+v, want %+v", text, a, want)
		}
	}
	for text, want := range map[string]int{"più mosso": 0, "p, cresc.": 2, "cresc. dim.": 2, "F. Chopin": 0, "f": 1, "non cresc.": 1, "p/f": 2, "": 0} {
		if got := readWords(text); len(got) != want {
			t.Errorf("%q: %+v, want %d", text, got, want)
		}
	}
	if a := readWords("p/f"); a[0].pass != 0 || a[1].pass != 2 || !near(a[1].level, F) {
		t.Errorf("p/f: %+v", a)
	}
}

// A footnote of more than two dozen words is no instruction.
func TestFootnotesAreNotRead(t *testing.T) {
	text := "p"
	for range 23 {
		text += " la"
	}
	if got := readWords(text); len(got) != 1 {
		t.Errorf("24 words: %+v", got)
	}
	if got := readWords(text + " la"); got != nil {
		t.Errorf("25 words: %+v", got)
	}
}

// Words that slow down, and those that say a mark goes on, in whatever writing.
func TestSlowsAndAlways(t *testing.T) {
	for text, want := range map[string][2]bool{"rit.": {true, false}, "poco rall.": {true, false}, "Ritardando": {true, false}, "a tempo": {}, "zurückhaltend": {true, false}, "cédez": {true, false}, "sempre p": {false, true}, "p": {}, "spirito": {}} {
		if got := [2]bool{Slows(text), Always(text)}; got != want {
			t.Errorf("%q slows and goes on: %v, want %v", text, got, want)
		}
	}
}

// Runs of letters: each p a step softer and each f a step louder up to three, half as soft or
// half a step louder from there on, and no more than eight.
func TestPlainLevels(t *testing.T) {
	for s, want := range map[string]float64{"p": P, "pp": PP, "ppp": PPP, "pppp": 0.5, "ppppp": 0.25, "f": F, "ff": FF, "fff": FFF, "ffff": 8.5, "fffff": 9, "ffffff": 9} {
		if got, ok := plainLevel(s); !ok || !near(got, want) {
			t.Errorf("%s: %v %v, want %v", s, got, ok, want)
		}
	}
	for _, s := range []string{"", "fp", "ppppppppp", "m"} {
		if got, ok := plainLevel(s); ok {
			t.Errorf("%q is %v", s, got)
		}
	}
	if _, ok := plainLevel("pppppppp"); !ok {
		t.Error("eight letters are no mark")
	}
	for level, want := range map[float64]string{-1: "niente", 0: "niente", 0.4: "niente", 0.5: "ppp", 4.8: "mf", 5.49: "mf", 5.5: "f", 8.5: "ffff", 99: "ffff"} {
		if got := Mark(level); got != want {
			t.Errorf("%v is %s, want %s", level, got, want)
		}
	}
	for percent, want := range map[float64]float64{100: 90 / 16.0, 0: 0, 200: loudest, 50: 45 / 16.0} { // velocity 90 is a hundred
		if got := fromPercent(percent); !near(got, want) {
			t.Errorf("%v %% is %v, want %v", percent, got, want)
		}
	}
}
