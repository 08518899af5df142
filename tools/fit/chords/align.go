package main

import (
	"hairpin/harmony/decode"
	"hairpin/harmony/tonal"
	"sort"
)

// align turns the expert's rows into training examples on the piece's slices.
func (p *piece) align(labels []decode.Label) {
	var cuts []float64
	var at []int
	for i, s := range p.slices {
		if p.seen.Slices[i].Change {
			cuts = append(cuts, p.score.Quarters(s.Start))
			at = append(at, i)
		}
	}
	cuts = append(cuts, p.score.Quarters(p.slices[len(p.slices)-1].End))
	at = append(at, len(p.slices))
	var truth reading
	end := -1.0
	for i, r := range p.rows {
		a, b := at[nearest(cuts, r.onset)], at[nearest(cuts, r.end)]
		if b <= a {
			continue
		}
		if r.onset-end > 0.3 {
			p.addExamples(truth)
			truth = nil
		}
		end = r.end
		if n := len(truth); n > 0 {
			a = truth[n-1].End
			if b <= a {
				continue
			}
		}
		seg, ok := p.segment(i, labels)
		if !ok {
			if n := len(truth); n > 0 {
				truth[n-1].End = b
			}
			continue
		}
		seg.Start, seg.End = a, b
		truth = appendSegment(truth, seg)
	}
	p.addExamples(truth)
}

func nearest(cuts []float64, x float64) int {
	i := sort.SearchFloat64s(cuts, x)
	if i == len(cuts) || i > 0 && x-cuts[i-1] < cuts[i]-x {
		i--
	}
	return i
}

func (p *piece) segment(i int, labels []decode.Label) (decode.Segment, bool) {
	r, n := p.rows[i], p.name(i)
	k, ok := tonal.ParseKey(r.key)
	if !ok {
		return decode.Segment{}, false
	}
	key := k.Tonic.PC()
	if k.Minor {
		key += 12
	}
	best, at := 0, -1
	for l, lab := range labels {
		if lab.Minor != k.Minor || (k.Tonic.PC()+7*lab.Root%12+24)%12 != r.root {
			continue
		}
		q := tonal.Quality(lab.Quality).ID()
		score := 1
		if q == r.quality {
			score += 4
			if degreeOf(lab) == n.degree {
				score += 2
			}
			if lab.Cadence == n.cadence {
				score += 4
			}
		}
		if score > best {
			best, at = score, l
		}
	}
	if at < 0 || best < 5 {
		return decode.Segment{}, false
	}
	return decode.Segment{Key: key, Tonic: int(k.Tonic), Label: at, Inversion: min(r.inv, len(labels[at].Tones)-1)}, true
}

// degreeOf is a label's degree in the analyses' normal form: "VII/V", "bII", "Aug6".
func degreeOf(l decode.Label) string {
	n, _ := tonal.ParseNumeral(l.Text, tonal.Key{Minor: l.Minor})
	return n.NormalDegree(tonal.Key{Minor: l.Minor})
}

func appendSegment(t reading, s decode.Segment) reading {
	if n := len(t); n > 0 && t[n-1].End == s.Start && t[n-1].Key == s.Key && t[n-1].Label == s.Label && t[n-1].Inversion == s.Inversion {
		t[n-1].End = s.End
		return t
	}
	return append(t, s)
}

const longest = 14 // onsets in a training segment

// addExamples splits a row of segments into examples of bounded length.
func (p *piece) addExamples(t reading) {
	t = p.splitLong(t)
	const chunk = 48
	for a := 0; a < len(t); a += chunk {
		b := min(a+chunk, len(t))
		if len(t)-b < chunk/3 {
			b = len(t)
		}
		p.examples = append(p.examples, example{seen: p.seen, truth: t[a:b], from: t[a].Start, to: t[b-1].End})
		if b == len(t) {
			return
		}
	}
}

// splitLong cuts segments that run over too many onsets, at a downbeat if there is one.
func (p *piece) splitLong(t reading) reading {
	var out reading
	for _, s := range t {
		for {
			n, cut := 0, -1
			end := s.End
			for i := s.Start + 1; i < s.End; i++ {
				sl := p.seen.Slices[i]
				if !sl.Change {
					continue
				}
				if n++; n >= longest {
					end = i
					break
				}
				if sl.Metric == decode.Downbeat {
					cut = i
				}
			}
			if end == s.End {
				break
			}
			if cut < 0 {
				cut = end
			}
			head := s
			head.End = cut
			out = append(out, head)
			s.Start = cut
		}
		out = append(out, s)
	}
	return out
}
