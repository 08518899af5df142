package practice

import (
	"strings"
	"testing"

	"hairpin/report"
	"hairpin/score"
)

// Hands by the part's name, its staves and what it strikes at once: three notes of mallets take
// four of them. Grace notes and cues do not count.
func TestUsualHands(t *testing.T) {
	for _, c := range []struct {
		name    string
		staves  int
		drums   bool
		at      []score.Tick
		special int // grace notes and cues at the start
		want    Hands
	}{
		{"Marimba", 1, false, []score.Tick{0, 0, 4}, 0, TwoMallets}, {"Marimba", 1, false, []score.Tick{0, 0, 0}, 0, FourMallets}, {"Vibraphone", 2, false, []score.Tick{0}, 0, FourMallets}, {"Vibraphone", 1, false, []score.Tick{0, 4, 8, 12}, 0, TwoMallets}, {"Xylophone", 1, false, []score.Tick{0, 0}, 2, TwoMallets},
		{"Snare", 1, true, []score.Tick{0}, 0, TwoMallets}, {"Timpani", 1, false, []score.Tick{0}, 0, TwoMallets}, {"Piano", 1, false, []score.Tick{0}, 0, TwoHands}, {"Orgel", 2, false, []score.Tick{0}, 0, TwoHands}, {"Harp", 1, false, []score.Tick{0}, 0, TwoHands}, {"Flute", 1, false, []score.Tick{0, 0, 0}, 0, OneHand},
	} {
		s := &score.Score{Division: 1, Parts: []score.Part{{Name: c.name, Staves: c.staves, Percussion: c.drums}}, Measures: []score.Measure{{Length: 16}}}
		for i := range c.special {
			s.Notes = append(s.Notes, score.Note{Grace: i == 0, Cue: i > 0})
		}
		for _, at := range c.at {
			s.Notes = append(s.Notes, score.Note{Onset: at, Duration: 1})
		}
		if got := usualHands(&report.Reading{Score: s}, 0); got != c.want {
			t.Errorf("%s on %d, struck at %v: %q, want %q", c.name, c.staves, c.at, got, c.want)
		}
	}
}

// The hand that reaches furthest is told of, of two alike the right.
func TestFurthestHand(t *testing.T) {
	tones := func(keys ...int) (out []tone) {
		for _, k := range keys {
			out = append(out, tone{key: k})
		}
		return out
	}
	for _, c := range []struct {
		left, right []tone
		want        int // its lowest key
	}{{tones(40, 50), tones(60, 65), 40}, {tones(40, 45), tones(60, 70), 60}, {tones(40, 45), tones(60, 65), 60}} {
		if got := (position{left: c.left, right: c.right}).furthest(); got[0].key != c.want {
			t.Errorf("%v and %v: %v", c.left, c.right, got)
		}
	}
	for h, want := range map[Hands]bool{TwoHands: true, FourMallets: true, TwoMallets: false, OneHand: false} {
		if h.flagged() != want {
			t.Errorf("%q is flagged %v", h, !want)
		}
	}
}

// A mark goes among the notations a note has, else before its text and what is played, else
// to its end: MusicXML 4.0, note (W3C Music Notation Community Group, 2021).
func TestNotationsInTheirPlace(t *testing.T) {
	for _, c := range []struct{ has, want string }{
		{"pitch duration", "pitch duration notations"}, {"pitch lyric", "pitch notations lyric"}, {"pitch play", "pitch notations play"}, {"pitch listen", "pitch notations listen"}, {"pitch notations lyric", "pitch notations lyric"}, {"pitch lyric lyric", "pitch notations lyric lyric"},
	} {
		n := el("note")
		for _, name := range strings.Fields(c.has) {
			n.list = append(n.list, el(name))
		}
		n.addNotation(el("technical"))
		var got []string
		for _, e := range n.list {
			got = append(got, e.name)
		}
		if strings.Join(got, " ") != c.want || n.find("notations").find("technical") == nil {
			t.Errorf("%s: %v, want %s", c.has, got, c.want)
		}
	}
}
