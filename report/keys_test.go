package report

import (
	"strings"
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// wandering is a reading of sixty measures of four ticks in C, with chords given by measure.
func wandering(chords map[int]tonal.Chord) *Reading {
	r := &Reading{Score: &score.Score{Division: 1}, Harmony: &harmony.Analysis{}, To: 240}
	for i := range score.Tick(60) {
		r.Score.Measures = append(r.Score.Measures, score.Measure{Number: string(rune('a' + i)), Start: 4 * i, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
		if c, ok := chords[int(i)]; ok {
			c.Start, c.End = 4*i, 4*i+4
			r.Harmony.Chords = append(r.Harmony.Chords, c)
		}
	}
	return r
}

func inKey(k tonal.Key, degree, inversion int) tonal.Chord {
	return tonal.Chord{Key: k, Numeral: tonal.Numeral{Degree: degree, Inversion: inversion}, Inversion: inversion}
}

// Home is told between two visits if it lasts four measures, up to the next stay anywhere,
// and its tonic stands in them. Our own bound.
func TestHomeLastsFourMeasures(t *testing.T) {
	c := tonal.Key{}
	for _, x := range []struct {
		stays  []score.Tick
		before score.Tick
		want   bool
	}{{nil, 48, true}, {nil, 47, false}, {[]score.Tick{48}, 99, true}, {[]score.Tick{47}, 99, false}, {[]score.Tick{32}, 48, true}, {[]score.Tick{20}, 48, true}} {
		r := wandering(map[int]tonal.Chord{8: inKey(c, 5, 0), 9: inKey(c, 1, 0)})
		var stays []events.Stay
		for _, at := range x.stays {
			stays = append(stays, events.Stay{Start: at})
		}
		if got := r.staysHome(stays, visit{home: 32}, x.before); got != x.want {
			t.Errorf("from 32, visits at %v and %d: %v", x.stays, x.before, got)
		}
	}
}

// Keys with a twentieth of the piece are told, at most four, the longest, in the order in
// which they are reached; one visited twice is told once, with its time in all.
func TestVisits(t *testing.T) {
	stay := func(tonic score.Class, from, length score.Tick) events.Stay {
		return events.Stay{Key: tonal.Key{Tonic: tonic}, Start: from, End: from + length, Close: phrasing.PerfectAuthentic, Stands: -1}
	}
	for _, x := range []struct {
		name  string
		stays []events.Stay
		want  string // tonics in fifths
	}{
		{"a twentieth", []events.Stay{stay(1, 20, 12)}, "1"}, {"less", []events.Stay{stay(1, 20, 11)}, ""}, {"twice less", []events.Stay{stay(1, 20, 6), stay(2, 40, 20), stay(1, 80, 6)}, "1 2"},
		{"five", []events.Stay{stay(1, 0, 20), stay(2, 20, 19), stay(3, 40, 18), stay(4, 60, 17), stay(5, 80, 30)}, "1 2 3 5"}, {"nowhere", nil, ""},
	} {
		var got []string
		for _, v := range wandering(nil).visits(x.stays) {
			got = append(got, string(rune('0'+v.key.Tonic)))
		}
		if s := strings.Join(got, " "); s != x.want {
			t.Errorf("%s: %q, want %q", x.name, s, x.want)
		}
	}
}

// Where the music goes and how it comes home, in a sentence; a piece that stays says nothing.
func TestKeySentence(t *testing.T) {
	c, g, f := tonal.Key{}, tonal.Key{Tonic: 1}, tonal.Key{Tonic: -1}
	for _, x := range []struct {
		name  string
		stays []events.Stay
		last  tonal.Key
		want  string
	}{
		{"at home", nil, c, ""},
		{"there and back", []events.Stay{{Key: g, Start: 20, End: 40, Close: phrasing.PerfectAuthentic, Stands: 40}}, c, "from C major it goes to G major (m. f), and is home again in m. k"},
		{"back at once", []events.Stay{{Key: g, Start: 20, End: 40, Close: phrasing.PerfectAuthentic, Stands: 0}}, c, "from C major it goes to G major (m. f), and is home again in m. a"},
		{"never back", []events.Stay{{Key: g, Start: 20, End: 40, Close: phrasing.PerfectAuthentic, Stands: -1}}, c, "from C major it goes to G major (m. f)"},
		{"it ends elsewhere", []events.Stay{{Key: g, Start: 20, End: 40, Close: phrasing.PerfectAuthentic, Stands: 40}}, f, "from C major it goes to G major (m. f), and ends in F major"},
		{"home between", []events.Stay{{Key: g, Start: 4, End: 32, Close: phrasing.PerfectAuthentic, Stands: 32}, {Key: f, Start: 60, End: 80, Close: phrasing.PerfectAuthentic, Stands: 80}}, c, "from C major it goes to G major (m. b), home (m. i) and F major (m. p), and is home again in m. u"},
		{"home too short", []events.Stay{{Key: g, Start: 4, End: 32, Close: phrasing.PerfectAuthentic, Stands: 32}, {Key: f, Start: 47, End: 80, Close: phrasing.PerfectAuthentic, Stands: 80}}, c, "from C major it goes to G major (m. b) and F major (m. l), and is home again in m. u"},
	} {
		r := wandering(map[int]tonal.Chord{8: inKey(c, 5, 0), 9: inKey(c, 1, 0)})
		r.Harmony.Keys = []tonal.KeySpan{{Key: c}, {Key: x.last}}
		if got := r.keySentence(x.stays); got != x.want {
			t.Errorf("%s: %q, want %q", x.name, got, x.want)
		}
	}
	r := wandering(map[int]tonal.Chord{8: inKey(c, 5, 0), 9: inKey(c, 1, 0)})
	r.Harmony.Keys = []tonal.KeySpan{{Key: c}, {Key: f}}
	r.Harmony.Form = form.Form{Type: form.WithTrio, Sections: []form.Section{{}, {Name: form.Trio}}}
	there := []events.Stay{{Key: g, Start: 20, End: 40, Close: phrasing.PerfectAuthentic, Stands: 40}}
	if got := r.keySentence(there); got != "from C major it goes to G major (m. f)" {
		t.Errorf("with the first part again: %q", got)
	}
	for at, want := range map[score.Tick]string{20: "f", 24: "g", 25: "f", 16: "f"} { // after a signature within a measure
		r.Score.Keys = []score.KeyMark{{Place: score.Place{At: at}, Fifths: 1}}
		if got := r.number(r.keyStart(there[0])); got != want {
			t.Errorf("signature at %d: m. %s, want %s", at, got, want)
		}
	}
	if join(nil) != "" || join([]string{"a"}) != "a" || join([]string{"a", "b", "c"}) != "a, b and c" {
		t.Error("words are joined otherwise than in a sentence")
	}
}
