package midi

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"

	"gitlab.com/gomidi/midi/v2/smf"
)

// Stroke is one key struck, as a Standard MIDI File tells it. Times are in
// seconds from the start of the file.
type Stroke struct {
	On, Off  float64
	Key      int // 0 to 127, 60 for middle C
	Velocity int // 1 to 127
}

// Errors of ReadStrokes.
var (
	errNotMIDI   = errors.New("not a MIDI file that can be read")
	errNoStrokes = errors.New("no note is struck in it")
)

// ReadStrokes reads the notes struck in a Standard MIDI File of any format, all
// tracks together, in order of time. Drums (channel 10) count only if nothing
// else is struck. It fails on what is no such file, and on one without a note.
func ReadStrokes(r io.Reader) (list []Stroke, err error) {
	defer func() { // the library is not proof against every broken file
		if recover() != nil {
			list, err = nil, errNotMIDI
		}
	}()
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	if len(data) > 13 && data[12]&0x80 != 0 { // the library fails on these
		return nil, fmt.Errorf("%w: it is timed by frames of film", errNotMIDI)
	}
	if !soundLengths(data) {
		return nil, fmt.Errorf("%w: it is cut short or damaged", errNotMIDI)
	}
	file, err := smf.ReadFrom(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("%w: %v", errNotMIDI, err)
	}
	c, err := newTimekeeper(file)
	if err != nil {
		return nil, err
	}
	var drums []Stroke
	for _, t := range file.Tracks {
		notes, beaten := trackStrokes(t, c)
		list, drums = append(list, notes...), append(drums, beaten...)
	}
	if len(list) == 0 {
		list = drums
	}
	if len(list) == 0 {
		return nil, errNoStrokes
	}
	slices.SortStableFunc(list, func(a, b Stroke) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Key, b.Key)) })
	return list, nil
}

// trackStrokes pairs the starts and ends of one track's notes; a key struck
// again while it sounds ends there.
func trackStrokes(t smf.Track, c timekeeper) (notes, drums []Stroke) {
	open := map[[2]uint8]int{}
	var all []Stroke
	var drum []bool
	var ch, key, vel uint8
	at := int64(0)
	for _, e := range t {
		at += int64(e.Delta)
		m := e.Message
		switch {
		case m.GetNoteOn(&ch, &key, &vel) && vel > 0:
			end(all, open, ch, key, c.seconds(at))
			open[[2]uint8{ch, key}] = len(all)
			all = append(all, Stroke{On: c.seconds(at), Off: -1, Key: int(key), Velocity: int(vel)})
			drum = append(drum, ch == drumChannel)
		case m.GetNoteEnd(&ch, &key):
			end(all, open, ch, key, c.seconds(at))
		}
	}
	for i, s := range all {
		if s.Off < 0 {
			s.Off = c.seconds(at)
		}
		if drum[i] {
			drums = append(drums, s)
		} else {
			notes = append(notes, s)
		}
	}
	return notes, drums
}

// end ends the note of a channel that sounds on a key.
func end(all []Stroke, open map[[2]uint8]int, ch, key uint8, at float64) {
	if i, ok := open[[2]uint8{ch, key}]; ok {
		all[i].Off = at
		delete(open, [2]uint8{ch, key})
	}
}

// timekeeper turns the ticks of a file into seconds.
type timekeeper struct {
	ticks []int64   // where a tempo begins, the first at 0
	at    []float64 // in seconds
	tick  []float64 // seconds a tick from there on
}

const fileTempo = 120.0 // quarter notes a minute (Standard MIDI Files 1.0)

func newTimekeeper(f *smf.SMF) (timekeeper, error) {
	ticks, ok := f.TimeFormat.(smf.MetricTicks)
	if !ok || ticks == 0 {
		return timekeeper{}, fmt.Errorf("%w: it does not say how long a quarter note is", errNotMIDI)
	}
	return metric(f, float64(uint16(ticks))), nil
}

// metric is the clock of a file whose ticks are those of a quarter note.
func metric(f *smf.SMF, quarter float64) timekeeper {
	type change struct {
		at     int64
		perMin float64
	}
	changes := []change{{0, fileTempo}}
	for _, t := range f.Tracks {
		at := int64(0)
		for _, e := range t {
			at += int64(e.Delta)
			var perMin float64
			if e.Message.GetMetaTempo(&perMin) && perMin > 0 {
				changes = append(changes, change{at, perMin})
			}
		}
	}
	slices.SortStableFunc(changes, func(a, b change) int { return cmp.Compare(a.at, b.at) })
	var c timekeeper
	for _, x := range changes {
		c.at = append(c.at, c.seconds(x.at))
		c.ticks = append(c.ticks, x.at)
		c.tick = append(c.tick, 60/x.perMin/quarter)
	}
	return c
}

func (c timekeeper) seconds(at int64) float64 {
	i, exact := slices.BinarySearch(c.ticks, at)
	for exact && i+1 < len(c.ticks) && c.ticks[i+1] == at {
		i++
	}
	if !exact {
		i--
	}
	if i < 0 || i >= len(c.tick) {
		return 0
	}
	return c.at[i] + float64(at-c.ticks[i])*c.tick[i]
}
