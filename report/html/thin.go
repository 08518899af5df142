package html

import "math"

// point is a place in a picture.
type point struct{ x, y float64 }

// thinned leaves out points that lie no farther than a tolerance above or below
// the line through those that stay (Douglas and Peucker 1973, The Canadian
// Cartographer 10(2), 112–122; distance upright, for a line that runs in time).
func thinned(line []point, tolerance float64) []point {
	if len(line) < 3 {
		return line
	}
	a, b := line[0], line[len(line)-1]
	worst, at := 0.0, 0
	for i, p := range line[1 : len(line)-1] {
		y := a.y
		if b.x > a.x {
			y += (b.y - a.y) * (p.x - a.x) / (b.x - a.x)
		}
		if d := math.Abs(p.y - y); d > worst {
			worst, at = d, i+1
		}
	}
	if worst <= tolerance {
		return []point{a, b}
	}
	left := thinned(line[:at+1], tolerance)
	return append(left[:len(left)-1:len(left)-1], thinned(line[at:], tolerance)...)
}
