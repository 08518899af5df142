package sound_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"os"
	"runtime"
	"strings"
	"testing"

	"hairpin/performance/sound"
)

// allocated is how many bytes a reading took from memory, given back or not.
func allocated(run func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	run()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// be and le are 32 bits, high or low byte first.
func be(v uint32) string { return string(binary.BigEndian.AppendUint32(nil, v)) }
func le(v uint32) string { return string(binary.LittleEndian.AppendUint32(nil, v)) }

// flacBlock is a block of a FLAC file's head (RFC 9639): its kind, its length of 24
// bits, and less of it than that.
func flacBlock(kind byte, length int, body string) string {
	return string([]byte{kind, byte(length >> 16), byte(length >> 8), byte(length)}) + body
}

// streamInfo is FLAC's first block: 4096 samples a frame, 44100 a second, 16 bits,
// 2^36-1 samples.
func streamInfo(last bool) string {
	kind := byte(0)
	if last {
		kind = 0x80
	}
	return flacBlock(kind, 34, "\x10\x00\x10\x00\x00\x00\x00\x00\x00\x00\x0a\xc4\x42\xff\xff\xff\xff\xff"+strings.Repeat("\x00", 16))
}

// oggPage is a page of an Ogg file (RFC 3533) of one packet, without a right sum.
func oggPage(flags byte, packet string) string {
	var lacing []byte
	n := len(packet)
	for ; n >= 255; n -= 255 {
		lacing = append(lacing, 255)
	}
	lacing = append(lacing, byte(n))
	return "OggS\x00" + string(flags) + strings.Repeat("\x00", 8) + le(1) + le(0) + le(0) + string(byte(len(lacing))) + string(lacing) + packet
}

// vorbisStart is the first packet of Vorbis sound (Xiph.Org 2004, "Vorbis I
// specification").
const vorbisStart = "\x01vorbis\x00\x00\x00\x00\x02\x44\xac\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\xb8\x01"

// promises are heads of a hundred bytes or so that speak of gigabytes.
func promises() map[string]string {
	return map[string]string{
		"a WAV file of 4 GB":              "RIFF\xff\xff\xff\xffWAVE" + string(chunk("fmt ", format(1, 2, 44100, 16))) + "data\xf0\xff\xff\xff" + strings.Repeat("\x00", 40),
		"a WAV file of 255 wide samples":  "RIFF\xff\xff\xff\xffWAVE" + string(chunk("fmt ", format(1, 65535, 44100, 32))) + "data\xf0\xff\xff\xff" + strings.Repeat("\x00", 40),
		"a WAV file with a chunk of 4 GB": "RIFF\xff\xff\xff\xffWAVELIST\xf0\xff\xff\xff" + strings.Repeat("\x00", 60),
		"an RF64 file":                    "RF64\xff\xff\xff\xffWAVEds64\x1c\x00\x00\x00" + strings.Repeat("\xff", 28) + string(chunk("fmt ", format(1, 1, 44100, 16))) + "data\xff\xff\xff\xff\x00\x00",
		"a FLAC file of 2^36 samples":     "fLaC" + streamInfo(true) + strings.Repeat("\x00", 40),
		"a FLAC file with words of 4 GB":  "fLaC" + streamInfo(false) + flacBlock(0x84, 40, le(0xf0000000)+strings.Repeat("x", 36)),
		"a FLAC file with 4 G words":      "fLaC" + streamInfo(false) + flacBlock(0x84, 40, le(0)+le(0xf0000000)+strings.Repeat("x", 32)),
		"a FLAC file with a picture":      "fLaC" + streamInfo(false) + flacBlock(0x86, 0xfffff0, be(3)+be(0xf0000000)+strings.Repeat("x", 32)),
		"a FLAC file with a cue sheet":    "fLaC" + streamInfo(false) + flacBlock(0x85, 0xfffff0, strings.Repeat("\xff", 60)),
		"a FLAC file with seek points":    "fLaC" + streamInfo(false) + flacBlock(0x83, 0xfffff0, strings.Repeat("\x01", 60)),
		"an Ogg file with words of 4 GB":  oggPage(2, vorbisStart) + oggPage(0, "\x03vorbis"+le(0xf0000000)+strings.Repeat("x", 36)),
		"an Ogg file with 4 G words":      oggPage(2, vorbisStart) + oggPage(0, "\x03vorbis"+le(0)+le(0xf0000000)+strings.Repeat("x", 36)),
		"an MP3 file after 256 MB":        "ID3\x04\x00\x00\x7f\x7f\x7f\x7f" + strings.Repeat("\x00", 90),
	}
}

// A small head that promises gigabytes is refused in one line, and costs little memory.
func TestPromiseOfGigabytesIsRefused(t *testing.T) {
	for name, head := range promises() {
		t.Run(name, func(t *testing.T) {
			var err error
			used := allocated(func() { _, err = sound.Read(strings.NewReader(head), sound.DefaultLimits()) })
			var known *sound.Error
			if !errors.As(err, &known) || strings.Contains(err.Error(), "\n") || known.Hint == "" {
				t.Errorf("got %v, want one line and what to do", err)
			}
			if used > 8<<20 {
				t.Errorf("%d bytes cost %d MB", len(head), used>>20)
			}
		})
	}
}

// Whatever a file says, reading it costs memory in proportion to it.
func FuzzMemory(f *testing.F) {
	for _, head := range promises() {
		f.Add([]byte(head))
	}
	for _, name := range []string{"tone.mp3", "tone.ogg"} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		data = data[:min(len(data), 1<<16)]
		used := allocated(func() {
			sound.Read(io.LimitReader(bytes.NewReader(data), 1<<16), sound.Limits{Bytes: 1 << 16, Seconds: 5})
		})
		if used > 64<<20 {
			t.Errorf("%d bytes cost %d MB", len(data), used>>20)
		}
	})
}

// A tag before the sound, with a foot, changes nothing of what is heard.
func TestReadMP3AfterATag(t *testing.T) {
	data, err := os.ReadFile("testdata/tone.mp3")
	if err != nil {
		t.Fatal(err)
	}
	bare := data[max(bytes.Index(data, []byte{0xff, 0xfb}), 0):]
	want, err := sound.Read(bytes.NewReader(bare), sound.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	tag := "ID3\x04\x00\x10\x00\x00\x01\x0a" + strings.Repeat("\xff", 138) + "3DI\x04\x00\x10\x00\x00\x01\x0a"
	got, err := sound.Read(strings.NewReader(tag+string(bare)), sound.DefaultLimits())
	if err != nil || len(got.Samples) != len(want.Samples) {
		t.Errorf("%v, want %d samples", err, len(want.Samples))
	}
}
