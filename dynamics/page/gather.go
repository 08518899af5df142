package page

import (
	"sort"
	"strings"

	"hairpin/score"
)

// event is one action of the page at its place.
type event struct {
	at, end   score.Tick // end is 0 unless the page prints one (hairpin, dashes)
	part      int
	staff     int // 0: all staves
	act       action
	wedge     bool // from a hairpin
	joined    bool // a word with a hairpin of its own
	recalled  bool // not printed here: from the place of which this is a return
	onNote    bool
	remainder bool // the rest of a hairpin that a mark interrupts
}

// text is a mark or words at a place, before it is read.
type text struct {
	score.Place
	words  string
	mark   bool
	onNote bool
}

// gather reads every mark, word and hairpin of the given parts, in time order.
func gather(s *score.Score, member func(part int) bool) []event {
	var out []event
	for _, t := range join(texts(s, member), s.Division) {
		out = append(out, readText(s, t)...)
	}
	for _, h := range s.Hairpins {
		if !member(h.Part) || h.Hidden {
			continue
		}
		a := action{kind: ramp, steps: 1, text: "crescendo", niente: h.Niente}
		if h.Kind == score.Diminuendo {
			a = action{kind: ramp, steps: -1, text: "diminuendo", niente: h.Niente}
		}
		out = append(out, event{at: h.Start, end: max(h.End, h.Start), part: h.Part, staff: h.Staff, act: a, wedge: true})
	}
	out = unique(out)
	arches(out)
	sort.SliceStable(out, func(i, j int) bool { return before(out[i], out[j]) })
	return together(s, out)
}

// arches makes a swell of two hairpins, one each way, that are printed over the
// same stretch: it grows to the middle and fades from there.
func arches(events []event) {
	type stretch struct {
		part    int
		at, end score.Tick
	}
	fading := map[stretch][]int{}
	for k, e := range events {
		if over := (stretch{e.part, e.at, e.end}); e.wedge && e.act.steps < 0 {
			fading[over] = append(fading[over], k)
		}
	}
	for i := range events {
		a := &events[i]
		over := stretch{a.part, a.at, a.end}
		if with := fading[over]; a.wedge && a.act.steps > 0 && len(with) > 0 {
			a.end = a.at + (a.end-a.at)/2
			events[with[0]].at = a.end
			fading[over] = with[1:]
		}
	}
}

// together makes one of a ramp word and the hairpin that begins with it or
// within a measure after it the same way: "dim." and its hairpin are one fading.
func together(s *score.Score, in []event) []event {
	taken := make([]bool, len(in))
	var out []event
	for i, e := range in {
		if taken[i] {
			continue
		}
		if j := ownHairpin(s, in, i); j > i {
			e.end, e.joined, taken[j] = in[j].end, true, true
		}
		out = append(out, e)
	}
	return out
}

// ownHairpin is the hairpin that belongs to the word at i, 0 if there is none.
func ownHairpin(s *score.Score, in []event, i int) int {
	e := in[i]
	if e.act.kind != ramp || e.wedge || e.end > 0 || e.act.target > 0 || e.act.slow {
		return 0
	}
	reach := e.at + s.Measures[s.MeasureAt(e.at)].Length
	for j := i + 1; j < len(in) && in[j].at < reach; j++ {
		o := in[j]
		if o.at > e.at && (o.act.kind == setLevel || o.act.kind == ramp && !o.wedge) {
			return 0
		}
		if o.wedge && o.part == e.part {
			if (o.act.steps > 0) == (e.act.steps > 0) {
				return j
			}
			return 0
		}
	}
	return 0
}

func before(a, b event) bool {
	if a.at != b.at {
		return a.at < b.at
	}
	if r, q := order(a), order(b); r != q {
		return r < q
	}
	return a.part < b.part
}

// order puts levels before steps before ramps at one moment.
func order(e event) int {
	return [...]int{setLevel: 1, tint: 2, step: 3, ramp: 4, accent: 0, cancel: 0}[e.act.kind]
}

func texts(s *score.Score, member func(int) bool) []text {
	var out []text
	heap := heaps(s)
	for _, w := range s.Words {
		if member(w.Part) && !w.Hidden && !namesInstrument(s, w) && heap[head{w.Part, w.At}] <= mostTexts {
			out = append(out, text{w.Place, w.Text, false, false})
		}
	}
	for _, d := range s.Dynamics {
		if member(d.Part) && !d.Hidden {
			out = append(out, text{d.Place, d.Mark, true, d.OnNote})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].At < out[j].At })
	return out
}

// mostTexts is how many texts may stand at one moment of a part: more are the words
// of a song that a file gives as directions, and a syllable such as "cre-" is no mark.
const mostTexts = 12

// head is a moment of a part.
type head struct {
	part int
	at   score.Tick
}

// heaps counts the texts at every moment.
func heaps(s *score.Score) map[head]int {
	out := map[head]int{}
	for _, w := range s.Words {
		out[head{w.Part, w.At}]++
	}
	return out
}

// namesInstrument reports whether "Piano" stands at the head of a part as its name.
func namesInstrument(s *score.Score, w score.Words) bool {
	return w.At == 0 && (w.Text == "Piano" || w.Text == "Piano solo" || w.Text == "Pianoforte" ||
		w.Text == s.Parts[w.Part].Name)
}

// join puts a modifier that stands alone before the mark it belongs to:
// "più" and then the sign f.
func join(in []text, division score.Tick) []text {
	used := make([]bool, len(in))
	var out []text
	for i, t := range in {
		if used[i] {
			continue
		}
		if !t.mark && dangling(t.words) && !closesSlowly(in, i) {
			if j := partner(in, used, i, division); j >= 0 {
				used[j] = true
				joined := in[j]
				joined.words = t.words + " " + joined.words
				out = append(out, joined)
				continue
			}
		}
		out = append(out, t)
	}
	return out
}

// closesSlowly reports whether a text is the end of "poco a poco" that is printed
// in pieces: "poco" after an "a" of its part.
func closesSlowly(in []text, i int) bool {
	if w := fold(in[i].words); len(w) != 1 || w[0] != "poco" && w[0] != "peu" {
		return false
	}
	for k := i - 1; k >= 0; k-- {
		if in[k].Part == in[i].Part && !in[k].mark {
			w := fold(in[k].words)
			return len(w) > 0 && w[len(w)-1] == "a"
		}
	}
	return false
}

// partner finds the mark or ramp word that a modifier at i belongs to: in the
// same part, at the same moment or within a quarter note after it.
func partner(in []text, used []bool, i int, division score.Tick) int {
	for j := range in {
		d := in[j].At - in[i].At
		if j == i || used[j] || d < 0 || in[j].Part != in[i].Part {
			continue
		}
		if d > division {
			break
		}
		if in[j].mark || !dangling(in[j].words) && len(readWords(in[j].words)) > 0 {
			return j
		}
	}
	return -1
}

// dangling reports whether a text is nothing but modifiers.
func dangling(words string) bool {
	r := reader{words: fold(words)}
	for r.at < len(r.words) {
		t, n, ok := lookup(r.words[r.at:])
		if !ok || t.role < more || t.role == joint && len(r.words) == 1 || t.role == silence || t.role == echo {
			return false
		}
		r.at += n
	}
	return len(r.words) > 0
}

func readText(s *score.Score, t text) []event {
	acts := readWords(t.words)
	out := make([]event, 0, len(acts))
	for _, a := range acts {
		e := event{at: t.At, part: t.Part, staff: t.Staff, act: a, onNote: t.onNote}
		if a.kind == ramp {
			e.end = dashesEnd(s, t)
		}
		out = append(out, e)
	}
	return out
}

// dashesEnd is where the dashed line after a word ends, 0 if there is none. A
// line shorter than half a measure only fills the gap after the word.
func dashesEnd(s *score.Score, t text) score.Tick {
	for _, d := range s.Dashes {
		if gap := d.Start - t.At; d.Part == t.Part && gap >= -s.Division && gap <= s.Division && d.End-t.At >= s.Measures[s.MeasureAt(t.At)].Length/2 && d.End > t.At && !d.Open {
			return d.End
		}
	}
	return 0
}

// unique drops what both staves print alike at one moment.
func unique(in []event) []event {
	type key struct {
		at, end     score.Tick
		part, staff int
		act         action
	}
	seen := map[key]int{}
	var out []event
	for _, e := range in {
		k := key{e.at, e.end, e.part, 0, e.act}
		if i, ok := seen[k]; ok {
			if out[i].staff != e.staff {
				out[i].staff = 0
			}
			continue
		}
		seen[k] = len(out)
		out = append(out, e)
	}
	return out
}

// instruments groups parts that are one instrument: hands of one keyboard
// written as two parts. Every part is in exactly one group.
func instruments(s *score.Score) [][]int {
	var out [][]int
	for i, p := range s.Parts {
		if n := len(out); n > 0 && sameInstrument(s.Parts[i-1], p) {
			out[n-1] = append(out[n-1], i)
			continue
		}
		out = append(out, []int{i})
	}
	return out
}

func sameInstrument(a, b score.Part) bool {
	if a.Staves > 1 || b.Staves > 1 {
		return false
	}
	x, y := handless(a.Name), handless(b.Name)
	return x == y && (keyboard(x) || x == "")
}

func keyboard(name string) bool {
	for _, k := range [...]string{"piano", "pno", "klavier", "clavier", "keyboard", "cembalo", "clavecin", "harpsichord", "harp", "arpa", "orgel", "organ", "marimba", "celesta"} {
		if strings.Contains(name, k) {
			return true
		}
	}
	return false
}

// handless drops the hand from a part's name: "Piano (right)" is "piano".
func handless(name string) string {
	var keep []string
	for _, w := range fold(name) {
		switch w {
		case "right", "left", "hand", "rh", "lh", "r", "l", "h", "md", "mg", "1", "2", "i", "ii", "droite", "gauche", "rechts", "links", "main":
		default:
			keep = append(keep, w)
		}
	}
	return strings.Join(keep, " ")
}
