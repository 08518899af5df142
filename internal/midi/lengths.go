package midi

import "encoding/binary"

// soundLengths reports whether the lengths that a file states lie inside it, its header has
// its six bytes and every track its end: the library makes room for whatever it is told, and
// reads on from the sixth byte and past a track without an end. The grammar is that of the
// Standard MIDI Files 1.0 (MIDI Manufacturers Association 1996).
func soundLengths(b []byte) bool {
	for len(b) >= 8 {
		size := binary.BigEndian.Uint32(b[4:])
		body := b[8:]
		if uint64(size) > uint64(len(body)) {
			return false
		}
		switch string(b[:4]) {
		case "MThd":
			if size != 6 {
				return false
			}
		case "MTrk":
			if !soundTrack(body[:size]) {
				return false
			}
		}
		b = body[size:]
	}
	return true
}

func soundTrack(b []byte) bool {
	const endOfTrack = 0x2f
	running, ended := byte(0), false
	for len(b) > 0 {
		if ended {
			return false
		}
		_, n := variable(b)
		if b = b[n:]; n == 0 || len(b) == 0 {
			return false
		}
		status := running
		if b[0] >= 0x80 {
			status, b = b[0], b[1:]
		}
		long := 0
		switch {
		case status >= 0xf0:
			if status == 0xff && len(b) > 0 { // a meta event has a kind
				ended = b[0] == endOfTrack
				b = b[1:]
			}
			size, n := variable(b)
			if n == 0 {
				return false
			}
			long = n + size
		case status < 0x80:
			return false
		default:
			running = status
			if long = 2; status&0xf0 == 0xc0 || status&0xf0 == 0xd0 {
				long = 1
			}
		}
		if long > len(b) {
			return false
		}
		b = b[long:]
	}
	return ended
}

// variable reads a number of variable length and how many bytes it takes, 0 if it
// has no end.
func variable(b []byte) (value, size int) {
	for i := range min(len(b), 4) {
		value = value<<7 | int(b[i]&0x7f)
		if b[i] < 0x80 {
			return value, i + 1
		}
	}
	return 0, 0
}
