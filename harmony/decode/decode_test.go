package decode

import (
	"math"
	"math/rand"
	"slices"
	"testing"
)

// triads gives a small vocabulary: I, IV, V7 and Cad64 in major, i and V in minor.
func triads() []Label {
	return []Label{
		{Text: "I", Root: 0, Tones: []int{0, 4, 1}, Quality: 1},
		{Text: "Cad64", Root: 0, Tones: []int{0, 4, 1}, Quality: 1, Cadence: true},
		{Text: "IV", Root: -1, Tones: []int{0, 4, 1}, Quality: 1},
		{Text: "V7", Root: 1, Tones: []int{0, 4, 1, -2}, Quality: 5, Family: 3},
		{Text: "i", Minor: true, Root: 0, Tones: []int{0, -3, 1}, Quality: 2, Family: 1},
		{Text: "V", Minor: true, Root: 1, Tones: []int{0, 4, 1}, Quality: 1},
	}
}

// randomPiece makes slices of a few random notes.
func randomPiece(r *rand.Rand, n int) *Piece {
	p := &Piece{Signature: true}
	for i := 0; i < n; i++ {
		s := Slice{Beats: float64(1+r.Intn(4)) / 2, Metric: Metric(r.Intn(int(metrics))), Change: r.Intn(4) > 0 || i == 0, Phrase: r.Intn(6) == 0}
		for k := r.Intn(4); k >= 0; k-- {
			p.Notes = append(p.Notes, Note{Fifths: r.Intn(9) - 2, MIDI: 40 + float64(r.Intn(40)), Start: i - b2i(i > 0 && r.Intn(3) == 0), End: i + 1,
				Approach: Step(r.Intn(int(steps))), Departure: Step(r.Intn(int(steps))), Accented: r.Intn(2) == 0, From: r.Intn(9) - 2, To: r.Intn(9) - 2})
			s.Notes = append(s.Notes, len(p.Notes)-1)
		}
		p.Slices = append(p.Slices, s)
	}
	return p
}

// TestFactsMatchScore holds the training's list of facts and the decoder's own
// scoring together: they must add up to the same score.
func TestFactsMatchScore(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	m := NewModel(triads(), nil)
	for i := range m.W {
		m.W[i] = r.NormFloat64()
	}
	for trial := 0; trial < 50; trial++ {
		w, v := m.gather(), newView(randomPiece(r, 3+r.Intn(20)))
		n := len(v.Slices)
		s := newSearch(w, v, 0, n, nil)
		s.begin(0)
		for j := 1; j <= n; j++ {
			if j < n && !v.change[j] {
				continue
			}
			if s.close(j); j < n {
				s.enter(j)
			}
		}
		if len(s.ends[n]) == 0 {
			continue
		}
		sum := 0.0
		path := s.trace(n)
		w.facts(v, path, func(f int, x float64) { sum += m.W[f] * x })
		if k := len(path); k > 1 && m.stranded(path[k-2].Key, path[k-2].Label, path[k-1].Key) {
			sum -= alone
		}
		if want := s.ends[n][0].score; math.Abs(sum-want) > 1e-6*(1+math.Abs(want)) {
			t.Fatalf("trial %d: the facts add up to %.6f, the decoder scored %.6f", trial, sum, want)
		}
	}
}

// moved is the piece so many fifths higher on the page, and at the nearest pitch.
func moved(p *Piece, fifths int) *Piece {
	q := *p
	q.Notes, q.Slices = slices.Clone(p.Notes), slices.Clone(p.Slices)
	up := (7*fifths%12 + 18) % 12
	for i := range q.Notes {
		n := &q.Notes[i]
		n.Fifths, n.From, n.To, n.MIDI = n.Fifths+fifths, n.From+fifths, n.To+fifths, n.MIDI+float64(up-6)
	}
	for i := range q.Slices {
		q.Slices[i].Signature += fifths
	}
	return &q
}

// The same music in another key is read the same, a key further: harmony is heard by
// the relations of its tones (common practice, no source). The height is the notes'
// own, moved by one interval, and counts as such nowhere.
func TestDecodeInEveryKey(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	m := NewModel(triads(), nil)
	for i := range m.W {
		m.W[i] = r.NormFloat64()
	}
	for trial := 0; trial < 20; trial++ {
		p := randomPiece(r, 4+r.Intn(12))
		want := m.Decode(p)
		for _, by := range []int{-3, -1, 1, 2, 4} {
			got := m.Decode(moved(p, by))
			if len(got) != len(want) {
				t.Fatalf("trial %d, %d fifths: %d segments, want %d", trial, by, len(got), len(want))
			}
			for i, g := range got {
				w := want[i]
				if g.Start != w.Start || g.End != w.End || g.Label != w.Label || g.Inversion != w.Inversion || g.Tonic != w.Tonic+by || g.Key/12 != w.Key/12 || g.Key%12 != pc(g.Tonic) {
					t.Errorf("trial %d, %d fifths, segment %d: %+v, was %+v", trial, by, i, g, w)
				}
				if math.Abs(g.Doubt.Margin-w.Doubt.Margin) > 1e-6 || math.Abs(g.Doubt.KeyMargin-w.Doubt.KeyMargin) > 1e-6 || math.Abs(g.Doubt.Explained-w.Doubt.Explained) > 1e-9 {
					t.Errorf("trial %d, %d fifths, segment %d: doubt %+v, was %+v", trial, by, i, g.Doubt, w.Doubt)
				}
			}
		}
	}
}
