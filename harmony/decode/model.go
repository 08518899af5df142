package decode

// Model holds the labels and the fitted weights.
type Model struct {
	Labels []Label
	W      []float64 // one weight a fact, in the order of the layout
	Odds   Odds      // how sure readings are

	lay    *layout
	ready  *tables                         // of weights that will not change
	majors int                             // how many labels belong to major keys; they come first
	lookup [2][rootRange][MaxQuality][]int // mode, root above tonic, quality → labels
	above  [MaxQuality][]int               // tones of each quality in use, fifths above the root
	family [MaxQuality]int
}

const (
	rootMin   = -14
	rootRange = 29
)

// NewModel prepares a model; w may be nil for all weights zero.
func NewModel(labels []Label, w []float64) *Model {
	m := &Model{Labels: labels, W: w, lay: newLayout(len(labels))}
	if w == nil {
		m.W = make([]float64, m.lay.total)
	}
	for i, l := range labels {
		mode := 0
		if l.Minor {
			mode = 1
		} else {
			m.majors++
		}
		if r := l.Root - rootMin; r >= 0 && r < rootRange {
			m.lookup[mode][r][l.Quality] = append(m.lookup[mode][r][l.Quality], i)
		}
		m.above[l.Quality] = l.Tones
		m.family[l.Quality] = l.Family
	}
	m.respell()
	return m
}

// Size is the number of weights a model with these labels has.
func Size(labels []Label) int { return newLayout(len(labels)).total }

// Fact names the weight with this index: "foreign 13 0 0".
func (m *Model) Fact(i int) string { return m.lay.name(i) }

// labelsAt lists the labels of a chord in a key, respelled if need be.
func (m *Model) labelsAt(key, tonic, root, quality int) []int {
	r := root - tonic - rootMin
	if r < 0 || r >= rootRange {
		r = mod12(r) + 12
	}
	return m.lookup[mode(key)][r][quality]
}

// respell gives chords without a label in their spelling those of the nearest
// other one, sharper first.
func (m *Model) respell() {
	for md := range m.lookup {
		spelled := m.lookup[md]
		for r := range spelled {
			for q := range spelled[r] {
				for _, other := range [2]int{r + 12, r - 12} {
					if spelled[r][q] == nil && m.lookup[md][r][q] == nil && other >= 0 && other < rootRange {
						m.lookup[md][r][q] = spelled[other][q]
					}
				}
			}
		}
	}
}

// mode is 0 for major keys and 1 for minor ones.
func mode(key int) int { return key / 12 }
