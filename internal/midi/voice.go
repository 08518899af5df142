package midi

// Voice is how a part sounds, for a page that must make the sound of
// [Performance.WriteWAV] without the program: web/src/synth.ts is tone.go and
// wave.go once more, and testdata/tones.json holds the two together.
type Voice struct {
	Ratios   []float64    `json:"ratios,omitempty"`   // of the partials to the lowest; none: whole numbers
	Strength []float64    `json:"strength,omitempty"` // of the partials at mf
	Quicker  []float64    `json:"quicker,omitempty"`  // how many times as fast each partial dies away
	Fade     float64      `json:"fade"`               // seconds in which middle C falls to a third
	Rings    bool         `json:"rings,omitempty"`    // nothing damps it at the end of the written note
	Pan      float64      `json:"pan"`                // -0.5 left to 0.5 right
	Curve    [][2]float64 `json:"curve,omitempty"`    // seconds and the running level from then on, for a tone that holds
}

// Voices are those of the parts, and the gain of all together.
func (f *Performance) Voices() (list []Voice, all float64) {
	tones, _ := f.tones()
	for i, p := range f.Parts {
		t := timbreOf(p.Name)
		if p.Sustained {
			t = timbreOf("")
		}
		v := Voice{Ratios: t.ratios, Strength: t.strength, Quicker: t.quicker, Fade: t.fade, Rings: t.rings, Pan: f.pan(i)}
		if p.Sustained {
			for _, m := range f.curve(p) {
				v.Curve = append(v.Curve, [2]float64{m.at, m.level})
			}
		}
		list = append(list, v)
	}
	return list, gain(tones)
}
