package shaping

func (o *observed) quarters(i int) float64 { return o.time[i] }

// integral sums a series over time, from the start to each point of the grid,
// the end of the piece twice. It is good until the next call.
func (o *observed) integral(v series) series {
	if o.sum == nil {
		o.sum = make(series, len(v)+2)
	}
	sum := 0.0
	for i, x := range v {
		sum += x * o.quart[i]
		o.sum[i+1] = sum
	}
	o.sum[len(v)+1] = sum
	return o.sum
}

// edge is where a window that is drawn around a point of the grid begins or ends.
type edge struct {
	time float64 // in quarter notes, inside the piece
	cell int     // the cell it falls in
	part float64 // how much of that cell lies before it
}

// edges are the edges at a distance from each point of the grid. Hundreds of
// windows share them.
func (o *observed) edges(distance float64) []edge {
	if e, ok := o.drawn[distance]; ok {
		return e
	}
	n := o.cells()
	first, end := o.time[0], o.time[n]
	out, cell := make([]edge, n), 0
	for i := range out {
		t := min(max(o.time[i]+distance, first), end)
		for cell < n && o.time[cell+1] <= t {
			cell++
		}
		out[i] = edge{time: t, cell: cell}
		if cell < n && o.quart[cell] > 0 && t > o.time[cell] {
			out[i].part = (t - o.time[cell]) / o.quart[cell]
		}
	}
	o.drawn[distance] = out
	return out
}

// window averages a series from a to b quarter notes around each point.
func (o *observed) window(v series, a, b float64) series {
	out, sum := make(series, len(v)), o.integral(v)
	left, right := o.edges(a), o.edges(b)
	for i, x := range v {
		out[i] = sum.between(&left[i], &right[i], x)
	}
	return out
}

// between is the average between two edges of a series whose integral this is;
// x if they lie together.
func (sum series) between(lo, hi *edge, x float64) float64 {
	if hi.time-lo.time < 1e-9 {
		return x
	}
	return (sum.until(hi) - sum.until(lo)) / (hi.time - lo.time)
}

// until is the integral up to an edge.
func (sum series) until(e *edge) float64 {
	return sum[e.cell] + (sum[e.cell+1]-sum[e.cell])*e.part
}

// mean smooths a series: the average of three windows of half, one and one and
// a half times the width around each point. Width 0 leaves it as it is.
func (o *observed) mean(v series, width float64) series {
	if width == 0 {
		return v
	}
	out, sum := make(series, len(v)), o.integral(v)
	for _, k := range [...]float64{0.25, 0.5, 0.75} {
		left, right := o.edges(-k*width), o.edges(k*width)
		for i, x := range v {
			out[i] += sum.between(&left[i], &right[i], x) / 3
		}
	}
	return out
}
