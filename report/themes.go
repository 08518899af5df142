package report

import (
	"slices"

	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// theme is a theme of a sonata movement, where it is first and where it is at home.
type theme struct {
	Name      form.ThemeName `json:"name"` // "second theme", "closing section"
	Measure   string         `json:"measure"`
	Onset     Quarters       `json:"onset"`
	Key       string         `json:"key,omitempty"`
	Again     string         `json:"again"` // its measure in the recapitulation
	AgainOn   Quarters       `json:"again_onset"`
	AgainKey  string         `json:"again_key,omitempty"`
	Certainty string         `json:"certainty"`
}

// themes are those of the form, as measures and keys.
func (r *Reading) themes() []theme {
	out := []theme{}
	for _, t := range r.Harmony.Form.Themes {
		home := r.Harmony.Home.Tonic
		out = append(out, theme{t.Name, r.themeBar(t.At), r.quarters(t.At), r.keyOn(home-t.Fifths(), t.At),
			r.themeBar(t.Again), r.quarters(t.Again), r.keyOn(home, t.Again), tonal.CertaintyOf(t.Certainty).String()})
	}
	return out
}

// themeBar is the measure in which a theme that starts at t is told: one that starts in the first
// half of a measure, just after the close on its first beat, starts there; later is an upbeat.
func (r *Reading) themeBar(t score.Tick) string {
	if m := r.Score.Measures[r.Score.MeasureAt(t)]; m.Head() == 0 && 2*(t-m.Start) < m.Length {
		return r.number(t)
	}
	return r.PhraseBars(t, r.Score.Length()).First
}

// keyOn is the key on a tonic that is heard longest within the eight measures from a moment
// on, "" if only others are.
func (r *Reading) keyOn(tonic score.Class, at score.Tick) string {
	const bars = 8
	end := r.Score.Measures[min(r.Score.MeasureAt(at)+bars, len(r.Score.Measures))-1].End()
	name, most := "", score.Tick(0)
	for _, k := range r.Harmony.Keys {
		if d := min(k.End, end) - max(k.Start, at); k.Key.Tonic == tonic && d > most {
			name, most = k.Key.Name(), d
		}
	}
	return name
}

// themeSentences tell the themes: "the second theme starts in m. 36, in Eb major; in the
// recapitulation in m. 131, in C minor".
func (w wholePiece) themeSentences() (out []string) {
	in := func(measure, key string) string {
		if key == "" {
			return "in m. " + measure
		}
		return "in m. " + measure + ", in " + key
	}
	for _, t := range w.Themes {
		text := "the " + string(t.Name) + " starts "
		if t.Certainty == tonal.Unsure.String() {
			text = "the " + string(t.Name) + " may start "
		}
		again := in(t.Again, t.AgainKey)
		if t.Name == form.Closing {
			text += "in m. " + t.Measure
			again = "in m. " + t.Again
		} else {
			text += in(t.Measure, t.Key)
		}
		out = append(out, text+"; in the recapitulation, "+again)
	}
	return out
}

// strangeReturn says that the recapitulation begins in another key than home: the opening
// comes back there, moved; "" if it does not, or if it is told with the form.
func (r *Reading) strangeReturn() string {
	list := r.Harmony.Form.Sections
	i := slices.IndexFunc(list, func(s form.Section) bool { return s.Name == form.Recapitulation })
	if i < 0 || list[i].Subdominant {
		return ""
	}
	at, near := list[i].Start, r.measureAt(list[i].Start)
	moved := slices.ContainsFunc(r.Harmony.Form.Returns, func(x form.Return) bool {
		return max(x.Again.Start-at, at-x.Again.Start) <= near && x.First.Start < list[0].Start+2*near && x.Semitones%12 != 0 && tonal.CertaintyOf(x.Certainty) > tonal.Unsure
	})
	for _, k := range r.Harmony.Keys {
		if k.Start <= at && at < k.End && moved && k.Key.Tonic != r.Harmony.Home.Tonic {
			return "the opening comes back in " + k.Key.Name() + ", not in " + r.Harmony.Home.Name() + ": the surprise of the piece"
		}
	}
	return ""
}
