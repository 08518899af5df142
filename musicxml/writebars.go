package musicxml

import (
	"slices"
	"strconv"
	"strings"

	"hairpin/score"
)

// attributes writes what changes at the start of a measure.
func (b *scoreWriter) attributes(i int) {
	m := b.s.Measures[i]
	b.rhythm.beat = 0
	if m.Compound() || m.Beats > 3 && m.Beats%3 == 0 && m.BeatUnit == 4 { // 6/4 is written in dotted halves
		b.rhythm.beat = 3 * m.Unit(b.rhythm.quarter)
	}
	var x xmlWriter
	x.depth = b.depth + 1
	if i == 0 {
		x.leaf("divisions", strconv.FormatInt(int64(b.rhythm.quarter), 10))
	}
	for _, k := range b.s.Keys {
		if k.Part == b.part.index && b.measureFrom(k.At) == i {
			b.writeKey(&x, k)
		}
	}
	if before := max(i-1, 0); i == 0 || b.s.Measures[before].Beats != m.Beats || b.s.Measures[before].BeatUnit != m.BeatUnit {
		b.writeTime(&x, m)
	}
	if i == 0 {
		if b.part.staves > 1 {
			x.leaf("staves", strconv.Itoa(b.part.staves))
		}
	}
	for staff, clefs := range b.part.clefs {
		if i == 0 || clefs[i] != clefs[i-1] {
			b.writeClef(&x, staff+1, clefs[i])
		}
	}
	if x.out.Len() > 0 {
		b.open("attributes")
		b.out.Write(x.out.Bytes())
		b.close()
	}
}

// measureFrom is the first measure that starts at or after a moment.
func (b *scoreWriter) measureFrom(at score.Tick) int {
	i := b.s.MeasureAt(at)
	if b.s.Measures[i].Start < at {
		i++
	}
	return i
}

func (b *scoreWriter) writeKey(x *xmlWriter, k score.KeyMark) {
	var attrs []string
	if k.Staff > 0 && b.part.staves > 1 {
		attrs = []string{"number", strconv.Itoa(k.Staff)}
	}
	x.open("key", attrs...)
	if k.NonStandard != "" {
		for _, f := range strings.Fields(k.NonStandard) {
			if c, ok := score.ParseClass(f); ok {
				x.leaf("key-step", f[:1])
				x.leaf("key-alter", strconv.Itoa(c.Alter()))
			}
		}
	} else {
		x.leaf("fifths", strconv.Itoa(k.Fifths))
		if k.Mode != "" {
			x.leaf("mode", k.Mode)
		}
	}
	x.close()
	for staff := range b.part.keys {
		if k.Staff == 0 || k.Staff == staff {
			b.part.keys[staff] = k.Fifths
		}
	}
}

func (b *scoreWriter) writeTime(x *xmlWriter, m score.Measure) {
	x.open("time")
	defer x.close()
	if m.Beats == 0 || m.BeatUnit == 0 {
		x.empty("senza-misura")
		return
	}
	for _, t := range b.s.Times {
		if t.At == m.Start && t.Part == b.part.index && strings.Contains(t.Text, "/") {
			for _, pair := range strings.Split(t.Text, " + ") {
				beats, unit, _ := strings.Cut(pair, "/")
				x.leaf("beats", beats)
				x.leaf("beat-type", unit)
			}
			return
		}
	}
	x.leaf("beats", strconv.Itoa(m.Beats))
	x.leaf("beat-type", strconv.Itoa(m.BeatUnit))
}

// barline writes a measure's left or right edge if it is more than a plain line.
func (b *scoreWriter) barline(i int, left bool) {
	m := b.s.Measures[i]
	at, location, style := m.End(), "right", ""
	if left {
		at, location = m.Start, "left"
	}
	repeat := slices.IndexFunc(b.s.Repeats, func(r score.Repeat) bool {
		return r.At == at && r.Forward == left && (r.Measure == i || m.Length > 0)
	})
	ending := slices.IndexFunc(b.s.Endings, func(e score.Ending) bool { return left && e.First == i || !left && e.Last == i })
	switch {
	case repeat >= 0 && left:
		style = "heavy-light"
	case repeat >= 0:
		style = "light-heavy"
	case !left && slices.Contains(b.s.DoubleBar, at) && i == len(b.s.Measures)-1:
		style = "light-heavy"
	case !left && slices.Contains(b.s.DoubleBar, at):
		style = "light-light"
	}
	if style == "" && ending < 0 {
		return
	}
	b.open("barline", "location", location)
	if style != "" {
		b.leaf("bar-style", style)
	}
	if ending >= 0 {
		b.writeEnding(b.s.Endings[ending], left)
	}
	if repeat >= 0 {
		b.writeRepeat(b.s.Repeats[repeat])
	}
	b.close()
}

func (b *scoreWriter) writeEnding(e score.Ending, left bool) {
	kind := "stop"
	if left {
		kind = "start"
	} else if e.Discontinue {
		kind = "discontinue"
	}
	var numbers []string
	for _, n := range e.Numbers {
		numbers = append(numbers, strconv.Itoa(n))
	}
	b.empty("ending", "number", strings.Join(numbers, ","), "type", kind)
}

func (b *scoreWriter) writeRepeat(r score.Repeat) {
	attrs := []string{"direction", "backward"}
	if r.Forward {
		attrs[1] = "forward"
	}
	if r.Times > 0 && !r.Forward {
		attrs = append(attrs, "times", strconv.Itoa(r.Times))
	}
	b.empty("repeat", attrs...)
}
