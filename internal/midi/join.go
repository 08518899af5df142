package midi

import "math"

// Append puts another performance after this one, part by part. Ticks are brought
// to this one's, rounded; an empty performance takes those of the first.
func (f *Performance) Append(g *Performance) {
	if f.Quarter == 0 {
		f.Quarter = g.Quarter
	}
	from := f.Length
	at := func(t Tick) Tick { return from + (t*f.Quarter+g.Quarter/2)/g.Quarter }
	for _, x := range g.Tempos {
		f.Tempos = append(f.Tempos, Tempo{at(x.At), x.PerMin})
	}
	for _, x := range g.Times {
		f.Times = append(f.Times, Time{at(x.At), x.Beats, x.Unit})
	}
	for _, x := range g.Keys {
		f.Keys = append(f.Keys, Key{at(x.At), x.Fifths, x.Minor})
	}
	for i, p := range g.Parts {
		if i == len(f.Parts) {
			f.Parts = append(f.Parts, Part{Name: p.Name, Program: p.Program, Sustained: p.Sustained})
		}
		to := &f.Parts[i]
		for _, n := range p.Notes {
			n.Start, n.End = at(n.Start), at(n.End)
			to.Notes = append(to.Notes, n)
		}
		for _, l := range p.Levels {
			to.Levels = append(to.Levels, Level{at(l.At), l.Level})
		}
	}
	f.Length = at(g.Length)
}

// Loudness is the mean power of the performance from its first tone to its end, in
// decibels; only differences between performances mean anything. It is the power of
// the tones as they are, without the ear's weighting of high and low. An empty
// performance has -Inf.
func (f *Performance) Loudness() float64 {
	tones, _ := f.tones()
	m := mixer{tones: tones}
	power, blocks := 0.0, 0
	end := f.Seconds(f.Length)
	for at := 0; float64(at)/sampleRate < end && len(tones) > 0; at += block {
		if m.render(at); m.next == 0 {
			continue
		}
		for i := range block {
			power += m.left[i]*m.left[i] + m.right[i]*m.right[i]
		}
		blocks++
	}
	return 10 * math.Log10(power/float64(max(blocks, 1)))
}

// Steps is how many steps of level make so many decibels in a WAV file.
func Steps(decibels float64) float64 { return decibels / perStep }
