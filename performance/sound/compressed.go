package sound

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/hajimehoshi/go-mp3" // compressed sound enters by this door only
	"github.com/jfreymuth/oggvorbis"
	"github.com/mewkiz/flac"
)

// lossless is a FLAC file.
type lossless struct {
	stream *flac.Stream
	out    []float32
}

func startFLAC(r *bufio.Reader) (decoder, error) {
	s, err := flac.New(r)
	if err != nil {
		return nil, err
	}
	return &lossless{stream: s}, nil
}

func (l *lossless) shape() (rate, channels int) {
	return int(l.stream.Info.SampleRate), int(l.stream.Info.NChannels)
}

func (l *lossless) next() ([]float32, error) {
	f, err := l.stream.ParseNext()
	if err != nil {
		return nil, err
	}
	_, channels := l.shape()
	full := float32(int64(1) << (l.stream.Info.BitsPerSample - 1))
	l.out = l.out[:0]
	for i := range f.Subframes[0].Samples {
		for c := range channels {
			l.out = append(l.out, float32(f.Subframes[c].Samples[i])/full)
		}
	}
	return l.out, nil
}

// leastMP3 is the lowest rate of MPEG-1.
const leastMP3 = 32000

// layer3 is an MP3 file.
type layer3 struct {
	d   *mp3.Decoder
	buf []byte
	out []float32
}

func startMP3(r *bufio.Reader) (decoder, error) {
	if err := passTags(r); err != nil {
		return nil, err
	}
	d, err := mp3.NewDecoder(r)
	if err != nil {
		return nil, err
	}
	if d.SampleRate() < leastMP3 { // the library misreads MPEG-2
		return nil, &Error{fmt.Sprintf("an MP3 file with %d samples a second, which cannot be read", d.SampleRate()), "save it as WAV"}
	}
	return &layer3{d: d, buf: make([]byte, 1<<15)}, nil
}

// passTags passes over tags before the sound (ID3v2, Nilsson 2000, "ID3 tag version
// 2.4.0"; citation from memory): the library makes room for whatever they promise.
func passTags(r *bufio.Reader) error {
	for {
		head, _ := r.Peek(10)
		if len(head) < 10 || string(head[:3]) != "ID3" {
			return nil
		}
		size := 10 + int(head[6]&0x7f)<<21 + int(head[7]&0x7f)<<14 + int(head[8]&0x7f)<<7 + int(head[9]&0x7f) // seven bits a byte
		if head[5]&0x10 != 0 {                                                                                // the tag has a foot
			size += 10
		}
		if _, err := r.Discard(size); err != nil {
			return errors.New("it is cut short")
		}
	}
}

// shape: the decoder always gives two channels.
func (l *layer3) shape() (rate, channels int) { return l.d.SampleRate(), 2 }

func (l *layer3) next() ([]float32, error) {
	n, err := io.ReadFull(l.d, l.buf)
	if err == io.ErrUnexpectedEOF {
		err = io.EOF
	}
	l.out = l.out[:0]
	for b := l.buf[:n/4*4]; len(b) > 0; b = b[2:] {
		l.out = append(l.out, float32(int16(binary.LittleEndian.Uint16(b)))/(1<<15))
	}
	return l.out, err
}

// vorbis is an Ogg Vorbis file.
type vorbis struct {
	r   *oggvorbis.Reader
	buf []float32
}

func startVorbis(r *bufio.Reader) (decoder, error) {
	v, err := oggvorbis.NewReader(r)
	if err != nil {
		return nil, err
	}
	return &vorbis{v, make([]float32, 4096*max(v.Channels(), 1))}, nil
}

func (v *vorbis) shape() (rate, channels int) { return v.r.SampleRate(), v.r.Channels() }

func (v *vorbis) next() ([]float32, error) {
	n, err := v.r.Read(v.buf)
	return v.buf[:n], err
}
