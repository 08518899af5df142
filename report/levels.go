package report

import (
	"io"
	"strconv"

	"hairpin/dynamics"
)

// levelRow is one stretch from a beat, onset or change to the next. Levels are
// steps, ppp 1 to fff 8, at its start and just before its end; between them
// they run straight. Tension and long line are those at its start, 0–100.
type levelRow struct {
	Onset      Quarters  `json:"onset"`
	End        Quarters  `json:"end"`
	Measure    string    `json:"measure"`
	Beat       Quarters  `json:"beat"`
	Printed    hundredth `json:"printed"`
	Shaped     hundredth `json:"shaped"`
	Tension    tenth     `json:"tension"`
	Long       tenth     `json:"long"`
	PrintedEnd hundredth `json:"printed_end"`
	ShapedEnd  hundredth `json:"shaped_end"`
	Page       string    `json:"page,omitempty"`   // what the page says there
	Cause      string    `json:"cause,omitempty"`  // what bends the proposal most
	Proposed   hundredth `json:"proposed"`         // the phrase's line; Shaped bends it beat by beat
	Leaves     string    `json:"leaves,omitempty"` // why it leaves the printed level by more than a step and a half
}

// hundredth is a number written with two decimals.
type hundredth float64

// MarshalJSON rounds to two decimals.
func (h hundredth) MarshalJSON() ([]byte, error) { return []byte(h.String()), nil }

// String is the number with two decimals.
func (h hundredth) String() string { return strconv.FormatFloat(float64(h), 'f', 2, 64) }

func (r *Reading) levelRows() []levelRow {
	var rows []levelRow
	for _, l := range dynamics.Levels(r.Score, r.Harmony, r.Page, r.Shaping) {
		if l.Start < r.From || l.Start >= r.To {
			continue
		}
		p := r.Score.At(l.Start)
		row := levelRow{
			Onset: r.quarters(l.Start), End: r.quarters(l.End), Measure: p.Number, Beat: Quarters(p.Beat),
			Printed: hundredth(l.Printed), Shaped: hundredth(l.Shaped), Tension: tenth(l.Tension), Long: tenth(l.Long),
			PrintedEnd: hundredth(l.PrintedEnd), ShapedEnd: hundredth(l.ShapedEnd), Page: pageText(l.Cause, l.Stress),
		}
		if l.Proposal != nil {
			row.Cause = string(l.Proposal.Main)
		}
		row.Leaves, row.Proposed = string(l.Leaves), hundredth(l.Shaped)
		if len(r.Line.Segments) > 0 {
			row.Proposed = hundredth(r.Line.At(l.Start))
		}
		rows = append(rows, row)
	}
	return rows
}

// Levels writes printed and proposed loudness over the tension. TSV has a row
// for every beat, onset and change, with the columns onset end measure beat
// printed shaped tension printed_end shaped_end long leaves proposed; a table has the beats only.
func (r *Reading) Levels(w io.Writer, format string) error {
	rows := r.levelRows()
	switch format {
	case "tsv":
		return r.weightColumn(levelsTSV(rows)).tsv(w)
	case "markdown":
		return r.markdown(w, levelsTable(rows))
	case "json":
		return writeJSON(w, struct {
			Schema  int        `json:"schema"`
			Title   string     `json:"title,omitempty"`
			Weights weighing   `json:"weights"`
			Caution string     `json:"caution,omitempty"`
			Levels  []levelRow `json:"levels"`
		}{1, r.Score.Title, r.weighing(), sentence(r.Shaping.Caution), orEmpty(rows)})
	}
	if err := levelsTable(rows).table(w, r.Options.Width); err != nil {
		return err
	}
	return r.notes(w, sentence(r.Shaping.Caution))
}

func levelsTSV(rows []levelRow) grid {
	g := grid{head: []string{"onset", "end", "measure", "beat", "printed", "shaped", "tension", "printed_end", "shaped_end", "long", "leaves", "proposed"}}
	for _, l := range rows {
		g.rows = append(g.rows, []string{l.Onset.String(), l.End.String(), l.Measure, l.Beat.String(), l.Printed.String(),
			l.Shaped.String(), l.Tension.String(), l.PrintedEnd.String(), l.ShapedEnd.String(), l.Long.String(), l.Leaves, l.Proposed.String()})
	}
	return g
}

// levelsTable is a row a beat, levels in marks.
func levelsTable(rows []levelRow) grid {
	g := grid{
		head:  []string{"at", "tension", "long line", "printed", "proposed", "each beat", "mainly for"},
		right: []bool{false, true, true, false, false, false, false},
		wrap:  6,
	}
	for _, l := range rows {
		if float64(l.Beat) != float64(int(l.Beat)) {
			continue
		}
		g.rows = append(g.rows, []string{l.Measure + ":" + beatText(l.Beat), whole(l.Tension), whole(l.Long),
			Shade(float64(l.Printed)), Shade(float64(l.Proposed)), Shade(float64(l.Shaped)), mainlyFor(l)})
	}
	return g
}

// mainlyFor is what bends a proposal, and why it goes far from the page.
func mainlyFor(l levelRow) string {
	if l.Leaves != "" {
		return l.Cause + "; " + l.Leaves
	}
	return l.Cause
}
