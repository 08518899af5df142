package page

import (
	"math"
	"strings"

	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// resolver turns the events of one instrument or staff into a curve.
type resolver struct {
	s       *score.Score
	phrases []phrasing.Phrase
	events  []event
	part    int
	lender  *lender // whose marks serve until the first of its own; nil if none
	system  []event // the level marks of the other instruments, in order

	softest, loudest float64 // see printedRange

	level    float64
	base     float64    // the running mark, to which short hairpins return
	mark     string     // the print that states the level, "" if none does
	baseMark string     // the same of the running mark
	at       score.Tick // the curve is written up to here
	cause    Cause
	sure     tonal.Certainty
	last     rampEnd
	recalled bool            // the level comes from a reprise's first time, not from print here
	saved    map[int]float64 // level at the start of a first ending, by its index in Endings

	segments   []Segment
	contrasts  []Contrast
	inferences []Inference
}

// rampEnd remembers the ramp before, for swells.
type rampEnd struct {
	start, end score.Tick
	from       float64
	mark       string  // the print that stated from
	base       float64 // the running mark before it
	sign       float64
	named      bool // a mark or word named its target
	word       bool // printed as a word
	back       bool // it closed a swell
	run        int  // how many like it came before without a gap
}

func (r *resolver) run() {
	r.begin()
	r.saved = map[int]float64{}
	for i := 0; i < len(r.events); i++ {
		e := r.events[i]
		r.endings(e.at)
		switch e.act.kind {
		case setLevel:
			r.set(e)
		case step:
			r.step(e)
		case tint:
			r.tint(e)
		case ramp:
			r.ramp(i)
		}
	}
	r.endings(r.s.Length())
	r.hold(r.s.Length())
}

// hold keeps the level up to t, after the way back from an open hairpin.
func (r *resolver) hold(t score.Tick) {
	r.settle(t)
	r.stay(t)
}

// stay keeps the level up to t.
func (r *resolver) stay(t score.Tick) {
	if t > r.at {
		r.segments = append(r.segments, Segment{Start: r.at, End: t, From: r.level, To: r.level, Cause: r.cause, Certainty: r.sure, Implied: r.recalled, FromMark: r.mark, ToMark: r.mark})
		r.at = t
	}
}

func (r *resolver) infer(at score.Tick, c tonal.Certainty, cause Cause) {
	r.inferences = append(r.inferences, Inference{at, r.part, cause, c})
}

// set goes to a printed level.
func (r *resolver) set(e event) {
	a := e.act
	if a.pass == 2 {
		r.infer(e.at, tonal.Sure, Cause{Kind: OnRepeat, Text: a.text})
		return
	}
	r.hold(e.at)
	if !e.recalled {
		r.contrast(e, a.level)
	}
	if a.unsure {
		r.infer(e.at, tonal.Unsure, Cause{Kind: PocoForte, Text: a.text}) // pf is piano-forte in MusicXML and poco or più forte in older editions
	}
	r.level, r.base, r.cause, r.sure = a.level, a.level, a.cause(), tonal.Sure
	r.state(stated(e))
	if a.unsure {
		r.sure = tonal.Unsure
	}
	if r.recalled = e.recalled; e.recalled {
		r.sure = tonal.Unsure
		if a.from == AsMeasure {
			r.recallStart(e)
		}
	}
}

// contrast notes a sudden change.
func (r *resolver) contrast(e event, to float64) {
	from := r.level
	grew := r.last.end == e.at && r.last.sign > 0 && r.last.end > 0
	kind := Subito
	switch {
	case e.at == 0 || from == to || r.peakOf(e, 1) >= from && r.peakOf(e, 1) > to: // fp is reached, then left
		return
	case grew && to <= from-1:
		kind = Withheld
	case !e.act.sudden && to-from < 2 && from-to < 2:
		return
	}
	r.contrasts = append(r.contrasts, Contrast{e.at, r.part, kind, from, to})
}

// step goes louder or softer than now.
func (r *resolver) step(e event) {
	r.hold(e.at)
	to := Clamp(r.level + e.act.steps)
	if e.act.echo {
		r.contrasts = append(r.contrasts, Contrast{e.at, r.part, Echo, r.level, to})
	}
	r.infer(e.at, tonal.Likely, Cause{Kind: About, Text: e.act.text, Mark: Mark(to)}) // one step is common practice
	r.level, r.base, r.cause, r.sure, r.recalled = to, to, e.act.cause(), tonal.Likely, e.recalled
	r.state(e.act.text) // its words are on the page: "più f"
}

// tint leans halfway to the level a manner suggests, if no level is printed there.
func (r *resolver) tint(e event) {
	for _, o := range r.events {
		if o.act.kind == setLevel && o.at >= e.at-r.s.Division && o.at <= e.at+r.s.Division {
			return
		}
	}
	r.hold(e.at)
	to := (r.base + e.act.level) / 2
	r.infer(e.at, tonal.Unsure, Cause{Kind: Leans, Text: e.act.text, Mark: Mark(e.act.level)})
	r.level, r.base, r.cause, r.sure, r.recalled = to, to, e.act.cause(), tonal.Unsure, e.recalled
	r.state("")
}

// endings gives a second ending the level in which the first one began.
func (r *resolver) endings(upTo score.Tick) {
	for i, e := range r.s.Endings {
		if e.Start > upTo || r.known(i) {
			continue
		}
		r.hold(e.Start)
		r.saved[i] = r.level
		if len(e.Numbers) == 0 || e.Numbers[0] < 2 || i == 0 || r.s.Endings[i-1].End != e.Start {
			continue
		}
		from := r.saved[i-1]
		r.saved[i] = from
		if from != r.level {
			r.infer(e.Start, tonal.Likely, Cause{Kind: AsEnding, Mark: Mark(from)})
			r.level, r.base, r.cause, r.sure = from, from, Cause{Kind: AsEnding}, tonal.Likely
			r.state("")
		}
	}
}

func (r *resolver) known(i int) bool {
	_, ok := r.saved[i]
	return ok
}

// settle lets the level return from an open hairpin to the running mark, over a measure.
func (r *resolver) settle(t score.Tick) {
	if !r.away() || r.level == r.base || t <= r.at {
		return
	}
	end := r.at + r.measures(r.at, settleReach)
	if end <= t {
		r.back(end)
		return
	}
	to := r.level + (r.base-r.level)*float64(t-r.at)/float64(end-r.at)
	r.glide(t, to)
}

// back returns to the running mark up to t.
func (r *resolver) back(t score.Tick) {
	r.glide(t, r.base)
	r.mark = r.baseMark
}

// state notes the print that states the level and the running mark.
func (r *resolver) state(mark string) { r.mark, r.baseMark = mark, mark }

// stated names the level of a printed mark by its letters, or by its words where
// those lie between two marks: "p" for sfp, "poco f". "" if nothing is printed here.
func stated(e event) string {
	switch {
	case e.act.as != "":
		return e.act.as
	case e.recalled:
		return ""
	case e.act.level == math.Round(e.act.level) && e.act.level <= FFF && namesMark(e.act.text):
		return Mark(e.act.level)
	}
	return e.act.text
}

// namesMark reports whether a text says a mark, as sign or in full: "sempre p",
// "subito piano". Softly and sanft are read as p, but they are not called so.
func namesMark(text string) bool {
	for _, w := range fold(text) {
		if _, ok := readMark(w); ok || strings.HasPrefix(w, "pian") || strings.HasPrefix(w, "fort") || w == "mezzo" || w == "pno" {
			return true
		}
	}
	return false
}

func (r *resolver) glide(t score.Tick, to float64) {
	if t <= r.at {
		return
	}
	if r.level != to {
		r.segments = append(r.segments, Segment{Start: r.at, End: t, From: r.level, To: to, Cause: Cause{Kind: Homeward}, Certainty: tonal.Likely, Implied: true, FromMark: r.mark})
		r.at, r.level = t, to
	}
}
