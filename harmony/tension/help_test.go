package tension

import "math"

func agree(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }
