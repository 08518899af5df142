package musicxml

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"hairpin/score"
)

// outMark is a direction or chord symbol to be written.
type outMark struct {
	at      score.Tick
	measure int // the measure it is written in: for what ends there, the one before the bar line
	staff   int
	rank    int // order of the marks at one moment
	write   func(x *xmlWriter, offset string, staff int)
}

// Ranks of marks at one moment: what ends comes first.
const (
	rankStop = iota
	rankSymbol
	rankTempo
	rankWords
	rankDynamic
	rankStart
)

// marks writes what stands in a stretch of a measure, if the lane is the first
// of its staff. An empty stretch, at the measure's end, takes the rest.
func (b *scoreWriter) marks(l *lane, from, to score.Tick, i int) {
	if !l.main {
		return
	}
	lo, _ := slices.BinarySearchFunc(b.part.marks, i, func(o outMark, i int) int { return o.measure - i })
	for _, o := range b.part.marks[lo:] {
		if o.measure != i {
			break
		}
		if o.staff != l.staff || o.at < from || from < to && o.at >= to {
			continue
		}
		offset, staff := "", 0
		if o.at != from {
			offset = b.divs(o.at - from)
		}
		if b.part.staves > 1 {
			staff = o.staff
		}
		o.write(&b.xmlWriter, offset, staff)
	}
}

// collectMarks gathers everything of a part that is written between its notes.
func (b *scoreWriter) collectMarks(part int) (list []outMark) {
	add := func(p score.Place, rank int, write func(x *xmlWriter, offset string, staff int)) {
		if p.Part != part || p.At < 0 || p.At > b.s.Length() {
			return
		}
		list = append(list, outMark{p.At, b.measureOf(p.At, rank == rankStop), min(max(p.Staff, 1), b.part.staves), rank, write})
	}
	for _, c := range b.s.Symbols {
		add(c.Place, rankSymbol, symbolWriter(c))
	}
	for _, d := range b.s.Dynamics {
		add(d.Place, rankDynamic, direction("below", func(x *xmlWriter) { writeDynamics(x, d.Mark) }))
	}
	for _, w := range b.s.Words {
		add(w.Place, rankWords, direction("above", func(x *xmlWriter) { x.leaf("words", w.Text) }))
	}
	for _, l := range b.s.Sounds {
		add(l.Place, rankDynamic, soundWriter("dynamics", l.Percent))
	}
	spans := b.hairpinSpans(part)
	for i, n := range b.numbers(spans) {
		h := b.s.Hairpins[spans[i].index]
		start, stop := spans[i].Span, spans[i].Span
		add(spanPlace(start), rankStart, direction("below", func(x *xmlWriter) { writeWedge(x, h, n) }))
		stop.Start = stop.End
		add(spanPlace(stop), rankStop, direction("below", func(x *xmlWriter) {
			x.empty("wedge", "type", "stop", "number", strconv.Itoa(n))
		}))
	}
	b.addDashes(part, add)
	if part == 0 {
		b.addForAll(add)
	}
	slices.SortStableFunc(list, func(x, y outMark) int {
		return cmp.Or(cmp.Compare(x.measure, y.measure), cmp.Compare(x.at, y.at), cmp.Compare(x.rank, y.rank))
	})
	return list
}

func (b *scoreWriter) measureOf(at score.Tick, stop bool) int {
	m := b.s.MeasureAt(at)
	if stop {
		for m > 0 && b.s.Measures[m].Start == at {
			m--
		}
	}
	return m
}

type adder func(p score.Place, rank int, write func(x *xmlWriter, offset string, staff int))

func (b *scoreWriter) addDashes(part int, add adder) {
	var spans []numbered
	for i, d := range b.s.Dashes {
		if d.Part == part && d.End > d.Start {
			spans = append(spans, numbered{d.Span, i})
		}
	}
	for i, n := range b.numbers(spans) {
		number := strconv.Itoa(n)
		stop := spans[i].Span
		add(spanPlace(stop), rankStart, direction("below", func(x *xmlWriter) { x.empty("dashes", "type", "start", "number", number) }))
		stop.Start = stop.End
		add(spanPlace(stop), rankStop, direction("below", func(x *xmlWriter) { x.empty("dashes", "type", "stop", "number", number) }))
	}
}

// addForAll adds what holds for all parts and is written in the first.
func (b *scoreWriter) addForAll(add adder) {
	for _, t := range b.s.Tempos {
		rate := strconv.FormatFloat(t.PerMin, 'f', -1, 64)
		if !t.Printed {
			add(score.Place{At: t.At}, rankTempo, soundWriter("tempo", t.PerMin))
			continue
		}
		add(score.Place{At: t.At}, rankTempo, direction("above", func(x *xmlWriter) {
			x.open("metronome")
			x.leaf("beat-unit", "quarter")
			x.leaf("per-minute", rate)
			x.close()
		}))
	}
	for _, j := range b.s.Jumps {
		printed := slices.ContainsFunc(b.s.Words, func(w score.Words) bool { return w.At == j.At && jumpWords(w.Text) == j.Kind })
		if printed {
			continue
		}
		rank := rankStop
		if j.Kind == "segno" || j.Kind == "coda" {
			rank = rankStart
		}
		add(score.Place{At: j.At}, rank, direction("above", func(x *xmlWriter) { writeJump(x, j) }))
	}
}

func writeJump(x *xmlWriter, j score.Jump) {
	words := map[string]string{"dacapo": "D.C.", "dalsegno": "D.S.", "tocoda": "To Coda", "fine": "Fine"}
	text, ok := words[j.Kind]
	if !ok {
		x.empty(j.Kind)
		return
	}
	if jumpWords(j.Label) == j.Kind {
		text = j.Label
	}
	x.leaf("words", text)
}

// direction writes a direction with one direction type.
func direction(placement string, inside func(x *xmlWriter)) func(x *xmlWriter, offset string, staff int) {
	return func(x *xmlWriter, offset string, staff int) {
		x.open("direction", "placement", placement)
		x.open("direction-type")
		inside(x)
		x.close()
		endDirection(x, offset, staff)
	}
}

func endDirection(x *xmlWriter, offset string, staff int) {
	if offset != "" {
		x.leaf("offset", offset)
	}
	if staff > 0 {
		x.leaf("staff", strconv.Itoa(staff))
	}
	x.close()
}

func soundWriter(attr string, value float64) func(x *xmlWriter, offset string, staff int) {
	return func(x *xmlWriter, offset string, _ int) {
		text := strconv.FormatFloat(value, 'f', -1, 64)
		if offset == "" {
			x.empty("sound", attr, text)
			return
		}
		x.open("sound", attr, text)
		x.leaf("offset", offset)
		x.close()
	}
}

func writeDynamics(x *xmlWriter, mark string) {
	x.open("dynamics")
	if isDynamic(mark) {
		x.empty(mark)
	} else {
		x.leaf("other-dynamics", mark)
	}
	x.close()
}

// isDynamic reports whether MusicXML 4.0 has an element for the mark.
func isDynamic(mark string) bool {
	switch mark {
	case "p", "pp", "ppp", "pppp", "ppppp", "pppppp", "f", "ff", "fff", "ffff", "fffff", "ffffff", "mp", "mf", "sf", "sfp",
		"sfpp", "fp", "rf", "rfz", "sfz", "sffz", "fz", "n", "pf", "sfzp":
		return true
	}
	return false
}

func writeWedge(x *xmlWriter, h score.Hairpin, number int) {
	kind := "crescendo"
	if h.Kind == score.Diminuendo {
		kind = "diminuendo"
	}
	attrs := []string{"type", kind, "number", strconv.Itoa(number)}
	if h.Niente {
		attrs = append(attrs, "niente", "yes")
	}
	x.empty("wedge", attrs...)
}

func symbolWriter(c score.ChordSymbol) func(x *xmlWriter, offset string, staff int) {
	return func(x *xmlWriter, offset string, staff int) {
		x.open("harmony")
		if root, ok := score.ParseClass(c.Root); ok {
			x.open("root")
			writeClass(x, "root", root)
			x.close()
		} else if f, ok := strings.CutPrefix(c.Root, "function:"); ok {
			x.leaf("function", f)
		} else {
			x.open("numeral")
			x.leaf("numeral-root", strings.TrimPrefix(c.Root, "numeral:"))
			x.close()
		}
		kind := c.Kind
		if kind == "" {
			kind = "other"
		}
		if c.Text != "" {
			x.leaf("kind", kind, "text", c.Text)
		} else {
			x.leaf("kind", kind)
		}
		if c.Inversion >= 0 {
			x.leaf("inversion", strconv.Itoa(c.Inversion))
		}
		if bass, ok := score.ParseClass(c.Bass); ok {
			x.open("bass")
			writeClass(x, "bass", bass)
			x.close()
		}
		for _, d := range c.Degrees {
			x.open("degree")
			x.leaf("degree-value", strconv.Itoa(d.Value))
			x.leaf("degree-alter", strconv.FormatFloat(d.Alter, 'f', -1, 64))
			x.leaf("degree-type", d.Type)
			x.close()
		}
		endDirection(x, offset, staff)
	}
}

func writeClass(x *xmlWriter, prefix string, c score.Class) {
	x.leaf(prefix+"-step", "CDEFGAB"[c.Step():c.Step()+1])
	if a := c.Alter(); a != 0 {
		x.leaf(prefix+"-alter", strconv.Itoa(a))
	}
}

// numbered is a span and the index of what it comes from.
type numbered struct {
	score.Span
	index int
}

func (b *scoreWriter) hairpinSpans(part int) (list []numbered) {
	for i, h := range b.s.Hairpins {
		if h.Part == part && h.End > h.Start {
			list = append(list, numbered{h.Span, i})
		}
	}
	return list
}

// mostNumbers is how many lines of one kind MusicXML tells apart.
const mostNumbers = 16

// numbers gives spans that overlap or touch different numbers from 1, as long as
// there are any. On two staves of a part they overlap already where they share a
// measure: there the document writes one staff after the other.
func (b *scoreWriter) numbers(spans []numbered) []int {
	slices.SortStableFunc(spans, func(x, y numbered) int { return cmp.Compare(x.Start, y.Start) })
	out := make([]int, len(spans))
	var last [mostNumbers + 1]numbered // the span that ends last, by number
	for i, s := range spans {
		n := 1
		for n < mostNumbers && last[n].End > 0 && b.meets(last[n], s) {
			n++
		}
		if out[i] = n; last[n].End <= s.End {
			last[n] = s
		}
	}
	return out
}

// meets reports whether a span begins in the document before one that begins
// earlier in time has ended there.
func (b *scoreWriter) meets(before, s numbered) bool {
	if before.Staff == s.Staff {
		return before.End >= s.Start
	}
	return b.measureOf(before.End, true) >= b.s.MeasureAt(s.Start)
}

// slurEnd is one end of a slur on a note.
type slurEnd struct {
	start  bool
	number int
}

// slurEnds hangs the part's slurs on their notes, by index into Score.Notes.
func (b *scoreWriter) slurEnds(part int) map[int][]slurEnd {
	var spans []numbered
	for i, l := range b.s.Slurs {
		if l.Part == part && l.End > l.Start {
			spans = append(spans, numbered{l.Span, i})
		}
	}
	starting, ending := map[score.Tick][]int{}, map[score.Tick][]int{}
	for i, n := range b.s.Notes {
		if n.Part == part && !n.Grace {
			starting[n.Onset] = append(starting[n.Onset], i)
			ending[n.End()] = append(ending[n.End()], i)
		}
	}
	ends := map[int][]slurEnd{}
	for i, n := range b.numbers(spans) {
		l := b.s.Slurs[spans[i].index]
		first, last := b.noteOf(l, starting[l.Start]), b.noteOf(l, ending[l.End])
		if first >= 0 && last >= 0 && first != last {
			ends[first] = append(ends[first], slurEnd{true, n})
			ends[last] = append(ends[last], slurEnd{false, n})
		}
	}
	return ends
}

// noteOf is which of the notes is the slur's: one in its own voice if there is one, -1 if there is none.
func (b *scoreWriter) noteOf(l score.Slur, notes []int) int {
	best, rank := -1, -1
	for _, i := range notes {
		n, r := b.s.Notes[i], 0
		if n.Staff == l.Staff {
			r++
		}
		if n.Voice == l.Voice {
			r++
		}
		if r > rank {
			best, rank = i, r
		}
	}
	return best
}
