package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony/form"
	"hairpin/score"
)

// fivePhrases are A A' B A A' of four measures each, with one unsure goal.
func fivePhrases() []studyPhrase {
	var out []studyPhrase
	for i, ends := range []string{"half cadence in C major", "perfect authentic cadence in C major", "no cadence", "half cadence in C major", "perfect authentic cadence in C major"} {
		bar := 4*i + 1
		p := studyPhrase{bars: Bars{fmt.Sprint(bar), fmt.Sprint(bar + 3)}, Onset: Quarters(16 * i), start: score.Tick(16 * i), end: score.Tick(16*i + 16),
			Ends: ends, Certainty: "likely", closed: i != 2, Loudness: "p < mf"}
		p.Goal = &goal{Certainty: "likely", Onset: p.Onset + 8}
		p.goalBar = fmt.Sprint(bar + 2)
		out = append(out, p)
	}
	return out
}

// Music that comes back and is read as its first time is one line of the table; what is
// told otherwise, is only alike, stands at another pitch, alone or under a heading of its
// own, is told.
func TestReturnsAreToldOnce(t *testing.T) {
	back := form.Return{First: form.Span{Start: 0, End: 32}, Again: form.Span{Start: 48, End: 80}, Likeness: literal}
	for name, c := range map[string]struct {
		change func(*studyData, *form.Return)
		want   string
	}{
		"all the same":       {func(*studyData, *form.Return) {}, "1–4 5–8 9–12 13–20=mm. 1–8"},
		"another close":      {func(d *studyData, _ *form.Return) { d.Phrases[4].Ends = "no cadence" }, "1–4 5–8 9–12 13–16 17–20"},
		"less sure":          {func(d *studyData, _ *form.Return) { d.Phrases[3].Certainty = "unsure" }, "1–4 5–8 9–12 13–16 17–20"},
		"other levels":       {func(d *studyData, _ *form.Return) { d.Phrases[3].Loudness = "f" }, "1–4 5–8 9–12 13–16 17–20"},
		"another goal":       {func(d *studyData, _ *form.Return) { d.Phrases[3].Goal.Onset++ }, "1–4 5–8 9–12 13–16 17–20"},
		"a surer goal":       {func(d *studyData, _ *form.Return) { d.Phrases[3].Goal.Certainty = "sure" }, "1–4 5–8 9–12 13–16 17–20"},
		"no goal":            {func(d *studyData, _ *form.Return) { d.Phrases[4].Goal = nil }, "1–4 5–8 9–12 13–16 17–20"},
		"longer":             {func(d *studyData, _ *form.Return) { d.Phrases[0].start++ }, "1–4 5–8 9–12 13–16 17–20"},
		"only alike":         {func(_ *studyData, r *form.Return) { r.Likeness = literal - 0.01 }, "1–4 5–8 9–12 13–16 17–20"},
		"a third higher":     {func(_ *studyData, r *form.Return) { r.Semitones = 4 }, "1–4 5–8 9–12 13–16 17–20"},
		"one phrase is left": {func(_ *studyData, r *form.Return) { r.Again.End-- }, "1–4 5–8 9–12 13–16 17–20"},
		"a heading between": {func(d *studyData, _ *form.Return) {
			d.Whole.Sections = []studySection{{Letter: "A"}, {Letter: "B", Onset: 32}, {Letter: "A", Onset: 64}}
		}, "1–4 5–8 9–12 13–16 17–20"},
		"goals that are not told": {func(d *studyData, _ *form.Return) {
			for i := range d.Phrases {
				d.Phrases[i].opens, d.Phrases[i].Goal.Certainty = true, "unsure"
			}
			d.Phrases[3].Goal.Onset--
		}, "1–4 5–8 9–12 13–20=mm. 1–8"},
	} {
		d, r := &studyData{Phrases: fivePhrases()}, back
		c.change(d, &r)
		firstTimes(d.Phrases, []form.Return{r})
		if got := linesOf(d); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// linesOf is the table's lines: their measures, and those of the first time.
func linesOf(d *studyData) string {
	var out []string
	for _, l := range d.lines() {
		text := l.bars(d.Phrases).String()
		if l.first >= 0 {
			text += "=" + strings.TrimPrefix(l.as(d.Phrases), "as ")
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

// The table writes such a line under the goals, and no remark with it.
func TestReturnInTheTable(t *testing.T) {
	d := &studyData{Phrases: fivePhrases()}
	firstTimes(d.Phrases, []form.Return{{First: form.Span{Start: 0, End: 32}, Again: form.Span{Start: 48, End: 80}, Likeness: 1}})
	grids := d.phraseGrids()
	if got := grids[len(grids)-1].rows[0]; !slices.Equal(got, []string{"13–20", "as mm. 1–8", "", ""}) {
		t.Errorf("the last line is %q", got)
	}
	if len(grids) != 4 {
		t.Errorf("%d lines, want 4", len(grids))
	}
}
