package sound

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
)

// decoder gives frames of interleaved samples, full scale 1, until io.EOF.
type decoder interface {
	shape() (rate, channels int)
	next() ([]float32, error)
}

// otherFormat is what to do about a file that is not read.
const otherFormat = "hairpin reads MIDI, WAV, FLAC, MP3 and Ogg Vorbis files"

// Read reads a recording. It returns an [Error] for what cannot be used.
func Read(r io.Reader, limits Limits) (s *Sound, err error) {
	in := bufio.NewReaderSize(&bounded{r, limits.Bytes}, 1<<16)
	head, _ := in.Peek(64)
	format, start := sniff(head)
	if start == nil {
		return nil, unknown(head)
	}
	defer func() { // the decoders are not proof against every broken file
		if p := recover(); p != nil {
			s, err = nil, broken(format, errors.New("its data are damaged"))
		}
	}()
	d, err := start(in)
	if err != nil {
		return nil, broken(format, err)
	}
	s, err = gather(d, limits)
	if err != nil {
		return nil, broken(format, err)
	}
	s.Format = format
	return s, silent(s)
}

// sniff tells the format by a file's first bytes.
func sniff(head []byte) (format string, start func(*bufio.Reader) (decoder, error)) {
	is := func(at int, magic string) bool {
		return len(head) >= at+len(magic) && string(head[at:at+len(magic)]) == magic
	}
	switch {
	case (is(0, "RIFF") || is(0, "RF64")) && is(8, "WAVE"):
		return "WAV", startWAV
	case is(0, "fLaC"):
		return "FLAC", startFLAC
	case is(0, "OggS") && bytes.Contains(head, []byte("vorbis")):
		return "Ogg Vorbis", startVorbis
	case is(0, "ID3"), len(head) > 2 && head[0] == 0xff && head[1]&0xe0 == 0xe0 && head[1]&0x06 == 0x02:
		return "MP3", startMP3
	}
	return "", nil
}

// unknown names a few files people try.
func unknown(head []byte) error {
	at := func(i int, magic string) bool { return len(head) > i && bytes.HasPrefix(head[i:], []byte(magic)) }
	text := "not a sound that can be read"
	switch {
	case len(head) == 0:
		return &Error{"the file is empty", "record again"}
	case at(0, "OggS"):
		text = "an Ogg file, but not of Vorbis sound"
	case at(4, "ftyp"):
		text = "an MPEG-4 file, which cannot be read"
	case at(0, "\x1aE\xdf\xa3"):
		text = "a WebM or Matroska file, which cannot be read"
	}
	return &Error{text, otherFormat + "; save it as WAV first"}
}

// broken is the error of a file of a known format.
func broken(format string, err error) error {
	var own *Error
	if errors.As(err, &own) {
		return err
	}
	return &Error{fmt.Sprintf("not a %s file that can be read: %v", format, err), "save it as WAV again"}
}

// gather mixes the channels and changes the rate.
func gather(d decoder, limits Limits) (*Sound, error) {
	rate, channels := d.shape()
	if rate < 4000 || rate > 768000 || channels < 1 || channels > 64 {
		return nil, &Error{fmt.Sprintf("%d channels at %d samples a second cannot be read", channels, rate), "save it as WAV with 44100 samples a second"}
	}
	c, cut := newConverter(rate), 0
	most := int(limits.Seconds * Rate)
	for {
		frames, err := d.next()
		cut += cutOff(frames) // of several channels in turn: three in a row are the same moment
		c.take(mono(frames, channels))
		if len(c.out) > most {
			return nil, &Error{fmt.Sprintf("longer than %.0f minutes", limits.Seconds/60), "cut it into shorter takes"}
		}
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
	}
	c.finish()
	return &Sound{Samples: c.out, Rate: rate, cut: cut}, nil
}

// mono is the mean of the channels; what is no number is silence.
func mono(frames []float32, channels int) []float32 {
	out := frames[:0]
	for i := 0; i+channels <= len(frames); i += channels {
		sum := float32(0)
		for _, x := range frames[i : i+channels] {
			sum += x
		}
		if sum /= float32(channels); sum != sum || math.Abs(float64(sum)) > 64 {
			sum = 0
		}
		out = append(out, sum)
	}
	return out
}

// The least that counts as sound: a tenth of a second of it, its strongest 50 ms
// above -70 dB.
const (
	leastSeconds = 0.1
	leastPower   = 1e-7
)

func silent(s *Sound) error {
	if s.Seconds() < leastSeconds {
		return &Error{"there is no sound in it", "record again"}
	}
	const long = Rate / 20
	top, sum := 0.0, 0.0
	for i, x := range s.Samples {
		sum += float64(x) * float64(x)
		if i >= long {
			y := float64(s.Samples[i-long])
			sum -= y * y
		}
		top = max(top, sum/long)
	}
	if top < leastPower {
		return &Error{"it is silent", "check the microphone and its level, and record again"}
	}
	return nil
}

// bounded fails once more than so many bytes were read.
type bounded struct {
	r    io.Reader
	left int64
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, &Error{"the file is too large", "cut it into shorter takes"}
	}
	if int64(len(p)) > b.left {
		p = p[:b.left]
	}
	n, err := b.r.Read(p)
	b.left -= int64(n)
	return n, err
}
