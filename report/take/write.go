package take

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"hairpin/report"
)

// Write writes the report: "json"; "tsv", a row for every beat played with the
// columns take pass onset measure beat time tempo db relative_db tension printed;
// else a table for people.
func (t *Report) Write(w io.Writer, format string) error {
	switch format {
	case "json":
		enc := json.NewEncoder(w)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", " ")
		return enc.Encode(t)
	case "tsv":
		return report.WriteTSV(w, t.rows()...)
	}
	for i := range t.Takes {
		if i > 0 {
			fmt.Fprintln(w)
		}
		if err := t.table(w, &t.Takes[i]); err != nil {
			return err
		}
	}
	if len(t.Takes) > 1 {
		if err := t.compare(w); err != nil {
			return err
		}
	}
	_, err := fmt.Fprintf(w, "\n%s\n", report.WrapText("Note: "+t.Caution, t.reading.Options.Width, "      "))
	return err
}

func (t *Report) rows() [][]string {
	rows := [][]string{{"take", "pass", "onset", "measure", "beat", "time", "tempo", "db", "relative_db", "tension", "printed"}}
	text := func(n *number) string {
		if n == nil {
			return ""
		}
		return n.String()
	}
	for _, k := range t.Takes {
		for _, b := range k.Beats {
			rows = append(rows, []string{k.File, strconv.Itoa(b.Pass), b.Onset.String(), b.Measure, b.Beat.String(), b.Time.String(),
				b.Tempo.String(), text(b.Level), text(b.Relative), b.Tension.String(), b.Printed.String()})
		}
	}
	return rows
}

// table tells of one take.
func (t *Report) table(w io.Writer, k *Take) error {
	width := t.reading.Options.Width
	for _, line := range k.overview() {
		fmt.Fprintln(w, report.WrapText(line, width, "  "))
	}
	for _, g := range k.tables() {
		if len(g.rows) == 0 {
			continue
		}
		fmt.Fprintf(w, "\n%s\n", report.WrapText(g.title, width, ""))
		if err := report.WriteTable(w, width, g.head, g.right, g.rows...); err != nil {
			return err
		}
	}
	return nil
}

// overview says in sentences what was played.
func (k *Take) overview() []string {
	out := []string{fmt.Sprintf("%s: %s of %s.", k.File, clock(float64(k.Seconds)), k.kind())}
	if n := k.Notes; n != nil {
		out = append(out, fmt.Sprintf("Of %d keys struck %d are written there; %d written notes were missed, %d struck beside.", n.Struck, n.Right, len(n.Missed), len(n.Wrong)))
	}
	var passes []string
	for _, p := range k.Passes {
		passes = append(passes, fmt.Sprintf("mm. %s from %s", p.Measures, clock(float64(p.Time))))
	}
	out = append(out, "Played: "+strings.Join(passes, "; ")+".")
	for _, l := range k.Lost {
		what := "the place was lost"
		if l.Pause {
			what = "nothing was played"
		}
		out = append(out, fmt.Sprintf("From %s to %s %s.", clock(float64(l.Time)), clock(float64(l.TimeEnd)), what))
	}
	return out
}

func (k *Take) kind() string {
	if k.Sound {
		return "sound; what is heard in it is a question to your own ear"
	}
	return "keys struck"
}

// clock writes seconds as minutes and seconds.
func clock(s float64) string {
	n := int(math.Round(s))
	return fmt.Sprintf("%d:%02d", n/60, n%60)
}

// section is a table under a title.
type section struct {
	title string
	head  []string
	right []bool
	rows  [][]string
}

func (k *Take) tables() []section {
	return []section{k.hairpinTable(), k.levelTable(), k.moveTable(), k.goalTable(), k.handTable()}
}

// db writes a change with its sign.
func db(n number) string { return signed(float64(n), 1) }

// signed is a number with so many decimals and its sign, +0 for none.
func signed(x float64, decimals int) string {
	p := math.Pow10(decimals)
	return fmt.Sprintf("%+.*f", decimals, math.Round(x*p)/p+0)
}

// verdictWord puts a verdict as sure as it is.
func (k *Take) verdictWord(j Judged) string {
	word := j.Verdict
	if word != "flat" && !j.Clear {
		word = "leaning: " + word
	}
	if k.Sound {
		word += "?"
	}
	return word
}

func (k *Take) hairpinTable() section {
	s := section{title: "Printed hairpins", head: []string{"measures", "pass", "printed", "dB", "played"}, right: []bool{false, true, false, true, false}}
	for _, h := range k.Hairpins {
		s.rows = append(s.rows, []string{h.Measures, strconv.Itoa(h.Pass), h.Kind, db(h.Change), k.verdictWord(h.Judged)})
	}
	return s
}

func (k *Take) levelTable() section {
	s := section{title: "Printed levels", head: []string{"at", "pass", "printed", "dB", "played"}, right: []bool{false, true, false, true, false}}
	for _, l := range k.Levels {
		s.rows = append(s.rows, []string{l.At, strconv.Itoa(l.Pass), l.Printed, db(l.Change), k.verdictWord(l.Judged)})
	}
	return s
}

// moveTable leaves out what is flat: nothing is said of it.
func (k *Take) moveTable() section {
	s := section{title: "Harmony, page and you", head: []string{"measures", "pass", "harmony", "page", "dB", "you, with the harmony"}, right: []bool{false, true, false, false, true, false}}
	for _, m := range k.Moves {
		if m.Verdict != "flat" {
			s.rows = append(s.rows, []string{m.Measures, strconv.Itoa(m.Pass), m.Harmony, m.Page, db(m.Change), k.verdictWord(m.Judged)})
		}
	}
	return s
}

func (k *Take) goalTable() section {
	s := section{title: "Goals of phrases", head: []string{"goal at", "pass", "loudest at", "dB", "it was"}, right: []bool{false, true, false, true, false}}
	for _, g := range k.Goals {
		word := "passed"
		if g.Reached {
			word = "reached"
		}
		if k.Sound {
			word += "?"
		}
		s.rows = append(s.rows, []string{g.Goal, strconv.Itoa(g.Pass), g.Loudest, db(g.Above), word})
	}
	return s
}

func (k *Take) handTable() section {
	s := section{title: "Alternating strokes: the first hand over the second, the second late",
		head: []string{"measures", "pass", "strokes", "dB", "±", "ms", "±"}, right: []bool{false, true, true, true, true, true, true}}
	for _, h := range k.Hands {
		level := "withheld"
		if h.Level != nil {
			level = db(*h.Level)
		}
		s.rows = append(s.rows, []string{h.Measures, strconv.Itoa(h.Pass), strconv.Itoa(h.Strokes), level,
			fmt.Sprintf("%.1f", float64(h.LevelScatter)), signed(float64(h.Late), 0), fmt.Sprintf("%.0f", float64(h.LateScatter))})
	}
	return s
}
