package report

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/events"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// studyData is the reading for a player, the same for every format.
type studyData struct {
	Schema      int           `json:"schema"`
	File        string        `json:"file"`
	Title       string        `json:"title,omitempty"`
	Composer    string        `json:"composer,omitempty"`
	Caution     string        `json:"caution,omitempty"` // about the harmony as a whole; also among the cautions
	Weights     weighing      `json:"weights"`
	irregular   string        // of the cautions, what is about the file
	endings     string        // second endings as words name them, "77b, 90b"; "" for none
	pickup      string        // the number of the pickup measure, "" for none
	chosen      string        // whose page is read and whose notes are heard, "" for all
	weighed     string        // the weights in words, "" if as usual
	Home        string        `json:"home"` // "D minor"
	HomeHow     string        `json:"home_certainty"`
	Measures    int           `json:"measures"`
	Metres      []string      `json:"metres"`
	Shown       string        `json:"shown,omitempty"` // the measures asked for, "" for all
	Whole       wholePiece    `json:"whole"`
	Keys        []keyStretch  `json:"keys"`
	Marked      bool          `json:"marked"` // the page prints any dynamics
	Shares      []share       `json:"shares"`
	Phrases     []studyPhrase `json:"phrases"`
	Suggestions []Suggestion  `json:"suggestions"`
	Cautions    []string      `json:"cautions"`
}

// keyStretch is a stretch in one local key.
type keyStretch struct {
	At       string   `json:"at"`
	Onset    Quarters `json:"onset"`
	Measures string   `json:"measures"`
	Key      string   `json:"key"`
}

// share is how much of the time has one verdict, in percent.
type share struct {
	Verdict verdict.Kind `json:"verdict"`
	Percent float64      `json:"percent"`
}

type studyPhrase struct {
	Number    int      `json:"number"`
	At        string   `json:"at"`
	Onset     Quarters `json:"onset"`
	End       Quarters `json:"end"`
	Measures  string   `json:"measures"` // "mm. 9–12", as PhraseBars counts them
	bars      Bars
	upbeat    bool        // it is counted from the measure after the one it begins in
	Part      string      `json:"part,omitempty"` // what it is, in a fugue: "entry, tenor, in Ab major"
	Ends      string      `json:"ends"`           // "half cadence in D minor"
	Certainty string      `json:"certainty"`
	Goal      *goal       `json:"goal,omitempty"`
	Lack      advice.Lack `json:"lack,omitempty"`     // why it has no goal
	Loudness  string      `json:"loudness,omitempty"` // proposed: "p < mf > p"
	Advice    []counsel   `json:"advice"`
	Events    []eventNote `json:"events"`            // the most telling first
	Matters   string      `json:"matters,omitempty"` // the one thing to say of it beside goal and loudness
	Cadences  []cadence   `json:"cadences"`          // those that fall into the phrase
	Stretches []stretch   `json:"stretches"`
	Shape     string      `json:"shape,omitempty"` // the proposal in one line, "" where it asks for nothing beyond the page
	Remarks   []remark    `json:"remarks"`

	start, end score.Tick
	goalAt     string            // the goal's place in words
	goalBar    string            // the number of its measure
	brief      bool              // it is three measures long or shorter: a measure says nothing there
	opens      bool              // the goal stands in the first measure of several
	grows      bool              // the proposal grows somewhere in it
	closed     bool              // it ends with a cadence
	spans      []verdict.Verdict // the stretches in data
	heard      []events.Event    // the events in data
	weight     float64           // of what matters
	first      int               // the phrase of which all that is told of this one was told before, -1 if it is none
}

// cadence is a close within a phrase or at its end, with how sure it is and why.
type cadence struct {
	At        string               `json:"at"` // onset of its last chord
	Onset     Quarters             `json:"onset"`
	Kind      phrasing.CadenceKind `json:"kind"`
	Key       string               `json:"key"`
	Certainty string               `json:"certainty"`
	Why       string               `json:"why"`

	place, closes string // At and Key in words
}

// sentence says the cadence in one line.
func (c cadence) sentence() string {
	return Capital(c.place) + " " + string(c.Kind) + " cadence " + c.closes + ", " + c.Certainty + ": " + c.Why + "."
}

// stretch is a part of a phrase in which tension goes one way.
type stretch struct {
	At        string   `json:"at"`
	Onset     Quarters `json:"onset"`
	End       Quarters `json:"end"`
	Measures  string   `json:"measures"`
	bars      Bars
	Place     string       `json:"-"`       // At in words
	Harmony   string       `json:"harmony"` // "builds, 12 to 58, to V7"
	Page      string       `json:"page"`    // "p < f"
	Verdict   verdict.Kind `json:"verdict"`
	Tension   tenth        `json:"tension_change"`
	Level     tenth        `json:"level_change"` // in steps
	Size      float64      `json:"size"`
	Certainty string       `json:"certainty"`
	Doubt     string       `json:"doubt,omitempty"`    // why it is less than sure
	DoubtOf   string       `json:"doubt_of,omitempty"` // page, chords or margin
	Reason    string       `json:"reason"`
	Proposal  string       `json:"proposal,omitempty"`
}

// remark is a verdict on a moment: an accent, a peak, an ending, a contrast.
type remark struct {
	At        string         `json:"at"`
	Onset     Quarters       `json:"onset"`
	Aspect    verdict.Aspect `json:"aspect"`
	Verdict   verdict.Kind   `json:"verdict"`
	Size      float64        `json:"size"`
	Certainty string         `json:"certainty"`
	Text      string         `json:"text"`
	sudden    string         // "p to f" where the page changes at once, else ""
}

// Study writes the reading for a player as table, json, tsv or markdown.
func (r *Reading) Study(w io.Writer, format string) error {
	d := r.study()
	switch format {
	case "json":
		return writeJSON(w, d)
	case "tsv":
		return r.weightColumn(d.flat()).tsv(w)
	}
	switch {
	case format == "markdown" && r.Options.All:
		return r.rowsMarkdown(w, d)
	case format == "markdown":
		return r.studyMarkdown(w, d)
	case r.Options.All:
		return r.studyRows(w, d)
	}
	return r.studyTable(w, d)
}

func (r *Reading) study() *studyData {
	d := &studyData{
		Schema: 1, File: filepath.Base(r.File.Name), Marked: r.Page.Marked, Title: r.Score.Title, Composer: r.Score.Composer,
		Home: r.Harmony.Home.Name(), HomeHow: r.HomeCertainty().String(),
		Measures: measureCount(r.Score), Metres: metres(r.Score), Shown: r.Options.Measures,
		Caution: sentence(r.Harmony.Caution), Weights: r.weighing(), chosen: r.chosen(), weighed: sentence(r.weightSentence()),
		Keys: r.keyStretches(), Shares: r.Shares(), Phrases: r.studyPhrases(),
	}
	if m := r.Score.Measures; len(m) > 0 && m[0].Pickup {
		d.pickup = m[0].Number
	}
	d.endings = r.secondEndings()
	d.Whole, d.Suggestions = r.whole(), r.Suggestions()
	r.tellPhrases(d)
	firstTimes(d.Phrases, r.Harmony.Form.Returns)
	d.Cautions, d.irregular = orEmpty(r.cautions()), r.Irregular()
	return d
}

// secondEndings lists the second endings that words name in another way than the source.
func (r *Reading) secondEndings() string {
	var out []string
	for i, m := range r.Score.Measures {
		if n := numberOf(r.Score, i); n != m.Number {
			out = append(out, n)
		}
	}
	return strings.Join(out, ", ")
}

// chosen says whose page is read and whose notes make the harmony, "" for all parts.
func (r *Reading) chosen() string {
	var out []string
	if n := r.Options.Part; n > 0 {
		out = append(out, "The dynamics are those of "+r.partName(n)+".")
	}
	if n := r.Options.Harmony.Part; n > 0 {
		out = append(out, "The harmony is heard from "+r.partName(n)+" alone.")
	}
	return strings.Join(out, " ")
}

// partName is part n, counted from 1, as its page is headed: "part 2, Piano".
func (r *Reading) partName(n int) string {
	text := fmt.Sprintf("part %d", n)
	if name := r.Score.Parts[n-1].Name; name != "" {
		text += ", " + name
	}
	return text
}

// metres lists the time signatures in order, each once.
func metres(s *score.Score) []string {
	out, seen := []string{}, map[string]bool{}
	for _, t := range s.Times {
		if !seen[t.Text] {
			seen[t.Text] = true
			out = append(out, t.Text)
		}
	}
	return out
}

func (r *Reading) keyStretches() []keyStretch {
	out := []keyStretch{}
	for _, k := range r.KeySpans() {
		out = append(out, keyStretch{r.At(k.Start), r.quarters(k.Start), r.Span(k.Start, k.End), k.Key.Name()})
	}
	return out
}

func (r *Reading) quarters(t score.Tick) Quarters { return Quarters(r.Score.Quarters(t)) }

// SpanVerdicts are the verdicts on stretches that are shown, cut so that they do not overlap.
func (r *Reading) SpanVerdicts() []verdict.Verdict {
	var out []verdict.Verdict
	for _, v := range r.Verdicts {
		if v.Aspect != verdict.OverSpan || !r.Shows(v.Start, v.End) {
			continue
		}
		if n := len(out); n > 0 && out[n-1].End > v.Start {
			out[n-1].End = v.Start
		}
		out = append(out, v)
	}
	return out
}

// Shares is how the time of the shown stretch is shared among the verdicts, in
// percent, the most frequent kinds of the page first as they are always listed.
func (r *Reading) Shares() []share {
	kinds := [...]verdict.Kind{verdict.Supports, verdict.WorksAgainst, verdict.Unshaped, verdict.Independent, verdict.Calm}
	time, all := map[verdict.Kind]score.Tick{}, score.Tick(0)
	for _, v := range r.SpanVerdicts() {
		d := min(v.End, r.To) - max(v.Start, r.From)
		time[v.Kind], all = time[v.Kind]+d, all+d
	}
	out := []share{}
	for _, k := range kinds {
		if all > 0 {
			out = append(out, share{k, math.Round(1000*float64(time[k])/float64(all)) / 10})
		}
	}
	return out
}

// Strongest is the disagreement that weighs most; contrasts that the page
// prints as such are none.
func (r *Reading) Strongest() (best verdict.Verdict, ok bool) {
	for _, v := range r.Verdicts {
		if v.Aspect == verdict.AtContrast || !r.Contrast(v) || !r.Shows(v.Start, v.End) {
			continue
		}
		if !ok || importance(v) > importance(best) {
			best, ok = v, true
		}
	}
	return best, ok
}

func (r *Reading) studyPhrases() []studyPhrase {
	spans, out := r.SpanVerdicts(), []studyPhrase{}
	for i, p := range r.Phrases() {
		if !r.Shows(p.Start, p.End) {
			continue
		}
		sp := studyPhrase{
			Number: i + 1, At: r.At(p.Start), Onset: r.quarters(p.Start), End: r.quarters(p.End),
			Measures: r.PhraseBars(p.Start, p.End).Named(), bars: r.PhraseBars(p.Start, p.End), upbeat: r.PhraseBars(p.Start, p.End).First != r.Bars(p.Start, p.End).First, Part: r.fuguePart(p), Ends: r.ending(p), Certainty: r.EndCertainty(p).String(),
			closed:   p.Cadence >= 0,
			Cadences: r.cadencesIn(p), Stretches: []stretch{}, Remarks: r.remarks(p, r.goes(i)), Advice: []counsel{}, Events: []eventNote{}, start: p.Start, end: p.End,
		}
		var own []verdict.Verdict
		for _, v := range startingIn(spans, p) {
			own = append(own, v)
			sp.Stretches = append(sp.Stretches, r.stretch(v))
		}
		sp.spans = own
		if sp.Shape = r.shape(i); r.Options.Measures != "" && len(own)+len(sp.Remarks) == 0 {
			continue // only its edge is shown
		}
		out = append(out, sp)
	}
	return out
}

// Phrases are those heard, or the whole piece as one.
func (r *Reading) Phrases() []phrasing.Phrase {
	if len(r.Harmony.Phrases) > 0 {
		return r.Harmony.Phrases
	}
	return []phrasing.Phrase{{Start: 0, End: r.Score.Length(), Cadence: -1}}
}

// cadencesIn lists the cadences whose last chord starts in a phrase.
func (r *Reading) cadencesIn(p phrasing.Phrase) []cadence {
	out := []cadence{}
	for i, c := range r.Harmony.Cadences {
		if c.At >= p.Start && c.At < p.End && r.Shows(c.At, c.At+1) {
			sure := tonal.CertaintyOf(c.Confidence)
			if i == p.Cadence {
				sure = r.EndCertainty(p)
			}
			out = append(out, cadence{r.At(c.At), r.quarters(c.At), c.Kind, c.Key.Name(), sure.String(), c.Why, r.at(c.At), r.closesIn(c)})
		}
	}
	return out
}

func (r *Reading) stretch(v verdict.Verdict) stretch {
	return stretch{
		At: r.At(v.Start), Onset: r.quarters(v.Start), End: r.quarters(v.End), Measures: r.Span(v.Start, v.End), bars: r.Bars(v.Start, v.End), Place: r.Place(v.Start),
		Harmony: HarmonyDoes(v.Harmony), Page: r.printed(v), Verdict: v.Kind, Tension: tenth(v.Tension), Level: tenth(v.Level),
		Size: v.Size, Certainty: v.Certainty.String(), Doubt: doubtText(v.Doubt()), DoubtOf: doubtOf(v), Reason: r.VerdictSentence(v), Proposal: r.proposal(v),
	}
}

// doubtOf names what makes a verdict less than sure; "" if it is sure.
func doubtOf(v verdict.Verdict) string {
	if v.Certainty == tonal.Sure {
		return ""
	}
	return string(v.Doubt().Source)
}

// printed writes what the page prints over a stretch in marks: "p < f", "p <",
// "p <>", "p, f" for a sudden change, "–" for nothing. No level is named that no mark states.
func (r *Reading) printed(v verdict.Verdict) string {
	m := v.Page
	sign := map[page.MoveKind]string{page.Grows: "<", page.Falls: ">", page.Swells: "<>", page.Dips: "><", page.Terraced: ","}[m.Kind]
	to := m.ToMark
	if v.Swells || sign == "" {
		to = ""
	}
	if m.Kind == page.Terraced && m.FromMark != "" && m.ToMark == m.FromMark && m.PeakMark != "" && m.PeakMark != m.FromMark { // there and back
		return m.FromMark + ", " + m.PeakMark + ", " + m.ToMark
	}
	text := strings.TrimSpace(strings.Join([]string{m.FromMark, sign, to}, " "))
	switch {
	case !r.Page.Marked || text == "":
		return "–"
	case sign == "," && m.FromMark == "":
		return m.ToMark
	}
	return strings.Replace(text, " ,", ",", 1)
}

// startingIn are the verdicts, in order of time, that start in the phrase.
func startingIn(list []verdict.Verdict, p phrasing.Phrase) []verdict.Verdict {
	from := sort.Search(len(list), func(i int) bool { return list[i].Start >= p.Start })
	to := sort.Search(len(list), func(i int) bool { return list[i].Start >= p.End })
	return list[from:to]
}

// remarks are what is said of places in a phrase; where the phrase goes somewhere, nothing
// is said of other peaks beside its goal.
func (r *Reading) remarks(p phrasing.Phrase, goes bool) []remark {
	out, said := []remark{}, map[string]bool{}
	for _, v := range startingIn(r.Verdicts, p) {
		if v.Aspect == verdict.OverSpan || v.Aspect == verdict.AtPeak && goes || !r.Shows(v.Start, v.End) {
			continue
		}
		text := r.VerdictSentence(v)
		if said[text] {
			continue
		}
		said[text] = true // parts of an ensemble often carry the same mark
		sudden := ""
		if v.Contrast != nil && v.Contrast.Kind == page.Subito {
			sudden = markChange(v.Contrast)
		}
		out = append(out, remark{r.At(v.Start), r.quarters(v.Start), v.Aspect, v.Kind, v.Size, v.Certainty.String(), text, sudden})
	}
	return out
}

// cautions are what a reader should know before trusting the reading.
func (r *Reading) cautions() []string {
	var out []string
	if c := sentence(r.Harmony.Caution); c != "" {
		out = append(out, c)
	}
	if !r.Page.Marked {
		out = append(out, "No dynamics are printed: there is nothing to compare the harmony with, only a proposal.")
	}
	if text := r.Irregular(); text != "" {
		out = append(out, text)
	}
	return append(out, "An analysis is advice: your teacher and your ear decide.")
}

// Irregular says how many places of the file are not as the format asks; "" for none. It
// is about the file and not about the music: words on a page leave it to a side note.
func (r *Reading) Irregular() string {
	n := len(r.Score.Warnings)
	if n == 0 {
		return ""
	}
	near := "near them"
	if n == 1 {
		near = "near it"
	}
	return fmt.Sprintf("%s in the file %s not as the format asks: %s the reading may be wrong.", plural(n, "place"), isAre(n), near)
}

// sentence gives a remark its capital and its full stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	text = Capital(text)
	if !strings.ContainsAny(text[len(text)-1:], ".!?") {
		text += "."
	}
	return text
}

// Capital is a text that begins with a capital.
func Capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

func plural(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// flat is a row a stretch.
func (d *studyData) flat() grid {
	g := grid{head: []string{"phrase", "onset", "end", "at", "measures", "harmony", "page", "verdict",
		"tension_change", "level_change", "size", "certainty", "reason", "proposal"}}
	for _, p := range d.Phrases {
		for _, s := range p.Stretches {
			g.rows = append(g.rows, []string{fmt.Sprint(p.Number), s.Onset.String(), s.End.String(), s.At, s.bars.String(),
				s.Harmony, s.Page, string(s.Verdict), s.Tension.String(), s.Level.String(), fmt.Sprintf("%.2f", s.Size),
				s.Certainty, s.Reason, s.Proposal})
		}
	}
	return g
}
