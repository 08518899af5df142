package performance

import (
	"math"

	"hairpin/score"
)

// What a note's loudness usually goes with, whatever the page asks for: whether it
// is the top or the bottom of what is struck with it, its register, how many are
// struck, its metric weight, its length. Players bring out the top voice (Goebl
// 2001, "Melody lead in piano performance"; citation from memory) and the metre; how
// much in this take is found by ridge regression over all its notes, so that what is
// left compares like with like.
const (
	roles = 9
	ridge = 2.0
)

// role is a note's row of the regression.
func role(s *score.Score, n score.Note, top, bottom bool, size int) (x [roles]float64) {
	flag := func(b bool) float64 {
		if b {
			return 1
		}
		return 0
	}
	key := (n.Pitch.MIDI() - 62) / 12
	return [roles]float64{
		1, flag(top), flag(bottom), flag(n.Staff > 1), key, key * key, math.Log2(float64(size)),
		s.Weight(n.Onset), math.Log2(float64(n.Duration)/float64(s.Division) + 0.05),
	}
}

// lessUsual fills in the relative levels of notes: what is left of their levels.
func lessUsual(s *score.Score, list []entry) {
	rows := make([][roles]float64, len(list))
	for i := 0; i < len(list); {
		j := i
		lowest, highest := i, i
		for ; j < len(list) && list[j].at == list[i].at && list[j].run == list[i].run; j++ {
			if pitch(s, list[j]) > pitch(s, list[highest]) {
				highest = j
			}
			if pitch(s, list[j]) < pitch(s, list[lowest]) {
				lowest = j
			}
		}
		for k := i; k < j; k++ {
			rows[k] = role(s, s.Notes[list[k].note], k == highest, k == lowest, j-i)
		}
		i = j
	}
	w := regress(rows, list)
	for i := range list {
		list[i].relative = list[i].level
		for k, x := range rows[i] {
			list[i].relative -= w[k] * x
		}
	}
}

func pitch(s *score.Score, e entry) float64 { return s.Notes[e.note].Pitch.MIDI() }

// regress is the weights of the rows that explain the levels best; all but the first
// are drawn to 0.
func regress(rows [][roles]float64, list []entry) [roles]float64 {
	var a [roles][roles + 1]float64
	for i, x := range rows {
		for j := range roles {
			for k := range roles {
				a[j][k] += x[j] * x[k]
			}
			a[j][roles] += x[j] * list[i].level
		}
	}
	a[0][0] += 1e-6
	for j := 1; j < roles; j++ {
		a[j][j] += ridge
	}
	return solve(a)
}

// solve is Gaussian elimination with pivots; the matrix is positive definite.
func solve(a [roles][roles + 1]float64) (w [roles]float64) {
	for j := range roles {
		p := j
		for i := j + 1; i < roles; i++ {
			if math.Abs(a[i][j]) > math.Abs(a[p][j]) {
				p = i
			}
		}
		a[j], a[p] = a[p], a[j]
		for i := range roles {
			if i != j && a[j][j] != 0 {
				f := a[i][j] / a[j][j]
				for k := j; k <= roles; k++ {
					a[i][k] -= f * a[j][k]
				}
			}
		}
	}
	for j := range w {
		if a[j][j] != 0 {
			w[j] = a[j][roles] / a[j][j]
		}
	}
	return w
}
