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
		d := t.Differences()
		if len(d.Rows) == 0 {
			fmt.Fprintf(w, "\n%s\n", report.WrapText(d.Title, t.reading.Options.Width, ""))
		} else if err := d.write(w, t.reading.Options.Width); err != nil {
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
	for _, line := range k.Overview() {
		fmt.Fprintln(w, report.WrapText(line, width, "  "))
	}
	for _, g := range k.Tables() {
		if err := g.write(w, width); err != nil {
			return err
		}
	}
	return nil
}

// Overview says in sentences what was played.
func (k *Take) Overview() []string {
	out := append([]string{fmt.Sprintf("%s: %s of %s.", k.File, clock(float64(k.Seconds)), k.kind())}, k.Warnings...)
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

// Table is a table under a title.
type Table struct {
	Title string
	Head  []string
	Right []bool // columns of numbers
	Rows  [][]string
}

func (t Table) write(w io.Writer, width int) error {
	fmt.Fprintf(w, "\n%s\n", report.WrapText(t.Title, width, ""))
	return report.WriteTable(w, width, t.Head, t.Right, t.Rows...)
}

// Tables are the verdicts on a take; those without a row are left out.
func (k *Take) Tables() (out []Table) {
	for _, t := range []Table{k.hairpinTable(), k.levelTable(), k.moveTable(), k.goalTable(), k.handTable()} {
		if len(t.Rows) > 0 {
			out = append(out, t)
		}
	}
	return out
}

// db writes a change with its sign.
func db(n number) string { return signed(float64(n), 1) }

// signed is a number with so many decimals and its sign, +0 for none.
func signed(x float64, decimals int) string {
	p := math.Pow10(decimals)
	return fmt.Sprintf("%+.*f", decimals, math.Round(x*p)/p+0)
}

// Word puts a verdict as sure as it is.
func (k *Take) Word(j Judged) string {
	word := j.Verdict
	if word != "flat" && !j.Clear {
		word = "leaning: " + word
	}
	if k.Sound {
		word += "?"
	}
	return word
}

func (k *Take) hairpinTable() Table {
	s := Table{Title: "Printed hairpins", Head: []string{"measures", "pass", "printed", "dB", "played"}, Right: []bool{false, true, false, true, false}}
	for _, h := range k.Hairpins {
		s.Rows = append(s.Rows, []string{h.Measures, strconv.Itoa(h.Pass), h.Kind, db(h.Change), k.Word(h.Judged)})
	}
	return s
}

func (k *Take) levelTable() Table {
	s := Table{Title: "Printed levels", Head: []string{"at", "pass", "printed", "dB", "played"}, Right: []bool{false, true, false, true, false}}
	for _, l := range k.Levels {
		s.Rows = append(s.Rows, []string{l.At, strconv.Itoa(l.Pass), l.Printed, db(l.Change), k.Word(l.Judged)})
	}
	return s
}

// moveTable leaves out what is flat: nothing is said of it.
func (k *Take) moveTable() Table {
	s := Table{Title: "Harmony, page and you", Head: []string{"measures", "pass", "harmony", "page", "dB", "you, with the harmony"}, Right: []bool{false, true, false, false, true, false}}
	for _, m := range k.Moves {
		if m.Verdict != "flat" {
			s.Rows = append(s.Rows, []string{m.Measures, strconv.Itoa(m.Pass), m.Harmony, m.Page, db(m.Change), k.Word(m.Judged)})
		}
	}
	return s
}

func (k *Take) goalTable() Table {
	s := Table{Title: "Goals of phrases", Head: []string{"goal at", "pass", "loudest at", "dB", "it was"}, Right: []bool{false, true, false, true, false}}
	for _, g := range k.Goals {
		word := "passed"
		if g.Reached {
			word = "reached"
		}
		if k.Sound {
			word += "?"
		}
		s.Rows = append(s.Rows, []string{g.Goal, strconv.Itoa(g.Pass), g.Loudest, db(g.Above), word})
	}
	return s
}

func (k *Take) handTable() Table {
	s := Table{Title: "Alternating strokes: the first hand over the second, the second late",
		Head: []string{"measures", "pass", "strokes", "dB", "±", "ms", "±"}, Right: []bool{false, true, true, true, true, true, true}}
	for _, h := range k.Hands {
		level := "withheld"
		if h.Level != nil {
			level = db(*h.Level)
		}
		s.Rows = append(s.Rows, []string{h.Measures, strconv.Itoa(h.Pass), strconv.Itoa(h.Strokes), level,
			fmt.Sprintf("%.1f", float64(h.LevelScatter)), signed(float64(h.Late), 0), fmt.Sprintf("%.0f", float64(h.LateScatter))})
	}
	return s
}
