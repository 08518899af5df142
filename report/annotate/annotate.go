package annotate

import (
	"fmt"
	"slices"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/score"
)

// Layer is a kind of mark that Annotate adds. Each can be replaced and taken
// out on its own.
type Layer string

// The layers.
const (
	NumeralLayer  Layer = "numerals"  // local keys and Roman numerals, below the lowest staff
	ChordLayer    Layer = "chords"    // chord names, above the highest staff
	TensionLayer  Layer = "tension"   // the highest tension of each chord, 0–100, below the numerals; bold at a phrase's highest
	VerdictLayer  Layer = "verdicts"  // lines over the stretches that have a verdict, with a few words
	ShapingLayer  Layer = "shaping"   // proposed hairpins, dashed, and marks, in brackets
	QuestionLayer Layer = "questions" // one question a phrase, for a student
	RemarkLayer   Layer = "remarks"   // the teacher's own words
)

// Layers lists every layer in the order in which marks of one moment stand.
func Layers() []Layer {
	return []Layer{NumeralLayer, ChordLayer, TensionLayer, VerdictLayer, ShapingLayer, QuestionLayer, RemarkLayer}
}

// Page is a choice of layers for a reader.
type Page string

// The pages.
const (
	TeacherPage Page = "teacher" // numerals, tension and verdicts with their reasons
	StudentPage Page = "student" // levels, hairpins and one question a phrase
)

// Layers are the page's layers, none if there is no such page.
func (p Page) Layers() []Layer {
	switch p {
	case TeacherPage:
		return []Layer{NumeralLayer, TensionLayer, VerdictLayer}
	case StudentPage:
		return []Layer{ShapingLayer, QuestionLayer}
	}
	return nil
}

// Annotation says what is added to a score.
type Annotation struct {
	Layers    []Layer      // empty: numerals, verdicts, shaping and, if there are any, remarks
	Shorthand bool         // short signs for players; otherwise plain words for students
	Names     report.Names // of notes, in keys and chord names
	Remarks   []Remark     // in any order
}

// Remark is a teacher's note at a moment.
type Remark struct {
	At   score.Tick
	Part int // index into Score.Parts; -1: the highest
	Text string
}

// layers are the layers asked for.
func (a Annotation) layers() []Layer {
	switch {
	case len(a.Layers) > 0:
		return a.Layers
	case len(a.Remarks) > 0:
		return []Layer{NumeralLayer, VerdictLayer, ShapingLayer, RemarkLayer}
	}
	return []Layer{NumeralLayer, VerdictLayer, ShapingLayer}
}

// Check says, as a [report.ChoiceError], which layer does not exist.
func (a Annotation) Check() error {
	for _, l := range a.Layers {
		if !slices.Contains(Layers(), l) {
			return &report.ChoiceError{Text: fmt.Sprintf("there is no layer %q", l), Hint: "the layers are " + layerNames()}
		}
	}
	return nil
}

// Add adds layers to a score and changes nothing else in it. The file onto
// is the one that was read, or the same with layers of ours in it; those asked
// for are replaced.
func Add(r *report.Reading, onto *musicxml.File, opt Annotation) (*musicxml.File, error) {
	if err := opt.Check(); err != nil {
		return nil, err
	}
	layers := opt.layers()
	names := make([]string, len(layers))
	for i, l := range layers {
		names[i] = string(l)
	}
	base, err := onto.Remove(names...)
	if err != nil {
		return nil, err
	}
	a := &annotator{r: r, opt: opt, onto: base}
	a.places()
	a.addAll(layers)
	return base.Apply(a.edits)
}

// Underlay puts numerals and tension, in shorthand, under a score of one part
// that was made from the reading; place says where a moment of the piece stands
// in it.
func Underlay(r *report.Reading, onto *musicxml.File, names report.Names, place func(score.Tick) score.Tick) (*musicxml.File, error) {
	a := &annotator{r: r, opt: Annotation{Names: names, Shorthand: true}, onto: onto, place: place}
	a.bottom = desk{0, onto.Score.Parts[0].Staves}
	a.addAll([]Layer{NumeralLayer, TensionLayer})
	return onto.Apply(a.edits)
}

// addAll collects the marks of the layers.
func (a *annotator) addAll(layers []Layer) {
	a.layRows()
	for _, l := range Layers() {
		if slices.Contains(layers, l) {
			a.layer = l
			a.add()
		}
	}
}

func layerNames() string {
	var names []string
	for _, l := range Layers() {
		names = append(names, string(l))
	}
	return strings.Join(names, ", ")
}

// desk is a staff on which marks are put.
type desk struct{ part, staff int }

// annotator collects the insertions.
type annotator struct {
	r      *report.Reading
	opt    Annotation
	onto   *musicxml.File
	layer  Layer
	top    desk // the highest staff
	bottom desk // the lowest
	marked desk // the staff on which the page prints its dynamics
	rows   rows
	scale  *ruler
	list   []numeral // what is shown of them
	edits  []musicxml.Edit
	place  func(score.Tick) score.Tick // where a moment stands in onto; nil: at the same tick
}

func (a *annotator) add() {
	switch a.layer {
	case NumeralLayer:
		a.numerals()
	case ChordLayer:
		a.chords()
	case TensionLayer:
		a.tensions()
	case VerdictLayer:
		a.verdicts()
	case ShapingLayer:
		a.shaping()
	case QuestionLayer:
		a.questions()
	case RemarkLayer:
		a.remarks()
	}
}

// places chooses the staves: of the parts with pitch, or of the one the user chose.
func (a *annotator) places() {
	s := a.r.Score
	parts := a.r.ShownParts()
	first, last := unsung(s, parts), parts[len(parts)-1]
	a.top = desk{first, 1}
	a.bottom = desk{last, max(s.Parts[last].Staves, 1)}
	a.marked = desk{mostMarked(s, parts), 1}
}

// unsung is the first part without words, where what stands above is read over
// music and not over a singer's rests; the first if all sing.
func unsung(s *score.Score, parts []int) int {
	for _, p := range parts {
		if !slices.ContainsFunc(s.Syllables, func(y score.Syllable) bool { return y.Part == p }) {
			return p
		}
	}
	return parts[0]
}

// mostMarked is the part with most printed dynamics, the first of equals.
func mostMarked(s *score.Score, parts []int) int {
	count := make([]int, len(s.Parts))
	for _, d := range s.Dynamics {
		count[d.Part]++
	}
	for _, h := range s.Hairpins {
		count[h.Part]++
	}
	best := parts[0]
	for _, p := range parts {
		if count[p] > count[best] {
			best = p
		}
	}
	return best
}

// put adds one direction or chord symbol.
func (a *annotator) put(d desk, at score.Tick, end bool, xml string) {
	if a.place != nil {
		at = a.place(at)
	}
	a.edits = append(a.edits, musicxml.Edit{Part: d.part, Staff: d.staff, At: at, End: end, Layer: string(a.layer), XML: xml})
}

// line adds the two ends of a line.
func (a *annotator) line(d desk, start, end score.Tick, element, first, last string) {
	a.put(d, start, false, first)
	if a.place != nil {
		end = a.place(end)
	}
	a.edits[len(a.edits)-1].Line = &musicxml.Line{Element: element, Until: end, Stop: last}
}

// shown reports whether a moment lies in the measures asked for.
func (a *annotator) shown(at score.Tick) bool { return at >= a.r.From && at < a.r.To }

// numerals writes the Roman numeral of every chord, and before it the key where
// that changes.
func (a *annotator) numerals() {
	for _, n := range a.list {
		words, y := "", a.rows.numeral[n.lane]
		if n.key != "" {
			words = rowXML(n.key+"\u00a0", y, "bold")
		}
		a.put(a.bottom, n.at, false, directionXML("below", words+rowXML(n.text, y, "normal")))
	}
}

func (a *annotator) shownChords() (list []tonal.Chord) {
	for _, c := range a.r.Harmony.Chords {
		if a.shown(c.Start) {
			list = append(list, c)
		}
	}
	return list
}

// keyText names a key: in full for students, by a letter alone for players.
func (a *annotator) keyText(k tonal.Key) string {
	if a.opt.Shorthand {
		return a.opt.Names.ShortKey(k)
	}
	return a.opt.Names.Key(k)
}

// remarks writes the teacher's words.
func (a *annotator) remarks() {
	for _, m := range a.opt.Remarks {
		if !a.shown(m.At) {
			continue
		}
		d := a.top
		if m.Part >= 0 {
			d = desk{m.Part, 1}
		}
		a.put(d, m.At, false, directionXML("above", wordsXML(m.Text, "italic")))
	}
}

// directionXML is a direction with the given direction types.
func directionXML(placement string, types ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<direction placement="%s">`, placement)
	for _, t := range types {
		b.WriteString("<direction-type>" + t + "</direction-type>")
	}
	b.WriteString("</direction>")
	return b.String()
}

// wordsXML is text in the small size of our additions.
func wordsXML(text, style string) string {
	return fmt.Sprintf(`<words font-size="9" font-style="%s" font-weight="normal">%s</words>`, style, musicxml.Escape(text))
}

// rowXML is text in the small size on one of the rows.
func rowXML(text string, y int, weight string) string {
	return fmt.Sprintf(`<words default-y="%d" font-size="9" font-style="normal" font-weight="%s">%s</words>`, y, weight, musicxml.Escape(text))
}
