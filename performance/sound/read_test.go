package sound_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
	"github.com/mewkiz/flac/meta"

	"hairpin/performance/sound"
)

// tone is a sine of 440 Hz at half of full scale.
func tone(i, rate int) float64 { return 0.5 * math.Sin(2*math.Pi*440*float64(i)/float64(rate)) }

// chunk is a RIFF chunk.
func chunk(id string, data []byte) []byte {
	out := binary.LittleEndian.AppendUint32([]byte(id), uint32(len(data)))
	if out = append(out, data...); len(data)%2 == 1 {
		out = append(out, 0)
	}
	return out
}

// wav is a WAV file with a chunk before the samples that readers must pass over.
func wav(format []byte, data []byte) []byte {
	body := append([]byte("WAVE"), chunk("LIST", []byte("odd"))...)
	body = append(append(body, chunk("fmt ", format)...), chunk("data", data)...)
	return chunk("RIFF", body)
}

// format is the chunk that says what a sample is.
func format(code, channels, rate, bits int) []byte {
	b := binary.LittleEndian.AppendUint16(nil, uint16(code))
	b = binary.LittleEndian.AppendUint16(b, uint16(channels))
	b = binary.LittleEndian.AppendUint32(b, uint32(rate))
	b = binary.LittleEndian.AppendUint32(b, uint32(rate*channels*bits/8))
	b = binary.LittleEndian.AppendUint16(b, uint16(channels*bits/8))
	return binary.LittleEndian.AppendUint16(b, uint16(bits))
}

// extensible is the longer form of a format of PCM samples.
func extensible(channels, rate, bits int) []byte {
	b := append(format(0xfffe, channels, rate, bits), 22, 0, byte(bits), 0, 0, 0, 0, 0)
	return append(b, 1, 0, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71)
}

// sample writes one sample as the format wants it.
func sample(b []byte, x float64, bits int, float bool) []byte {
	switch {
	case float && bits == 64:
		return binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
	case float:
		return binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(x)))
	case bits == 8:
		return append(b, byte(math.Round(x*128)+128))
	}
	v := int64(math.Round(x * math.Pow(2, float64(bits-1))))
	for i := range bits / 8 {
		b = append(b, byte(v>>(8*i)))
	}
	return b
}

func tones(rate, channels, bits int, float bool) (b []byte) {
	for i := range rate / 2 {
		for range channels {
			b = sample(b, tone(i, rate), bits, float)
		}
	}
	return b
}

// checkTone fails unless a sound is the tone, rate changed, within an error.
func checkTone(t *testing.T, s *sound.Sound, seconds, within float64) {
	t.Helper()
	if math.Abs(s.Seconds()-seconds) > 0.002 {
		t.Fatalf("%v seconds, want %v", s.Seconds(), seconds)
	}
	for i := sound.Rate / 10; i < len(s.Samples)-sound.Rate/10; i++ {
		if d := math.Abs(float64(s.Samples[i]) - tone(i, sound.Rate)); d > within {
			t.Fatalf("sample %d is %v off", i, d)
		}
	}
}

func TestReadWAV(t *testing.T) {
	tests := []struct {
		name           string
		rate, channels int
		bits           int
		float          bool
		long           bool
	}{
		{"8 bit", 22050, 1, 8, false, false},
		{"16 bit", 44100, 2, 16, false, false},
		{"24 bit", 48000, 2, 24, false, true},
		{"32 bit", 22050, 1, 32, false, false},
		{"32 bit float", 44100, 1, 32, true, false},
		{"64 bit float", 96000, 3, 64, true, false},
		{"telephone", 8000, 1, 16, false, false},
	}
	for _, x := range tests {
		t.Run(x.name, func(t *testing.T) {
			code := 1
			if x.float {
				code = 3
			}
			head := format(code, x.channels, x.rate, x.bits)
			if x.long {
				head = extensible(x.channels, x.rate, x.bits)
			}
			s, err := sound.Read(bytes.NewReader(wav(head, tones(x.rate, x.channels, x.bits, x.float))), sound.DefaultLimits())
			if err != nil {
				t.Fatal(err)
			}
			checkTone(t, s, 0.5, 0.01)
		})
	}
}

func TestReadFLAC(t *testing.T) {
	const rate, size = 22050, 4410
	var b bytes.Buffer
	enc, err := flac.NewEncoder(&b, &meta.StreamInfo{BlockSizeMin: size, BlockSizeMax: size, SampleRate: rate, NChannels: 1, BitsPerSample: 16})
	if err != nil {
		t.Fatal(err)
	}
	for block := range 3 {
		list := make([]int32, size)
		for i := range list {
			list[i] = int32(math.Round(32768 * tone(block*size+i, rate)))
		}
		f := &frame.Frame{
			Header:    frame.Header{HasFixedBlockSize: true, BlockSize: size, SampleRate: rate, Channels: frame.ChannelsMono, BitsPerSample: 16, Num: uint64(block)},
			Subframes: []*frame.Subframe{{SubHeader: frame.SubHeader{Pred: frame.PredVerbatim}, Samples: list, NSamples: size}},
		}
		if err := enc.WriteFrame(f); err != nil {
			t.Fatal(err)
		}
	}
	if err := enc.Close(); err != nil {
		t.Fatal(err)
	}
	s, err := sound.Read(&b, sound.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	checkTone(t, s, 0.6, 0.001)
}

// Lossy sound need only be as loud and as high as the tone: a half of full scale is
// 3 dB below it in power, and 440 Hz cross zero 880 times a second.
func TestReadLossy(t *testing.T) {
	for _, name := range []string{"tone.mp3", "tone.ogg"} {
		file, err := os.Open("testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		s, err := sound.Read(file, sound.DefaultLimits())
		if err != nil {
			t.Fatal(name, err)
		}
		middle := s.Samples[len(s.Samples)/4 : len(s.Samples)/4+sound.Rate/5]
		power, crossings := 0.0, 0
		for i, x := range middle {
			power += float64(x*x) / float64(len(middle))
			if i > 0 && (x < 0) != (middle[i-1] < 0) {
				crossings++
			}
		}
		if math.Abs(power-0.125) > 0.02 || crossings < 174 || crossings > 178 {
			t.Errorf("%s: power %v, %d crossings in a fifth of a second", name, power, crossings)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	good := wav(format(1, 1, 22050, 16), tones(22050, 1, 16, false))
	silence := wav(format(1, 1, 22050, 16), make([]byte, 44100))
	tests := []struct {
		name   string
		data   []byte
		limits sound.Limits
		want   string
	}{
		{"nothing", nil, sound.DefaultLimits(), "the file is empty"},
		{"text", []byte(strings.Repeat("Dear diary, ", 20)), sound.DefaultLimits(), "not a sound"},
		{"an MPEG-4 file", []byte("\x00\x00\x00\x20ftypM4A "), sound.DefaultLimits(), "MPEG-4"},
		{"silence", silence, sound.DefaultLimits(), "it is silent"},
		{"no samples", wav(format(1, 1, 22050, 16), nil), sound.DefaultLimits(), "there is no sound in it"},
		{"µ-law", wav(format(7, 1, 8000, 8), make([]byte, 100)), sound.DefaultLimits(), "format 7"},
		{"no channels", wav(format(1, 0, 22050, 16), make([]byte, 100)), sound.DefaultLimits(), "cannot be read"},
		{"cut short in its head", good[:30], sound.DefaultLimits(), "not a WAV file that can be read"},
		{"a broken FLAC file", []byte("fLaC\x00\x00\x00\x22garbage"), sound.DefaultLimits(), "not a FLAC file"},
		{"too long", good, sound.Limits{Bytes: 1 << 20, Seconds: 0.2}, "longer than"},
		{"too large", good, sound.Limits{Bytes: 1000, Seconds: 60}, "too large"},
	}
	for _, x := range tests {
		t.Run(x.name, func(t *testing.T) {
			_, err := sound.Read(bytes.NewReader(x.data), x.limits)
			var known *sound.Error
			if !errors.As(err, &known) || !strings.Contains(err.Error(), x.want) || strings.Contains(err.Error(), "\n") {
				t.Errorf("got %v, want one line with %q", err, x.want)
			}
			if known != nil && known.Hint == "" {
				t.Error("it does not say what to do")
			}
		})
	}
}

// A recording that a crash cut short is read as far as it goes.
func TestReadCutShort(t *testing.T) {
	data := wav(format(1, 1, 22050, 16), tones(22050, 1, 16, false))
	s, err := sound.Read(bytes.NewReader(data[:len(data)*4/5]), sound.DefaultLimits())
	if err != nil || s.Seconds() < 0.35 {
		t.Errorf("%v seconds, %v", s, err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(wav(format(1, 2, 44100, 16), make([]byte, 400)))
	f.Add(wav(extensible(1, 48000, 24), make([]byte, 90)))
	for _, name := range []string{"tone.mp3", "tone.ogg"} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := sound.Read(io.LimitReader(bytes.NewReader(data), 1<<16), sound.Limits{Bytes: 1 << 16, Seconds: 5})
		if err == nil && len(s.Samples) == 0 {
			t.Error("no error and no sound")
		}
	})
}
