package decode

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// Write stores the model as text: its provenance in comment lines, its labels,
// and every weight that rounds to something, in hundredths.
func (m *Model) Write(w io.Writer, provenance string) error {
	b := bufio.NewWriter(w)
	for _, line := range strings.Split(strings.TrimSpace(provenance), "\n") {
		fmt.Fprintln(b, "#", line)
	}
	for _, l := range m.Labels {
		mode := "major"
		if l.Minor {
			mode = "minor"
		}
		fmt.Fprintf(b, "label %s %s\n", mode, l.Text)
	}
	for _, k := range m.lay.all {
		fmt.Fprintf(b, "fact %s\n", k.name)
		run := []string{}
		flush := func() {
			if len(run) > 1 {
				fmt.Fprintln(b, strings.Join(run, " "))
			}
			run = run[:0]
		}
		for i := 0; i < k.size(); i++ {
			v := int(roundHundredth(m.W[k.at+i]))
			if v == 0 {
				flush()
				continue
			}
			if len(run) == 0 {
				run = append(run, strconv.Itoa(i))
			}
			run = append(run, strconv.Itoa(v))
		}
		flush()
	}
	fmt.Fprintln(b, "odds chord", floats(m.Odds.Chord))
	fmt.Fprintln(b, "odds key", floats(m.Odds.Key))
	return b.Flush()
}

func floats(w [OddsInputs]float64) string {
	out := make([]string, len(w))
	for i, x := range w {
		out[i] = strconv.FormatFloat(x, 'f', 3, 64)
	}
	return strings.Join(out, " ")
}

func roundHundredth(x float64) float64 {
	if x < 0 {
		return -roundHundredth(-x)
	}
	return float64(int(x*100 + 0.5))
}

// Read loads a model that Write stored; label makes a Label of each numeral.
func Read(text string, label func(numeral string, minor bool) (Label, error)) (*Model, error) {
	var labels []Label
	var m *Model
	var fact *block
	for n, line := range strings.Split(text, "\n") {
		word, rest, _ := strings.Cut(line, " ")
		var err error
		switch {
		case line == "" || word == "#":
		case word == "label":
			mode, numeral, _ := strings.Cut(rest, " ")
			var l Label
			if l, err = label(numeral, mode == "minor"); err == nil {
				labels = append(labels, l)
			}
		case word == "fact":
			if m == nil && !bothModes(labels) {
				return nil, fmt.Errorf("chord model, line %d: weights before labels of both modes", n+1)
			} else if m == nil {
				m = NewModel(labels, nil)
			}
			fact, err = m.lay.find(rest)
		case word == "odds" && m != nil:
			err = m.readOdds(rest)
		case fact == nil:
			err = fmt.Errorf("weights before the first fact")
		default:
			err = m.readRun(fact, line)
		}
		if err != nil {
			return nil, fmt.Errorf("chord model, line %d: %w", n+1, err)
		}
	}
	if m == nil {
		return nil, fmt.Errorf("chord model: no weights")
	}
	m.ready = m.gather()
	return m, nil
}

// bothModes reports whether chords of major and of minor are among the labels.
func bothModes(labels []Label) bool {
	minor := func(l Label) bool { return l.Minor }
	major := func(l Label) bool { return !l.Minor }
	return slices.ContainsFunc(labels, minor) && slices.ContainsFunc(labels, major)
}

func (l *layout) find(name string) (*block, error) {
	for _, b := range l.all {
		if b.name == name {
			return b, nil
		}
	}
	return nil, fmt.Errorf("unknown fact %q", name)
}

// readRun reads "start value value …" into a block.
func (m *Model) readRun(b *block, line string) error {
	at := -1
	for line != "" {
		var word string
		word, line, _ = strings.Cut(line, " ")
		v, err := strconv.Atoi(word)
		if err != nil {
			return err
		}
		if at < 0 {
			at = v
			continue
		}
		if at >= b.size() {
			return fmt.Errorf("fact %s has only %d weights", b.name, b.size())
		}
		m.W[b.at+at] = float64(v) / 100
		at++
	}
	return nil
}

func (m *Model) readOdds(line string) error {
	which, rest, _ := strings.Cut(line, " ")
	to := &m.Odds.Chord
	if which == "key" {
		to = &m.Odds.Key
	}
	for i, f := range strings.Fields(rest) {
		x, err := strconv.ParseFloat(f, 64)
		if err != nil || i >= len(to) {
			return fmt.Errorf("odds %s are not %d numbers", which, len(to))
		}
		to[i] = x
	}
	return nil
}

// Seed sets a few weights by common sense, so that learning starts from a
// usable reading: chord tones count for a chord, foreign tones against it,
// changes and new keys cost something.
func (m *Model) Seed() {
	l := m.lay
	fill := func(b block, w float64) {
		for i := 0; i < b.size(); i++ {
			m.W[b.at+i] = w
		}
	}
	fill(l.tone, 1)
	fill(l.foreign, -1)
	fill(l.missing, -1)
	fill(l.change, -1.5)
	fill(l.bassOnset, 0.5)
	fill(l.bassLow, 0.5)
	fill(l.window, 1)
	fill(l.keyChange, -4)
}
