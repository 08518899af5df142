package midi

import (
	"bufio"
	"cmp"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"
)

// Properties of the WAV files.
const (
	sampleRate = 44100
	block      = 256 // samples in which strengths move in a straight line
	tail       = 1.5 // seconds after the last note
	longest    = 3 * 3600
)

// WriteWAV writes 44.1 kHz, 16 bit stereo. A louder tone is also brighter. The
// overall gain depends on the notes only, never on the levels, so two files of
// the same notes can be compared by ear. It fails on more than three hours.
func (f *Performance) WriteWAV(w io.Writer) error {
	tones, end := f.tones()
	if end > longest {
		return fmt.Errorf("the piece lasts %.0f minutes, and a wave file of more than %d is not written: choose measures", end/60, longest/60)
	}
	samples := int((end + tail) * sampleRate)
	out := bufio.NewWriterSize(w, 1<<16)
	if err := waveHeader(out, samples); err != nil {
		return err
	}
	m := mixer{tones: tones, gain: gain(tones)}
	for at := 0; at < samples; at += block {
		m.render(at)
		if err := m.write(out, min(block, samples-at)); err != nil {
			return err
		}
	}
	return out.Flush()
}

// waveHeader is the head of a RIFF file of 16 bit stereo samples (IBM and
// Microsoft 1991, Multimedia Programming Interface and Data Specifications 1.0).
func waveHeader(w io.Writer, samples int) error {
	const width, pcm = 4, 1
	head := struct {
		Riff   [4]byte
		Size   uint32
		Wave   [8]byte
		Length uint32
		Format uint16
		Chan   uint16
		Rate   uint32
		Bytes  uint32
		Align  uint16
		Bits   uint16
		Data   [4]byte
		Count  uint32
	}{
		[4]byte([]byte("RIFF")), uint32(36 + width*samples), [8]byte([]byte("WAVEfmt ")), 16, pcm, 2,
		sampleRate, sampleRate * width, width, 16, [4]byte([]byte("data")), uint32(width * samples),
	}
	return binary.Write(w, binary.LittleEndian, head)
}

// tones readies every note for the mixer, in order of their start.
func (f *Performance) tones() (list []*tone, end float64) {
	for i, p := range f.Parts {
		start, stop := clock{f: f}, clock{f: f}
		notes := slices.Clone(p.Notes)
		slices.SortStableFunc(notes, func(a, b Note) int { return cmp.Compare(a.End, b.End) })
		ends := make(map[Note]float64, len(notes))
		for _, n := range notes {
			ends[n] = stop.at(n.End)
		}
		curve, timbre, pan := f.curve(p), timbreOf(p.Name), f.pan(i)
		for k, n := range p.Notes {
			t := &tone{start: start.at(n.Start), end: ends[n], level: n.Level, drum: n.Drum, timbre: timbre, pan: pan, seed: uint32(i*7919 + k)}
			t.frequency = 440 * math.Pow(2, (n.Key-69)/12)
			if p.Sustained && !n.Drum {
				t.curve, t.timbre = curve, timbreOf("") // whole-number partials
			}
			list = append(list, t)
			end = max(end, t.end)
		}
	}
	slices.SortStableFunc(list, func(a, b *tone) int { return cmp.Compare(a.start, b.start) })
	return list, end
}

// pan is where a part sits, -0.5 left to 0.5 right.
func (f *Performance) pan(part int) float64 {
	if n := len(f.Parts); n > 1 {
		return 0.6 * (float64(part)/float64(n-1) - 0.5)
	}
	return 0
}

// gain keeps the tones together from clipping.
func gain(tones []*tone) float64 { return 0.35 / math.Sqrt(float64(crowd(tones))) }

// moment is a level at a time in seconds.
type moment struct{ at, level float64 }

func (f *Performance) curve(p Part) []moment {
	c := clock{f: f}
	out := make([]moment, len(p.Levels))
	for i, l := range p.Levels {
		out[i] = moment{c.at(l.At), l.Level}
	}
	return out
}

// crowd is how many tones sound at once at most.
func crowd(tones []*tone) int {
	ends := make([]float64, len(tones))
	for i, t := range tones {
		ends[i] = t.end
	}
	slices.Sort(ends)
	most, gone := 1, 0
	for i, t := range tones {
		for ends[gone] <= t.start {
			gone++
		}
		most = max(most, i+1-gone)
	}
	return most
}

// mixer adds tones up, a block at a time.
type mixer struct {
	tones       []*tone
	next        int // the first that has not begun
	active      []*tone
	gain        float64
	left, right [block]float64
}

func (m *mixer) render(at int) {
	from, to := float64(at)/sampleRate, float64(at+block)/sampleRate
	for m.next < len(m.tones) && m.tones[m.next].start < to {
		m.active = append(m.active, m.tones[m.next])
		m.next++
	}
	m.active = slices.DeleteFunc(m.active, func(t *tone) bool { return t.over(from) })
	clear(m.left[:])
	clear(m.right[:])
	var buf [block]float64
	for _, t := range m.active {
		clear(buf[:])
		t.add(&buf, from)
		l, r := math.Sqrt(0.5-t.pan/2), math.Sqrt(0.5+t.pan/2)
		for i, x := range buf {
			m.left[i] += l * x
			m.right[i] += r * x
		}
	}
}

func (m *mixer) write(w io.Writer, count int) error {
	var out [4 * block]byte
	for i := range count {
		binary.LittleEndian.PutUint16(out[4*i:], uint16(sample(m.gain*m.left[i])))
		binary.LittleEndian.PutUint16(out[4*i+2:], uint16(sample(m.gain*m.right[i])))
	}
	_, err := w.Write(out[:4*count])
	return err
}

// sample rounds to 16 bits. Peaks beyond four fifths are bent, not cut.
func sample(x float64) int16 {
	const knee = 0.8
	if a := math.Abs(x); a > knee {
		x = math.Copysign(knee+(1-knee)*math.Tanh((a-knee)/(1-knee)), x)
	}
	return int16(math.Round(x * 32767))
}
