package sound

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// wave reads RIFF WAVE files (IBM and Microsoft 1991, "Multimedia Programming
// Interface and Data Specifications 1.0"; Microsoft 2007, "Multiple Channel Audio
// Data and WAVE Files") and their 64-bit form RF64 (EBU 2007, Tech 3306; citations
// from memory).
type wave struct {
	r        io.Reader
	rate     int
	channels int
	bytes    int // a sample
	float    bool
	left     int64 // bytes of data, -1: up to the end of the file
	buf      []byte
	out      []float32
}

// The formats of samples.
const (
	formatPCM        = 1
	formatFloat      = 3
	formatExtensible = 0xfffe
)

func startWAV(r *bufio.Reader) (decoder, error) {
	if _, err := r.Discard(12); err != nil {
		return nil, errors.New("it is cut short")
	}
	w := &wave{r: r}
	for {
		var head [8]byte
		if _, err := io.ReadFull(r, head[:]); err != nil {
			return nil, errors.New("it holds no samples")
		}
		size := int64(binary.LittleEndian.Uint32(head[4:]))
		switch string(head[:4]) {
		case "fmt ":
			if err := w.format(r, size); err != nil {
				return nil, err
			}
			continue
		case "data":
			if w.channels == 0 {
				return nil, errors.New("its samples come before their format")
			}
			w.left = size
			if size == 0 || size >= math.MaxUint32-1<<16 { // written without knowing the end, or RF64
				w.left = -1
			}
			return w, nil
		}
		if _, err := io.CopyN(io.Discard, r, size+size%2); err != nil {
			return nil, errors.New("it is cut short")
		}
	}
}

// format reads the chunk that says what a sample is.
func (w *wave) format(r io.Reader, size int64) error {
	if size < 16 || size > 1<<16 {
		return errors.New("its format is damaged")
	}
	b := make([]byte, size+size%2)
	if _, err := io.ReadFull(r, b); err != nil {
		return errors.New("it is cut short")
	}
	code := int(binary.LittleEndian.Uint16(b))
	w.channels, w.rate = int(binary.LittleEndian.Uint16(b[2:])), int(binary.LittleEndian.Uint32(b[4:]))
	align, bits := int(binary.LittleEndian.Uint16(b[12:])), int(binary.LittleEndian.Uint16(b[14:]))
	if code == formatExtensible && size >= 26 {
		code = int(binary.LittleEndian.Uint16(b[24:])) // the first bytes of the sub-format
	}
	w.bytes, w.float = (bits+7)/8, code == formatFloat
	if w.channels > 0 && align%w.channels == 0 && align > 0 {
		w.bytes = align / w.channels
	}
	known := code == formatPCM && w.bytes >= 1 && w.bytes <= 4 || w.float && (w.bytes == 4 || w.bytes == 8)
	if w.channels == 0 || !known {
		return &Error{fmt.Sprintf("a WAV file of format %d with %d bits, which cannot be read", code, bits), "save it as WAV with 16 bits"}
	}
	return nil
}

func (w *wave) shape() (rate, channels int) { return w.rate, w.channels }

func (w *wave) next() ([]float32, error) {
	block := w.bytes * w.channels
	if w.buf == nil {
		w.buf = make([]byte, 4096*block)
	}
	want := int64(len(w.buf))
	if w.left >= 0 {
		want = min(want, w.left)
	}
	n, err := io.ReadFull(w.r, w.buf[:want])
	if w.left >= 0 {
		w.left -= int64(n)
	}
	if err == io.ErrUnexpectedEOF || err == nil && w.left == 0 {
		err = io.EOF
	}
	w.out = w.out[:0]
	for b := w.buf[:n/block*block]; len(b) > 0; b = b[w.bytes:] {
		w.out = append(w.out, w.sample(b))
	}
	return w.out, err
}

// sample reads one sample.
func (w *wave) sample(b []byte) float32 {
	switch {
	case w.float && w.bytes == 8:
		return float32(math.Float64frombits(binary.LittleEndian.Uint64(b)))
	case w.float:
		return math.Float32frombits(binary.LittleEndian.Uint32(b))
	case w.bytes == 1:
		return (float32(b[0]) - 128) / 128
	case w.bytes == 2:
		return float32(int16(binary.LittleEndian.Uint16(b))) / (1 << 15)
	case w.bytes == 3:
		return float32(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)>>8) / (1 << 23)
	}
	return float32(int32(binary.LittleEndian.Uint32(b))) / (1 << 31)
}
