package musicxml

import (
	"strconv"
	"strings"

	"hairpin/score"
)

func formatAlter(a float64) string {
	s := strconv.FormatFloat(a, 'f', -1, 64)
	if a > 0 {
		s = "+" + s
	}
	return s
}

func (r *partReader) readTime(n *node) {
	m := score.TimeMark{Place: score.Place{At: r.now(), Part: r.part, Staff: r.number(n)}}
	if n.find("senza-misura") != nil {
		m.Text = "senza-misura"
	} else {
		r.readMetre(n, &m)
	}
	if m.Text != "" {
		r.s.Times = append(r.s.Times, m)
	}
}

// readMetre adds up the pairs of beats and beat type.
func (r *partReader) readMetre(n *node, m *score.TimeMark) {
	var texts []string
	var beats []int
	var units []int
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "beats":
			texts = append(texts, strings.ReplaceAll(collapse(e.text), " ", ""))
			beats = append(beats, r.sum(e.text))
		case "beat-type":
			unit, ok := integer(e.text, 1, 1024)
			if !ok || len(units) == len(beats) {
				r.warn("a time signature over %s was passed over", short(e.text))
				return
			}
			units = append(units, unit)
			texts[len(texts)-1] += "/" + strconv.Itoa(unit)
		}
	}
	if len(beats) == 0 || len(beats) != len(units) {
		r.warn("a time signature without beats was passed over")
		return
	}
	m.Text = strings.Join(texts, " + ")
	m.Unit = 1
	for _, u := range units {
		m.Unit = m.Unit / int(gcd(int64(m.Unit), int64(u))) * u
		if m.Unit > 1024 {
			m.Unit = 1024
		}
	}
	for i, b := range beats {
		if b == 0 {
			m.Beats = 0
			return
		}
		m.Beats += b * m.Unit / units[i]
	}
}

// sum adds the numerators of "3+2"; 0 if they are no numbers.
func (r *partReader) sum(s string) (total int) {
	for _, part := range strings.Split(s, "+") {
		n, ok := integer(part, 1, 1000)
		if !ok {
			r.warn("the beats %s of a time signature were read as no fixed number", short(s))
			return 0
		}
		total += n
	}
	return total
}
