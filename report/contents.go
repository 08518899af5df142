package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"hairpin/musicxml"
	"hairpin/score"
)

// Facts is what was read from a score, without any judgement. Times are quarter
// notes from the start as written, repeats not unfolded; rows are short lists
// in the order that each field states.
type Facts struct {
	Schema        int             `json:"schema"`
	File          string          `json:"file"`
	Title         string          `json:"title,omitempty"`
	Composer      string          `json:"composer,omitempty"`
	Parts         int             `json:"parts"`
	PartIDs       []string        `json:"part_ids"`
	PartNames     []string        `json:"part_names"`
	Measures      int             `json:"measures"`
	Numbers       []string        `json:"measure_numbers"`
	LengthQL      Quarters        `json:"length_ql"`
	MeasureStarts []Quarters      `json:"measure_starts"`
	NNotes        int             `json:"n_notes"`
	NUnpitched    int             `json:"n_unpitched"`
	NGrace        int             `json:"n_grace"`
	NCue          int             `json:"n_cue"`
	NRests        int             `json:"n_rests"`
	NHidden       int             `json:"n_hidden_notes"`
	Notes         []row           `json:"notes"`     // onset, duration, MIDI pitch
	Unpitched     []row           `json:"unpitched"` // onset, duration
	Dynamics      []row           `json:"dynamics"`  // onset, part, mark, staff, "dir" or "note", onset without offset
	Wedges        []row           `json:"wedges"`    // start, end, kind, part, staff, niente, start and end without offset
	WedgesOpen    int             `json:"n_wedges_unclosed"`
	Dashes        []row           `json:"dashes"` // start, end, part, start and end without offset
	Keys          []row           `json:"keys"`   // onset, fifths as written, mode, part, staff
	Times         []row           `json:"times"`  // onset, signature, part, staff
	Harmony       []row           `json:"harmony"`
	Words         []row           `json:"words"`    // onset, part, text
	Accents       []row           `json:"accents"`  // onset, part, sign
	Fermatas      []row           `json:"fermatas"` // onset, part
	Warnings      []score.Warning `json:"warnings"`
}

type row []any

// Quarters is a time in quarter notes; it is written with at most six decimals.
type Quarters float64

// MarshalJSON rounds to six decimals.
func (q Quarters) MarshalJSON() ([]byte, error) {
	return json.Marshal(math.Round(float64(q)*1e6) / 1e6)
}

// Contents writes what was read from a score: "json" for tools, "table" for people.
func Contents(w io.Writer, f *musicxml.File, format string) error {
	facts := newFacts(f)
	switch format {
	case "json":
		return json.NewEncoder(w).Encode(facts)
	case "table", "":
		return facts.table(w)
	}
	return &ChoiceError{fmt.Sprintf("contents has no format %q", format), "the formats are table, json"}
}

// newFacts gathers the facts of a score.
func newFacts(f *musicxml.File) *Facts {
	s := f.Score
	q := func(t score.Tick) Quarters { return Quarters(s.Quarters(t)) }
	facts := &Facts{
		Schema: 1, File: f.Name, Title: s.Title, Composer: s.Composer,
		Parts: len(s.Parts), PartIDs: []string{}, PartNames: []string{},
		Measures: len(s.Measures), Numbers: []string{}, LengthQL: q(s.Length()), MeasureStarts: []Quarters{},
		NRests: s.Rests, Warnings: append([]score.Warning{}, s.Warnings...),
	}
	for _, p := range s.Parts {
		facts.PartIDs, facts.PartNames = append(facts.PartIDs, p.ID), append(facts.PartNames, p.Name)
	}
	for _, m := range s.Measures {
		facts.Numbers, facts.MeasureStarts = append(facts.Numbers, m.Number), append(facts.MeasureStarts, q(m.Start))
	}
	facts.addNotes(s)
	facts.addMarks(s)
	facts.addSignatures(s)
	return facts
}

func (f *Facts) addNotes(s *score.Score) {
	f.Notes, f.Unpitched, f.Accents = []row{}, []row{}, []row{}
	for _, n := range s.Notes {
		onset, duration := Quarters(s.Quarters(n.Onset)), Quarters(s.Quarters(n.Duration))
		f.count(n)
		switch {
		case n.Grace, n.Cue:
		case n.Unpitched:
			f.Unpitched = append(f.Unpitched, row{onset, duration})
		default:
			f.Notes = append(f.Notes, row{onset, duration, math.Round(n.Pitch.MIDI()*1e6) / 1e6})
		}
		for _, a := range accents {
			if n.Signs.Has(a.sign) {
				f.Accents = append(f.Accents, row{onset, n.Part, a.name})
			}
			for _, l := range n.Later {
				if l.Signs.Has(a.sign) {
					f.Accents = append(f.Accents, row{Quarters(s.Quarters(l.At)), n.Part, a.name})
				}
			}
		}
	}
	f.NNotes = len(f.Notes)
}

func (f *Facts) count(n score.Note) {
	elements := len(n.Source)
	if n.Grace {
		f.NGrace += elements
	}
	if n.Small {
		f.NCue += elements
	}
	if n.Hidden {
		f.NHidden += elements
	}
	if n.Unpitched && !n.Grace {
		f.NUnpitched += elements
	}
}

// accents are the signs that shape loudness or stress, in the standard's words.
var accents = [...]struct {
	sign score.Sign
	name string
}{
	{score.Accent, "accent"}, {score.StrongAccent, "strong-accent"}, {score.SoftAccent, "soft-accent"},
	{score.Tenuto, "tenuto"}, {score.DetachedLegato, "detached-legato"},
	{score.Stress, "stress"}, {score.Unstress, "unstress"},
}

func (f *Facts) addMarks(s *score.Score) {
	q := func(t score.Tick) Quarters { return Quarters(s.Quarters(t)) }
	f.Dynamics, f.Wedges, f.Dashes, f.Words, f.Fermatas, f.Harmony = []row{}, []row{}, []row{}, []row{}, []row{}, []row{}
	for _, d := range s.Dynamics {
		where := "dir"
		if d.OnNote {
			where = "note"
		}
		f.Dynamics = append(f.Dynamics, row{q(d.At), d.Part, d.Mark, d.Staff, where, q(d.Written)})
	}
	for _, h := range s.Hairpins {
		if h.Open {
			f.WedgesOpen++
			continue
		}
		kind := "crescendo"
		if h.Kind == score.Diminuendo {
			kind = "diminuendo"
		}
		f.Wedges = append(f.Wedges, row{q(h.Start), q(h.End), kind, h.Part, h.Staff, h.Niente, q(h.WrittenStart), q(h.WrittenEnd)})
	}
	for _, d := range s.Dashes {
		if !d.Open {
			f.Dashes = append(f.Dashes, row{q(d.Start), q(d.End), d.Part, q(d.WrittenStart), q(d.WrittenEnd)})
		}
	}
	for _, w := range s.Words {
		f.Words = append(f.Words, row{q(w.At), w.Part, w.Text})
	}
	for _, m := range s.Fermatas {
		f.Fermatas = append(f.Fermatas, row{q(m.At), m.Part})
	}
	for _, c := range s.Symbols {
		f.Harmony = append(f.Harmony, row{q(c.At), c.WrittenRoot, c.Kind, orNull(c.WrittenBass), c.Part, degrees(c.Degrees)})
	}
}

func degrees(list []score.Degree) []string {
	out := []string{}
	for _, d := range list {
		sign := ""
		for a := d.Alter; a > 0; a-- {
			sign += "#"
		}
		for a := d.Alter; a < 0; a++ {
			sign += "b"
		}
		out = append(out, fmt.Sprintf("%s%s%d", d.Type, sign, d.Value))
	}
	return out
}

func (f *Facts) addSignatures(s *score.Score) {
	f.Keys, f.Times = []row{}, []row{}
	for _, k := range s.Keys {
		at := Quarters(s.Quarters(k.At))
		if k.NonStandard != "" {
			f.Keys = append(f.Keys, row{at, nil, "nontraditional " + k.NonStandard, k.Part, staffOrNull(k.Staff)})
			continue
		}
		f.Keys = append(f.Keys, row{at, k.Written, orNull(k.Mode), k.Part, staffOrNull(k.Staff)})
	}
	for _, t := range s.Times {
		f.Times = append(f.Times, row{Quarters(s.Quarters(t.At)), t.Text, t.Part, staffOrNull(t.Staff)})
	}
}

func orNull(s string) any {
	if s == "" {
		return nil
	}
	return s
}

func staffOrNull(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

// table says what was read in words, and leaves out what there is none of.
func (f *Facts) table(w io.Writer) error {
	if _, err := io.WriteString(w, f.heading()); err != nil {
		return err
	}
	rows := []struct {
		what  string
		count int
	}{
		{"parts", f.Parts}, {"measures", f.Measures}, {"notes", f.NNotes}, {"unpitched notes", f.NUnpitched},
		{"grace notes", f.NGrace}, {"notes in small print", f.NCue}, {"hidden notes", f.NHidden}, {"rests", f.NRests},
		{"dynamics marks", len(f.Dynamics)}, {"hairpins", len(f.Wedges)}, {"hairpins without end", f.WedgesOpen},
		{"dashed lines", len(f.Dashes)}, {"words", len(f.Words)}, {"accents and tenuti", len(f.Accents)},
		{"fermatas", len(f.Fermatas)}, {"key signatures", len(f.Keys)}, {"time signatures", len(f.Times)},
		{"chord symbols", len(f.Harmony)},
	}
	for _, r := range rows {
		if r.count == 0 {
			continue
		}
		if _, err := fmt.Fprintf(w, "%-20s %6d\n", r.what, r.count); err != nil {
			return err
		}
	}
	return f.warningLines(w)
}

// heading is title, composer, parts and length.
func (f *Facts) heading() string {
	s := ""
	if line := strings.Trim(f.Title+", "+f.Composer, ", "); line != "" {
		s = line + "\n"
	}
	names := make([]string, len(f.PartNames))
	for i, n := range f.PartNames {
		if names[i] = n; n == "" {
			names[i] = f.PartIDs[i]
		}
	}
	return s + fmt.Sprintf("for %s\n%g quarter notes long as written\n", strings.Join(names, ", "), math.Round(float64(f.LengthQL)*1000)/1000)
}

func (f *Facts) warningLines(w io.Writer) error {
	for _, x := range f.Warnings {
		where := musicxml.Where{Part: x.Part, Measure: x.Measure}.String()
		if where != "" {
			where += ": "
		}
		if _, err := fmt.Fprintf(w, "irregular: %s%s\n", where, x.Text); err != nil {
			return err
		}
	}
	return nil
}
