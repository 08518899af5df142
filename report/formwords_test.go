package report

import (
	"strings"
	"testing"

	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A fugue is told by subject, answer and the voices after them, then by its later entries;
// of many the measures alone.
func TestFugueSentences(t *testing.T) {
	f := &fugue{Voices: 3, Subject: "mm. 1–2", Entries: []fugueEntry{{Measure: "1", Voice: "alto"}, {Measure: "3", Voice: "soprano"}, {Measure: "7", Voice: "bass"}, {Measure: "11", Voice: "soprano", Key: "Eb major"}, {Measure: "20", Inverted: true}}, Episodes: []string{"mm. 5–6", "mm. 13–14"}}
	want := []string{
		"it is a fugue in three voices: the subject alone in the alto, mm. 1–2, the answer in the soprano, m. 3, then the bass, m. 7",
		"the subject comes again in m. 11 (soprano, Eb major) and m. 20 (upside down)",
		"episodes without the subject: mm. 5–6 and 13–14",
	}
	if got := f.sentences(); strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("%q", got)
	}
	for range 12 {
		f.Entries = append(f.Entries, fugueEntry{Measure: "30", Stretto: true})
	}
	if got := f.sentences()[1]; got != "the subject comes again in mm. 11, 20 and 30, in stretto in m. 30" {
		t.Errorf("%q", got)
	}
	f.Entries, f.Episodes = f.Entries[:3], nil
	if got := f.sentences(); len(got) != 1 {
		t.Errorf("%q", got)
	}
}

// A part of a fugue is told by what enters in it, and in which voices; a single entry by its
// key too. The words are common practice, no source.
func TestFuguePartWords(t *testing.T) {
	r := reading(t, "song-ferry-lamp")
	f := &form.Fugue{Voices: 2, Entries: []form.Entry{{Voice: "alto"}, {Voice: "soprano", Steps: 4, Semitones: 7}, {Voice: "alto"}, {Voice: "bass"}, {}}}
	r.Harmony.Form.Fugue, r.Harmony.Home = f, tonal.Key{}
	for _, x := range []struct {
		kind        form.FugueKind
		first, last int
		closes      bool
		want        string
	}{
		{form.ExpositionPart, 0, 1, false, "exposition"},
		{form.EntryPart, 0, 0, false, "subject, alto, in C major"},
		{form.EntryPart, 1, 1, false, "answer, soprano, in G major"},
		{form.EntryPart, 2, 2, false, "entry, alto, in C major"},
		{form.EntryPart, 2, 3, true, "entries and close, alto and bass"},
		{form.StrettoPart, 2, 3, false, "stretto, alto and bass"},
		{form.StrettoPart, 3, 4, false, "stretto"}, // a voice is not plain
		{form.EpisodePart, -1, -1, false, "episode"},
		{form.ClosePart, -1, -1, true, "close"},
		{form.FreePart, -1, -1, false, "perhaps an episode"},
		{form.FreePart, -1, -1, true, "after the last entry"},
	} {
		f.Parts = []form.FuguePart{{Span: form.Span{Start: 0, End: 100}, Kind: x.kind, First: x.first, Last: x.last, Closes: x.closes}}
		if got := r.fuguePart(phrasing.Phrase{Start: 50, End: 100}); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
	if got := r.fuguePart(phrasing.Phrase{Start: 100, End: 200}); got != "" {
		t.Errorf("a phrase outside is %q", got)
	}
}

// A close in the key of an entry is told in that key, whatever the chords beside it are read in.
func TestFugueClosesInItsEntry(t *testing.T) {
	r := reading(t, "song-ferry-lamp")
	key := tonal.Key{Tonic: r.Harmony.Home.Tonic - 1, Minor: r.Harmony.Home.Minor}
	r.Harmony.Form.Fugue = &form.Fugue{
		Entries: []form.Entry{{Steps: 3, Semitones: 5}},
		Parts:   []form.FuguePart{{Span: form.Span{Start: 0, End: r.Score.Length()}, Kind: form.EntryPart}},
	}
	c := phrasing.Cadence{At: r.Harmony.Chords[1].Start, Kind: phrasing.PerfectAuthentic, Key: key}
	if got, want := r.closesIn(c), "in "+key.Name(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// The key of an entry is the subject's moved as far as the entry; where another is heard, or
// upside down, none is told.
func TestEntryKeys(t *testing.T) {
	r := reading(t, "song-ferry-lamp")
	home := tonal.Key{Tonic: 0, Minor: true}
	r.Harmony.Home = home
	r.Harmony.Keys = []tonal.KeySpan{{Start: 0, End: r.Score.Length(), Key: tonal.Key{Tonic: -3}}}
	for _, x := range []struct {
		e    form.Entry
		want string
	}{
		{form.Entry{}, "C minor"},
		{form.Entry{Steps: 4, Semitones: 7}, "G minor"},
		{form.Entry{Steps: 2, Semitones: 3}, "Eb major"},
		{form.Entry{Steps: 5, Semitones: 8}, ""},
		{form.Entry{Inverted: true}, ""},
	} {
		x.e.Span = form.Span{Start: 0, End: r.Score.Division}
		if got := r.entryKey(x.e); got != x.want {
			t.Errorf("%d steps: %q, want %q", x.e.Steps, got, x.want)
		}
	}
}

// Parts are told by their trade names and measures; sections go by them too.
func TestFormWords(t *testing.T) {
	r := reading(t, "song-ferry-lamp")
	at := func(bar int) score.Tick { return r.Score.Measures[bar].Start }
	section := func(from, to int, name form.Name, letter string) form.Section {
		return form.Section{Span: form.Span{Start: at(from), End: at(to)}, Name: name, Letter: letter, Of: -1}
	}
	for _, x := range []struct {
		kind  form.Type
		list  []form.Section
		want  string
		names string
	}{
		{form.Variations, []form.Section{section(0, 4, form.TheTheme, "A"), section(4, 8, form.Variation, "A"), section(8, 12, form.Variation, "A"), section(12, 16, form.Coda, "")},
			"it is a theme, mm. 1–4, 2 variations, from mm. 5 and 9 on, and a coda mm. 13–16", "Theme|Variation 1|Variation 2|Coda"},
		{form.WithTrio, []form.Section{section(0, 8, form.Minuet, "A"), section(8, 16, form.Trio, "B")},
			"the form is minuet and trio: minuet mm. 1–8, trio mm. 9–16; then the minuet again", "Minuet|Section B, trio"},
		{form.BarForm, []form.Section{section(0, 4, "", "A"), section(4, 16, "", "B")},
			"it is in bar form, A–A–B: A mm. 1–4, repeated, B mm. 5–16", "Section A|Section B"},
		{form.Strophic, []form.Section{section(0, 4, form.Prelude, ""), section(4, 8, form.Verse, "A"), section(8, 12, form.Verse, "A")},
			"prelude mm. 1–4, verse 1 mm. 5–8 and verse 2 mm. 9–12", "Prelude|Verse 1|Verse 2"},
	} {
		r.Harmony.Form = form.Form{Type: x.kind, Sections: x.list}
		if got := r.formSentence(wholePiece{}); got != x.want {
			t.Errorf("%s: %q", x.kind, got)
		}
		if got := strings.Join(r.SectionNames(), "|"); got != x.names {
			t.Errorf("%s: sections %s", x.kind, got)
		}
	}
	w := wholePiece{Themes: []theme{{Name: form.SecondTheme, Measure: "36", Key: "Eb major", Again: "131", AgainKey: "C minor", Certainty: "sure"}, {Name: form.Closing, Measure: "59", Again: "154", Certainty: "unsure"}}}
	if got := strings.Join(w.themeSentences(), "|"); got != "the second theme starts in m. 36, in Eb major; in the recapitulation, in m. 131, in C minor|the closing section may start in m. 59; in the recapitulation, in m. 154" {
		t.Errorf("%q", got)
	}
}

// Returns that go on at one distance, up to a bar and octaves apart, are one; not those of another
// key, or after two bars. The longest gives the distance. A choice of ours.
func TestReturnsThatGoOnAreOne(t *testing.T) {
	ret := func(first, bar, count, steps, semitones int) form.Return {
		span := func(b int) form.Span {
			return form.Span{Start: score.Tick(4 * b), End: score.Tick(4 * (b + count))}
		}
		return form.Return{First: span(first), Again: span(bar), FirstBar: first, Bar: bar, Count: count, Steps: steps, Semitones: semitones, Kind: form.Varied, Certainty: 0.8}
	}
	a := ret(8, 60, 8, -4, -7)
	for name, x := range map[string]struct {
		next  form.Return
		count int // of the first
		steps int
	}{
		"an octave apart, a bar between": {ret(17, 69, 9, 3, 5), 18, 3},
		"shorter":                        {ret(16, 68, 4, 3, 5), 12, -4},
		"two bars between":               {ret(18, 70, 8, 3, 5), 8, -4},
		"another distance":               {ret(17, 68, 8, 3, 5), 8, -4},
		"another key":                    {ret(16, 68, 8, 0, 0), 8, -4},
	} {
		got := oneReturn([]form.Return{a, x.next})
		if got[0].Count != x.count || got[0].Steps != x.steps || (len(got) == 1) != (x.count > 8) {
			t.Errorf("%s: %+v", name, got)
		}
		if len(got) == 1 && (got[0].Again.End != x.next.Again.End || got[0].First.End != x.next.First.End) {
			t.Errorf("%s: ends at %d", name, got[0].Again.End)
		}
	}
}

// A recapitulation on the subdominant is said to start there, another is not. From memory of
// Mozart's sonata K. 545.
func TestStartsBelow(t *testing.T) {
	r := empty(20)
	r.Harmony.Keys = []tonal.KeySpan{{End: 40}, {Start: 40, End: 60, Key: tonal.Key{Tonic: -1}}, {Start: 60, End: 80}}
	f := form.Form{Sections: []form.Section{{Span: form.Span{End: 40}}, {Span: form.Span{Start: 40, End: 80}, Subdominant: true}}}
	if got, want := r.startsBelow(f), "; the recapitulation starts on the subdominant, F major: the theme is back, but not yet at home, the surprise of the piece"; got != want {
		t.Errorf("%q", got)
	}
	f.Sections[1].Subdominant = false
	if got := r.startsBelow(f); got != "" {
		t.Errorf("%q", got)
	}
}

// A theme that starts in the first half of a measure starts there, one in the second half with the
// next measure. A choice of ours; the closing section of Mozart's sonata K. 545 starts so in 26.
func TestThemeBar(t *testing.T) {
	r := empty(4)
	for at, want := range map[score.Tick]string{4: "2", 5: "2", 6: "3", 7: "3"} {
		if got := r.themeBar(at); got != want {
			t.Errorf("from tick %d it starts in m. %s, want %s", at, got, want)
		}
	}
}
