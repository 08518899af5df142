package midi

import (
	"encoding/binary"
	"fmt"
	"testing"
)

// A reader of Standard MIDI Files of our own, so that files are not read back
// by the library that wrote them (MIDI Manufacturers Association 1996, Standard
// MIDI Files 1.0).

type midiEvent struct {
	at     int
	status byte
	data   []byte
	meta   byte // kind of a meta event
}

type midiFile struct {
	format, division int
	tracks           [][]midiEvent
}

func parseSMF(b []byte) (f midiFile, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("cut short: %v", r)
		}
	}()
	if string(b[:4]) != "MThd" || binary.BigEndian.Uint32(b[4:]) != 6 {
		return f, fmt.Errorf("no header")
	}
	f.format, f.division = int(binary.BigEndian.Uint16(b[8:])), int(binary.BigEndian.Uint16(b[12:]))
	count := int(binary.BigEndian.Uint16(b[10:]))
	b = b[14:]
	for range count {
		if string(b[:4]) != "MTrk" {
			return f, fmt.Errorf("no track")
		}
		n := int(binary.BigEndian.Uint32(b[4:]))
		events, err := parseTrack(b[8 : 8+n])
		if err != nil {
			return f, err
		}
		f.tracks = append(f.tracks, events)
		b = b[8+n:]
	}
	if len(b) > 0 {
		return f, fmt.Errorf("%d bytes too many", len(b))
	}
	return f, nil
}

func parseTrack(b []byte) (events []midiEvent, err error) {
	at, running := 0, byte(0)
	for len(b) > 0 {
		delta, n := varLen(b)
		at, b = at+delta, b[n:]
		e := midiEvent{at: at, status: running}
		if b[0] >= 0x80 {
			e.status, b = b[0], b[1:]
		}
		switch {
		case e.status == 0xff:
			e.meta = b[0]
			size, n := varLen(b[1:])
			e.data, b = b[1+n:1+n+size], b[1+n+size:]
		case e.status >= 0xf0:
			return nil, fmt.Errorf("system message %x", e.status)
		default:
			running = e.status
			size := 2
			if k := e.status & 0xf0; k == 0xc0 || k == 0xd0 {
				size = 1
			}
			e.data, b = b[:size], b[size:]
		}
		events = append(events, e)
		if e.status == 0xff && e.meta == 0x2f && len(b) > 0 {
			return nil, fmt.Errorf("bytes after the end of a track")
		}
	}
	if k := len(events) - 1; k < 0 || events[k].meta != 0x2f {
		return nil, fmt.Errorf("a track without an end")
	}
	return events, nil
}

func varLen(b []byte) (v, n int) {
	for {
		v = v<<7 | int(b[n]&0x7f)
		n++
		if b[n-1] < 0x80 {
			return v, n
		}
	}
}

// sounded is a note read back.
type sounded struct{ channel, key, velocity, start, end int }

// notesOf pairs starts and ends; every start must have its end, and no key may
// be struck while it sounds.
func notesOf(t *testing.T, events []midiEvent) (list []sounded) {
	t.Helper()
	open := map[[2]int]int{}
	for _, e := range events {
		k := e.status & 0xf0
		if k != 0x90 && k != 0x80 {
			continue
		}
		id := [2]int{int(e.status & 0x0f), int(e.data[0])}
		i, sounding := open[id]
		if k == 0x90 && e.data[1] > 0 {
			if sounding {
				t.Errorf("tick %d: key %d is struck while it sounds", e.at, id[1])
			}
			open[id] = len(list)
			list = append(list, sounded{id[0], id[1], int(e.data[1]), e.at, -1})
			continue
		}
		if !sounding {
			t.Errorf("tick %d: key %d ends without a start", e.at, id[1])
			continue
		}
		list[i].end = e.at
		delete(open, id)
	}
	if len(open) > 0 {
		t.Errorf("notes without an end: %v", open)
	}
	return list
}
