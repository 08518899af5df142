package report

import (
	"fmt"
	"slices"
	"strings"

	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// fugue is what is told of one.
type fugue struct {
	Voices   int          `json:"voices"`
	Subject  string       `json:"subject"` // "mm. 1–2"
	Entries  []fugueEntry `json:"entries"`
	Episodes []string     `json:"episodes"` // measures
}

// fugueEntry is the subject once.
type fugueEntry struct {
	Measure  string   `json:"measure"`
	Onset    Quarters `json:"onset"`
	End      Quarters `json:"end"`
	Voice    string   `json:"voice,omitempty"`
	Key      string   `json:"key,omitempty"`
	Inverted bool     `json:"inverted"`
	Stretto  bool     `json:"stretto"`
}

// fugueOf is the fugue of the piece, nil if it is none.
func (r *Reading) fugueOf() *fugue {
	f := r.Harmony.Form.Fugue
	if f == nil {
		return nil
	}
	subject := Bars{r.entersIn(f.Subject.Start), r.Bars(f.Subject.Start, f.Subject.End).Last}
	out := &fugue{Voices: f.Voices, Subject: subject.Named(), Episodes: []string{}}
	for _, e := range f.Entries {
		out.Entries = append(out.Entries, fugueEntry{Measure: r.entersIn(e.Start), Onset: r.quarters(e.Start), End: r.quarters(e.End),
			Voice: e.Voice, Key: r.entryKey(e), Inverted: e.Inverted, Stretto: e.Stretto})
	}
	for _, x := range f.Episodes {
		out.Episodes = append(out.Episodes, r.PhraseBars(x.Start, x.End).Named())
	}
	return out
}

// entersIn is the measure of an entry: an upbeat, from the middle of a measure on, is
// counted with the next one.
func (r *Reading) entersIn(at score.Tick) string {
	i := r.Score.MeasureAt(at)
	if m := r.Score.Measures[i]; 2*(at-m.Start+m.Head()) >= m.Head()+m.Length && i+1 < len(r.Score.Measures) {
		i++
	}
	return numberOf(r.Score, i)
}

// entryKey is the key of an entry, the subject's moved as the entry is; "" where another
// one is heard there, or the subject stands upside down. Where the entry stands on the fifth
// it is the answer, whatever is heard.
func (r *Reading) entryKey(e form.Entry) string {
	if e.Inverted {
		return ""
	}
	key := tonal.Key{Tonic: r.Harmony.Home.Tonic + score.Class(7*e.Semitones-12*e.Steps), Minor: r.Harmony.Home.Minor}
	switch tonic := key.Tonic - r.Harmony.Home.Tonic; {
	case tonic == 0:
		return key.Name()
	case tonic == 1, tonic == -1:
		return key.Name()
	}
	for _, k := range r.Harmony.Keys {
		if k.Start < e.End && k.End > e.Start && k.Key.Tonic == key.Tonic {
			return k.Key.Name()
		}
	}
	return ""
}

// Told says what a phrase is, in a fugue, and how it ends: "episode; half cadence in D
// minor"; "" if neither is known.
func (p studyPhrase) Told() string {
	if p.Part != "" && p.Ends != "" {
		return p.Part + "; " + p.Ends
	}
	return p.Part + p.Ends
}

// fuguePart names the part of a fugue that a phrase is: "stretto, tenor and bass"; "" for
// another phrase.
func (r *Reading) fuguePart(p phrasing.Phrase) string {
	f := r.Harmony.Form.Fugue
	x := f.PartAt(p.Start)
	switch {
	case x == nil:
		return ""
	case x.Kind == form.FreePart && x.Closes:
		return "after the last entry"
	case x.Kind == form.FreePart:
		return "perhaps an episode"
	case x.First < 0 || x.Kind == form.ExpositionPart:
		return string(x.Kind)
	}
	entries := f.Entries[x.First : x.Last+1]
	name := string(x.Kind)
	switch {
	case x.First < 2 && len(entries) == 1:
		name = [...]string{"subject", "answer"}[x.First]
	case x.Kind == form.EntryPart && len(entries) > 1:
		name = "entries"
	}
	if x.Closes {
		name += " and close"
	}
	return name + r.voicesOf(entries)
}

// voicesOf names the voices of entries, and the key of a single one; "" where a voice is not
// plain.
func (r *Reading) voicesOf(list []form.Entry) string {
	var voices []string
	for _, e := range list {
		if e.Voice == "" {
			voices = nil
			break
		}
		if !slices.Contains(voices, e.Voice) {
			voices = append(voices, e.Voice)
		}
	}
	text := ""
	if len(voices) > 0 {
		text = ", " + join(voices)
	}
	if key := r.entryKey(list[0]); len(list) == 1 && key != "" {
		text += ", in " + key
	}
	return text
}

// entersKey reports whether a cadence closes a part of a fugue in the key of an entry there.
func (r *Reading) entersKey(c phrasing.Cadence) bool {
	f := r.Harmony.Form.Fugue
	return f != nil && slices.ContainsFunc(f.Parts, func(x form.FuguePart) bool {
		return x.First >= 0 && x.Start < c.At && c.At <= x.End && slices.ContainsFunc(f.Entries[x.First:x.Last+1], func(e form.Entry) bool {
			return r.entryKey(e) == c.Key.Name()
		})
	})
}

// sentences tell the exposition, the later entries and the episodes.
func (f *fugue) sentences() []string {
	names := map[int]string{2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
	in := func(voice string) string {
		if voice == "" {
			return "another voice"
		}
		return "the " + voice
	}
	first, answer := f.Entries[0], f.Entries[1]
	text := fmt.Sprintf("it is a fugue in %s voices: the subject alone in %s, %s, the answer in %s, m. %s", names[f.Voices], in(first.Voice), f.Subject, in(answer.Voice), answer.Measure)
	for _, e := range f.Entries[2:f.Voices] {
		text += fmt.Sprintf(", then %s, m. %s", in(e.Voice), e.Measure)
	}
	out := []string{text}
	if text := f.later(); text != "" {
		out = append(out, text)
	}
	if len(f.Episodes) > 0 {
		out = append(out, "episodes without the subject: "+join(measuresOf(f.Episodes)))
	}
	return out
}

// later are the entries after the exposition: "the subject comes again in m. 11 (soprano,
// Eb major)"; of many, the measures alone, and which of them are strettos.
func (f *fugue) later() string {
	const most = 12
	var parts, close []string
	list := f.Entries[f.Voices:]
	for _, e := range list {
		var about []string
		if e.Stretto {
			close = append(close, e.Measure)
		}
		if len(list) > most {
			if n := len(parts); n == 0 || parts[n-1] != e.Measure {
				parts = append(parts, e.Measure)
			}
			continue
		}
		for _, x := range [...]string{e.Voice, e.Key} {
			if x != "" {
				about = append(about, x)
			}
		}
		if e.Inverted {
			about = append(about, "upside down")
		}
		if e.Stretto {
			about = append(about, "stretto")
		}
		part := "m. " + e.Measure
		if len(about) > 0 {
			part += " (" + strings.Join(about, ", ") + ")"
		}
		parts = append(parts, part)
	}
	switch {
	case len(parts) == 0:
		return ""
	case len(list) > most && len(close) > 0:
		close = slices.Compact(close)
		if len(close) == 1 {
			return "the subject comes again in mm. " + join(parts) + ", in stretto in m. " + close[0]
		}
		return "the subject comes again in mm. " + join(parts) + ", in stretto in mm. " + join(close)
	case len(list) > most:
		return "the subject comes again in mm. " + join(parts)
	}
	return "the subject comes again in " + join(parts)
}

// measuresOf writes one "mm." before a list of spans: "mm. 9–10", "13–14".
func measuresOf(list []string) []string {
	out := []string{list[0]}
	for _, x := range list[1:] {
		out = append(out, strings.TrimPrefix(x, "mm. "))
	}
	return out
}
