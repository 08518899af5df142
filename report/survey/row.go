package survey

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"hairpin/dynamics/verdict"
	"hairpin/harmony/tonal"
	"hairpin/report"
)

// Row is what a survey says of one score. Shares are percent of the time
// that has a verdict. A score that could not be used has only File and Error.
type Row struct {
	Schema        int     `json:"schema"`
	File          string  `json:"file"` // as it was named
	Title         string  `json:"title,omitempty"`
	Measures      int     `json:"measures,omitempty"`
	Home          string  `json:"home,omitempty"` // "D minor"
	HomeCertainty string  `json:"home_certainty,omitempty"`
	Supports      float64 `json:"supports"`
	WorksAgainst  float64 `json:"works_against"`
	Unshaped      float64 `json:"unshaped"`
	Independent   float64 `json:"independent"`
	Calm          float64 `json:"calm"`
	At            string  `json:"strongest_at,omitempty"` // measures of the strongest disagreement, "12–15"
	Strongest     string  `json:"strongest,omitempty"`    // what it is, "" if there is none
	Certainty     string  `json:"certainty,omitempty"`    // of the verdicts, by time
	Seconds       float64 `json:"seconds"`                // of reading and judging
	Error         string  `json:"error,omitempty"`        // why the score could not be used, "" if it could

	key string // "d", for a narrow table
}

// NewRow sums the reading up in a row. File and Seconds are the caller's.
func NewRow(r *report.Reading) Row {
	row := Row{
		Schema: 1, File: r.File.Name, Title: r.Score.Title, Measures: len(r.Score.Measures),
		Home: r.Harmony.Home.Name(), HomeCertainty: r.HomeCertainty().String(),
		Certainty: meanCertainty(r), key: r.Harmony.Home.String(),
	}
	for _, s := range r.Shares() {
		*row.share(s.Verdict) = s.Percent
	}
	if v, ok := r.Strongest(); ok {
		row.At, row.Strongest = r.Measures(v.Start, v.End), r.VerdictSentence(v)
	}
	return row
}

// share is the field of a verdict.
func (row *Row) share(k verdict.Kind) *float64 {
	switch k {
	case verdict.Supports:
		return &row.Supports
	case verdict.WorksAgainst:
		return &row.WorksAgainst
	case verdict.Unshaped:
		return &row.Unshaped
	case verdict.Independent:
		return &row.Independent
	}
	return &row.Calm
}

// meanCertainty is the certainty of the verdicts on stretches, weighted by time.
func meanCertainty(r *report.Reading) string {
	sum, all := 0.0, 0.0
	for _, v := range r.SpanVerdicts() {
		d := float64(v.End - v.Start)
		sum, all = sum+d*float64(v.Certainty), all+d
	}
	if all == 0 {
		return tonal.Unsure.String()
	}
	return tonal.Certainty(sum/all + 0.5).String()
}

// Writer writes the rows of a survey as they come, each in one write.
type Writer struct {
	w      io.Writer
	format string
	width  int
	headed bool // the head stands already
}

// NewWriter writes rows as table, tsv or ndjson. Width is that of a
// table; headed leaves out the head, for rows that go on from earlier ones.
func NewWriter(w io.Writer, format string, width int, headed bool) *Writer {
	return &Writer{w, format, width, headed}
}

// Row writes a row.
func (s *Writer) Row(row Row) error {
	var b bytes.Buffer
	switch s.format {
	case "ndjson":
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(row.record()); err != nil {
			return err
		}
	case "tsv":
		rows := [][]string{Head(), row.cells()}
		if s.headed {
			rows = rows[1:]
		}
		if err := report.WriteTSV(&b, rows...); err != nil {
			return err
		}
	default:
		if !s.headed {
			b.WriteString(row.line(s.width, true))
		}
		b.WriteString(row.line(s.width, false))
	}
	s.headed = true
	_, err := s.w.Write(b.Bytes())
	return err
}

// record is the row as JSON writes it: without numbers where nothing was read.
func (row Row) record() any {
	if row.Error == "" {
		return row
	}
	return struct {
		Schema  int     `json:"schema"`
		File    string  `json:"file"`
		Seconds float64 `json:"seconds"`
		Error   string  `json:"error"`
	}{row.Schema, row.File, row.Seconds, row.Error}
}

// Head are the columns of the rows in tsv.
func Head() []string {
	return []string{"file", "title", "measures", "home", "home_certainty", "supports", "works_against", "unshaped",
		"independent", "calm", "strongest_at", "strongest", "certainty", "seconds", "error"}
}

func (row Row) cells() []string {
	if row.Error != "" {
		cells := make([]string, len(Head()))
		cells[0], cells[13], cells[14] = row.File, millis(row.Seconds), row.Error
		return cells
	}
	return []string{row.File, row.Title, strconv.Itoa(row.Measures), row.Home, row.HomeCertainty,
		percent(row.Supports), percent(row.WorksAgainst), percent(row.Unshaped),
		percent(row.Independent), percent(row.Calm), row.At, row.Strongest, row.Certainty, millis(row.Seconds), ""}
}

func percent(p float64) string { return strconv.FormatFloat(p, 'f', 1, 64) }

func millis(s float64) string { return strconv.FormatFloat(s, 'f', 3, 64) }

// line lays a row out in columns of fixed width, so that it can be written
// before the next one is known. The name takes what the others leave.
func (row Row) line(width int, head bool) string {
	const rest = 59
	name := max(width-rest, 12)
	if head {
		return fmt.Sprintf("%s %5s %-4s %8s %7s %8s %6s %4s  %s\n", pad("score", name), "mm.", "key",
			"supports", "against", "unshaped", "indep.", "calm", "sure?")
	}
	if row.Error != "" {
		return fmt.Sprintf("%s %s\n", pad(shortName(row.File), name), report.WrapText("cannot be used: "+row.Error, max(width-name-1, 20), strings.Repeat(" ", name+1)))
	}
	return fmt.Sprintf("%s %5d %-4s %6.0f %% %5.0f %% %6.0f %% %4.0f %% %2.0f %%  %s\n", pad(shortName(row.File), name), row.Measures, row.key,
		row.Supports, row.WorksAgainst, row.Unshaped, row.Independent, row.Calm, row.Certainty)
}

// shortName is the last part of a path.
func shortName(path string) string {
	return path[strings.LastIndexAny(path, `/\`)+1:]
}

// pad brings a text to a width, cut in the middle where it is longer.
func pad(text string, width int) string {
	r := []rune(text)
	if n := len(r); n > width {
		tail := (width - 1) / 2
		r = append(append(r[:width-1-tail:width-1-tail], '…'), r[n-tail:]...)
	}
	return string(r) + strings.Repeat(" ", width-len(r))
}
