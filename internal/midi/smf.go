package midi

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"math/bits"
	"slices"

	"gitlab.com/gomidi/midi/v2" // MIDI files enter by this door only
	"gitlab.com/gomidi/midi/v2/smf"
)

// Channels of a MIDI device; the tenth is for drums.
const (
	channels    = 16
	drumChannel = 9
)

// WriteSMF writes a Standard MIDI File of format 1: a track for tempo and
// signatures, then one for each part, with its own channel as long as there are
// any. Velocity follows the level at each note's start, the expression
// controller (11) the running level of the part.
func (f *Performance) WriteSMF(w io.Writer) error {
	out := smf.NewSMF1()
	out.TimeFormat = smf.MetricTicks(f.Quarter)
	if err := out.Add(f.conductor()); err != nil {
		return fmt.Errorf("midi: %w", err)
	}
	for i, p := range f.Parts {
		if err := out.Add(f.track(p, channel(i))); err != nil {
			return fmt.Errorf("midi: part %d: %w", i+1, err)
		}
	}
	_, err := out.WriteTo(w)
	return err
}

// channel is a part's channel; with more than fifteen parts some share one.
func channel(part int) uint8 {
	c := part % (channels - 1)
	if c >= drumChannel {
		c++
	}
	return uint8(c)
}

// event is a message at a time; rank orders those of one moment: ends first.
type event struct {
	at   Tick
	rank int
	msg  []byte
}

// Ranks of events at one moment.
const (
	rankEnd = iota
	rankSet
	rankStart
)

// track puts events in order, with the times between them.
func track(name string, events []event, length Tick) smf.Track {
	slices.SortStableFunc(events, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.rank, b.rank))
	})
	var t smf.Track
	t.Add(0, smf.MetaTrackSequenceName(name))
	at := Tick(0)
	for _, e := range events {
		t.Add(uint32(e.at-at), e.msg)
		at = e.at
	}
	t.Close(uint32(max(length-at, 0)))
	return t
}

func (f *Performance) conductor() smf.Track {
	var events []event
	for _, x := range f.Tempos {
		events = append(events, event{x.At, rankSet, smf.MetaTempo(x.PerMin)})
	}
	const clocks, thirtySeconds = 24, 8 // of a quarter note, as Standard MIDI Files 1.0 counts
	for _, x := range f.Times {
		if x.Beats < 256 && bits.OnesCount(uint(x.Unit)) == 1 {
			events = append(events, event{x.At, rankSet, smf.MetaTimeSig(uint8(x.Beats), uint8(x.Unit), clocks, thirtySeconds)})
		}
	}
	for _, x := range f.Keys {
		tonic := 7 * x.Fifths
		if x.Minor {
			tonic += 9
		}
		n := max(x.Fifths, -x.Fifths)
		events = append(events, event{x.At, rankSet, smf.MetaKey(uint8((tonic%12+12)%12), !x.Minor, uint8(n), x.Fifths < 0)})
	}
	return track(f.Title, events, f.Length)
}

func (f *Performance) track(p Part, channel uint8) smf.Track {
	events := []event{{0, rankSet, midi.ProgramChange(channel, uint8(p.Program))}}
	const expressionController = 11
	last := -1
	for _, l := range p.Levels {
		if v := expression(l.Level); int(v) != last {
			events = append(events, event{l.At, rankSet, midi.ControlChange(channel, expressionController, v)})
			last = int(v)
		}
	}
	for _, n := range p.Notes {
		c := channel
		if n.Drum {
			c = drumChannel
		}
		key := uint8(min(max(math.Round(n.Key), 0), 127))
		events = append(events, event{n.Start, rankStart, midi.NoteOn(c, key, velocity(n.Level))})
		events = append(events, event{n.End, rankEnd, midi.NoteOff(c, key)})
	}
	return track(p.Name, events, f.Length)
}
