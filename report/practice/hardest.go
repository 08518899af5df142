package practice

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"hairpin/report"
	"hairpin/score"
)

// Hard is a measure that is worth a ladder, and why.
type Hard struct {
	First, Last int // indices of measures
	Why         string
}

// demand is what a measure asks of its player, one figure for each cause.
type demand struct {
	measure int
	figure  string // rhythm and steps, to find measures that are alike
	of      [causes]float64
	facts   facts
	sum     float64
	why     string
}

// facts are what a teacher would point at in a measure.
type facts struct {
	leap, span  int // the widest of one hand, in semitones
	accidentals int
	perBeat     float64 // attacks a beat
	elsewhere   bool    // every figure of it comes again somewhere else
}

// What makes a measure slow to learn: each counts by how far it stands out in
// this piece. That rare figures take longest follows from the practice of learning
// music in patterns (common practice, no source); the equal weights are our own.
const (
	byLeaps = iota
	bySpans
	bySpeed
	byAccidentals
	byRarity
	causes
)

// Hardest picks so many shown measures of a part, the hardest, in order of the
// page. Of measures that are alike the first is taken.
func Hardest(r *report.Reading, part, count int) []Hard {
	list := demands(r, part)
	weigh(list)
	slices.SortStableFunc(list, func(a, b demand) int { return cmp.Compare(b.sum, a.sum) })
	var out []Hard
	seen := map[string]bool{}
	for _, d := range list {
		m := r.Score.Measures[d.measure]
		if len(out) == count || m.Start < r.From || m.Start >= r.To || seen[d.figure] {
			continue
		}
		seen[d.figure] = true
		out = append(out, Hard{d.measure, d.measure, d.why})
	}
	slices.SortFunc(out, func(a, b Hard) int { return cmp.Compare(a.First, b.First) })
	return out
}

// demands measures every measure of the part that has notes.
func demands(r *report.Reading, part int) (list []demand) {
	byMeasure := map[int][]score.Note{}
	for _, n := range r.Score.Notes {
		if n.Part == part && !n.Cue && !n.Grace {
			byMeasure[n.Measure] = append(byMeasure[n.Measure], n)
		}
	}
	seen := map[string]int{}
	for i := range r.Score.Measures {
		if notes := byMeasure[i]; len(notes) > 1 {
			d := demand{measure: i, figure: figureOf(r.Score, notes)}
			d.of, d.facts = asks(r, part, r.Score.Measures[i], notes)
			for _, f := range strings.Fields(d.figure) {
				seen[f]++
			}
			list = append(list, d)
		}
	}
	total := 0
	for _, n := range seen {
		total += n
	}
	for i := range list {
		list[i].of[byRarity] = rarity(list[i].figure, seen, total)
		list[i].facts.elsewhere = !slices.ContainsFunc(strings.Fields(list[i].figure), func(f string) bool { return seen[f] == 1 })
	}
	return list
}

// rarity is the mean surprise of a measure's figures in the piece, in bits.
func rarity(figure string, seen map[string]int, total int) float64 {
	sum, count := 0.0, 0.0
	for _, f := range strings.Fields(figure) {
		sum, count = sum-math.Log2(float64(seen[f])/float64(total)), count+1
	}
	return sum / max(count, 1)
}

// figureOf is a measure's figures: each step in time and pitch after the one before.
func figureOf(s *score.Score, notes []score.Note) string {
	var out []string
	last, before := notes[0], 0
	for _, n := range notes[1:] {
		step := n.Pitch.Key() - last.Pitch.Key()
		out = append(out, fmt.Sprintf("%.3f/%d/%d", s.Quarters(n.Onset-last.Onset), before, step))
		last, before = n, step
	}
	return strings.Join(out, " ")
}

// asks are leaps, spans, speed and accidentals of a measure.
func asks(r *report.Reading, part int, m score.Measure, notes []score.Note) (of [causes]float64, f facts) {
	fifths := 0
	for _, k := range r.Score.Keys {
		if k.Part == part && k.At <= m.Start {
			fifths = k.Fifths
		}
	}
	const leap = 7 // a fifth
	low, high, at := map[[2]score.Tick]int{}, map[[2]score.Tick]int{}, map[score.Tick]bool{}
	var last [10]*score.Note
	for i, n := range notes {
		key := [2]score.Tick{n.Onset, score.Tick(n.Staff)}
		if _, ok := low[key]; !ok {
			low[key], high[key] = n.Pitch.Key(), n.Pitch.Key()
		}
		low[key], high[key], at[n.Onset] = min(low[key], n.Pitch.Key()), max(high[key], n.Pitch.Key()), true
		if k := n.Staff % len(last); last[k] == nil || last[k].Onset < n.Onset {
			if last[k] != nil {
				d := abs(n.Pitch.Key() - last[k].Pitch.Key())
				of[byLeaps] += float64(max(d-leap, 0))
				f.leap = max(f.leap, d)
			}
			last[k] = &notes[i]
		}
		if !n.Unpitched && int(n.Pitch.Alter) != keyAlter("CDEFGAB"[n.Pitch.Step:n.Pitch.Step+1], fifths) {
			of[byAccidentals]++
			f.accidentals++
		}
	}
	for k := range low {
		of[bySpans] += float64(max(high[k]-low[k]-octave, 0))
		f.span = max(f.span, high[k]-low[k])
	}
	of[bySpeed] = float64(len(at)) / max(r.Score.Quarters(m.Length), 0.25)
	f.perBeat = of[bySpeed] * r.Score.Quarters(m.Beat(r.Score.Division))
	return of, f
}

// weigh adds up how far each measure stands out, and says by what most.
func weigh(list []demand) {
	for c := range causes {
		mean, square := 0.0, 0.0
		for _, d := range list {
			mean += d.of[c] / float64(len(list))
		}
		for _, d := range list {
			square += (d.of[c] - mean) * (d.of[c] - mean) / float64(len(list))
		}
		for i := range list {
			z := 0.0
			if square > 1e-9 {
				z = (list[i].of[c] - mean) / math.Sqrt(square)
			}
			list[i].of[c] = z
			list[i].sum += min(max(z, 0), 3)
		}
	}
	for i := range list {
		list[i].why = reasons(list[i].of, list[i].facts)
	}
}

// reasons are up to three causes in which the measure stands out, the strongest first.
func reasons(z [causes]float64, f facts) string {
	order := [causes]int{byLeaps, bySpans, bySpeed, byAccidentals, byRarity}
	slices.SortStableFunc(order[:], func(a, b int) int { return cmp.Compare(z[b], z[a]) })
	var out []string
	for _, c := range order[:3] {
		if text := f.say(c); z[c] >= 0.5 && text != "" {
			out = append(out, text)
		}
	}
	if len(out) == 0 {
		return "no measure here stands out"
	}
	return strings.Join(out, "; ")
}

// say puts a cause in words.
func (f facts) say(cause int) string {
	switch cause {
	case byLeaps:
		return "leaps of up to " + intervalName(f.leap)
	case bySpans:
		return "one hand stretched over " + intervalName(f.span)
	case bySpeed:
		return fmt.Sprintf("quick, %.0f strokes a beat", math.Round(f.perBeat))
	case byAccidentals:
		if f.accidentals == 1 {
			return "a note outside the key"
		}
		return fmt.Sprintf("%d notes outside the key", f.accidentals)
	case byRarity:
		if !f.elsewhere {
			return "a figure that comes only here, so nothing else prepares it"
		}
		return "figures that come seldom"
	}
	return ""
}

// intervalName names a number of semitones by its usual spelling.
func intervalName(semitones int) string {
	names := [...]string{"a unison", "a second", "a second", "a third", "a third", "a fourth", "a tritone", "a fifth", "a sixth", "a sixth", "a seventh", "a seventh", "an octave",
		"a ninth", "a ninth", "a tenth", "a tenth", "an eleventh", "an octave and a half", "a twelfth", "a thirteenth", "a thirteenth", "a fourteenth", "a fourteenth", "two octaves"}
	if semitones < len(names) {
		return names[max(semitones, 0)]
	}
	return "more than two octaves"
}
