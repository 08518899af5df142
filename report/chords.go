package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"hairpin/score"
)

// chordRow is one chord for tools. Times are quarter notes from the start as
// written; pitch classes are 0–11 with C at 0; tension and its parts 0–100.
type chordRow struct {
	Onset      Quarters `json:"onset"`
	End        Quarters `json:"end"`
	Measure    string   `json:"measure"`
	Beat       Quarters `json:"beat"`
	Key        string   `json:"key"`
	Roman      string   `json:"roman"`
	RootPC     int      `json:"root_pc"`
	BassPC     int      `json:"bass_pc"`
	Quality    string   `json:"quality"`
	Inversion  int      `json:"inversion"`
	Chord      string   `json:"chord"`
	Tension    tenth    `json:"tension"`
	Dissonance tenth    `json:"dissonance"`
	Distance   tenth    `json:"distance"`
	Pull       tenth    `json:"pull"`
	Certainty  string   `json:"certainty"`
	Why        string   `json:"why,omitempty"`
	Rival      string   `json:"rival,omitempty"`
	Given      bool     `json:"given,omitempty"`
	Pedal      bool     `json:"pedal,omitempty"`

	place  string    // as a player counts it
	points [3]string // what dissonance, distance and pull add to the total
}

// tenth is a number written with one decimal at most.
type tenth float64

// MarshalJSON rounds to one decimal.
func (t tenth) MarshalJSON() ([]byte, error) { return []byte(t.String()), nil }

// String is the number with one decimal.
func (t tenth) String() string { return strconv.FormatFloat(math.Round(float64(t)*10)/10, 'f', 1, 64) }

func (r *Reading) chordRows() []chordRow {
	var rows []chordRow
	for _, c := range r.Harmony.Chords {
		if !r.Shows(c.Start, c.End) {
			continue
		}
		p, t := r.Score.At(c.Start), c.Tension
		rows = append(rows, chordRow{
			Onset: Quarters(r.Score.Quarters(c.Start)), End: Quarters(r.Score.Quarters(c.End)),
			Measure: p.Number, Beat: Quarters(p.Beat), Key: c.Key.String(), Roman: c.Roman(),
			RootPC: c.Root.PC(), BassPC: c.Bass.PC(), Quality: c.Quality.ID(), Inversion: c.Inversion, Chord: c.Name(),
			Tension: tenth(t.Total), Dissonance: tenth(t.Dissonance), Distance: tenth(t.Distance), Pull: tenth(t.Pull),
			Certainty: c.Certainty.String(), Why: c.Why, Rival: c.Rival, Given: c.Given, Pedal: c.Pedal, place: p.Counted(""), points: signedPoints(r.Harmony.Contribution(t)),
		})
	}
	return rows
}

// Chords writes one row a chord. TSV has the columns onset end measure beat key
// roman root_pc bass_pc quality inversion chord tension dissonance distance
// pull certainty, and weights if the user changed them.
func (r *Reading) Chords(w io.Writer, format string) error {
	rows := r.chordRows()
	switch format {
	case "tsv":
		return r.weightColumn(chordsTSV(rows)).tsv(w)
	case "markdown":
		return r.markdown(w, chordsTable(rows))
	case "json":
		return writeJSON(w, struct {
			Schema  int        `json:"schema"`
			Title   string     `json:"title,omitempty"`
			Home    string     `json:"home"`
			Weights weighing   `json:"weights"`
			Caution string     `json:"caution,omitempty"`
			Chords  []chordRow `json:"chords"`
		}{1, r.Score.Title, r.Harmony.Home.String(), r.weighing(), r.Harmony.Caution, orEmpty(rows)})
	}
	if err := chordsTable(rows).narrowed(r.Options.Width).table(w, r.Options.Width); err != nil {
		return err
	}
	return r.notes(w, sentence(r.Harmony.Caution))
}

func chordsTSV(rows []chordRow) grid {
	g := grid{head: []string{"onset", "end", "measure", "beat", "key", "roman", "root_pc", "bass_pc", "quality",
		"inversion", "chord", "tension", "dissonance", "distance", "pull", "certainty"}}
	for _, c := range rows {
		g.rows = append(g.rows, []string{c.Onset.String(), c.End.String(), c.Measure, c.Beat.String(), c.Key, c.Roman,
			strconv.Itoa(c.RootPC), strconv.Itoa(c.BassPC), c.Quality, strconv.Itoa(c.Inversion), c.Chord,
			c.Tension.String(), c.Dissonance.String(), c.Distance.String(), c.Pull.String(), c.Certainty})
	}
	return g
}

func chordsTable(rows []chordRow) grid {
	g := grid{
		head:  []string{"at", "key", "numeral", "chord", "tension", "dissonance", "distance", "pull", "certainty"},
		right: []bool{false, false, false, false, true, true, true, true, false},
		wrap:  8,
	}
	key := ""
	for _, c := range rows {
		shown := c.Key
		if c.Key == key {
			shown = ""
		}
		key = c.Key
		g.rows = append(g.rows, []string{c.place, shown, c.Roman, c.Chord,
			whole(c.Tension), c.points[0], c.points[1], c.points[2], given(c)})
	}
	return g
}

// narrowed leaves out the parts of tension, and then the certainty, where the line is short.
func (g grid) narrowed(width int) grid {
	switch {
	case width < 45:
		return g.columns(0, 1, 2, 3, 4)
	case width < 75:
		return g.columns(0, 1, 2, 3, 4, 8)
	}
	return g
}

func given(c chordRow) string {
	if c.Given {
		return "given"
	}
	return c.Certainty
}

// whole is a tension without decimals, as a table shows it.
func whole(t tenth) string { return strconv.Itoa(int(math.Round(float64(t)))) }

func beatText(b Quarters) string { return score.FormatBeat(float64(b)) }

// String is the time with at most six decimals.
func (q Quarters) String() string {
	return strconv.FormatFloat(math.Round(float64(q)*1e6)/1e6, 'f', -1, 64)
}

func orEmpty[T any](rows []T) []T {
	if rows == nil {
		return []T{}
	}
	return rows
}

func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(v)
}

// note writes a caution under a table, if there is one.
func (r *Reading) note(w io.Writer, text string) error {
	if text == "" {
		return nil
	}
	_, err := fmt.Fprintf(w, "\n%s\n", WrapText("Note: "+text, r.Options.Width, "      "))
	return err
}
