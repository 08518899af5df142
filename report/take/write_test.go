package take

import (
	"slices"
	"testing"
)

// Columns of figures stand flush right, words and places flush left: common practice of
// typesetting, no source.
func TestFiguresStandRight(t *testing.T) {
	k := Take{Hairpins: []Hairpin{{}}, Levels: []Level{{}}, Moves: []Move{{}}, Goals: []Goal{{}}, Hands: []Hands{{}}}
	figures := []string{"pass", "dB", "strokes", "±", "ms"}
	tables := k.Tables()
	if len(tables) != 5 {
		t.Errorf("%d tables, want one for each of five verdicts", len(tables))
	}
	for _, table := range tables {
		for i, head := range table.Head {
			if table.Right[i] != slices.Contains(figures, head) {
				t.Errorf("%s, %s: flush right %v", table.Title, head, table.Right[i])
			}
		}
		if len(table.Right) != len(table.Head) || len(table.Rows[0]) != len(table.Head) {
			t.Errorf("%s: %d heads, %d sides, %d cells", table.Title, len(table.Head), len(table.Right), len(table.Rows[0]))
		}
	}
	if k.Moves[0].Verdict = "flat"; len(k.moveTable().Rows) != 0 {
		t.Error("a flat move is told")
	}
}

// A verdict that is not clear only leans, one on sound is a question; flat leans nowhere.
func TestWord(t *testing.T) {
	for _, c := range []struct {
		verdict      string
		clear, sound bool
		want         string
	}{
		{"contrary", true, false, "contrary"}, {"contrary", false, false, "leaning: contrary"}, {"contrary", false, true, "leaning: contrary?"},
		{"flat", false, false, "flat"}, {"followed", true, true, "followed?"},
	} {
		k := Take{Sound: c.sound}
		if got := k.Word(Judged{Verdict: c.verdict, Clear: c.clear}); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// Minutes and seconds from whole seconds, rounded; changes carry their sign, none is +0.
func TestClockAndSigns(t *testing.T) {
	for s, want := range map[float64]string{0: "0:00", 59.4: "0:59", 59.6: "1:00", 60: "1:00", 125: "2:05"} {
		if got := clock(s); got != want {
			t.Errorf("%v s: %s, want %s", s, got, want)
		}
	}
	for x, want := range map[float64]string{1.26: "+1.3", -1.26: "-1.3", 0: "+0.0", -0.04: "+0.0", -0.06: "-0.1"} {
		if got := signed(x, 1); got != want {
			t.Errorf("%v: %s, want %s", x, got, want)
		}
	}
}
