package performance_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"hairpin/performance"
	"hairpin/performance/sound"
)

// midiPromises are MIDI files of a hundred bytes or less that speak of gigabytes.
func midiPromises() map[string]string {
	const head = "MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x60"
	return map[string]string{
		"a track of 4 GB":       head + "MTrk\xff\xff\xff\xf0\x00\x90\x40\x40",
		"a head of 4 GB":        "MThd\xff\xff\xff\xf0\x00\x01\x00\x01\x00\x60" + strings.Repeat("\x00", 60),
		"a message of 256 MB":   head + "MTrk\x00\x00\x00\x0a\x00\xf0\xff\xff\xff\x7f\x00\x00\x00\x00",
		"words of 256 MB":       head + "MTrk\x00\x00\x00\x0a\x00\xff\x01\xff\xff\xff\x7f\x00\x00\x00",
		"65535 tracks":          "MThd\x00\x00\x00\x06\x00\x01\xff\xff\x00\x60MTrk\x00\x00\x00\x04\x00\xff\x2f\x00",
		"a note after 40 years": head + "MTrk\x00\x00\x00\x14\x00\x90\x40\x40\xff\xff\xff\x7f\x90\x42\x40\xff\xff\xff\x7f\xff\x2f\x00\x00",
	}
}

func allocated(run func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	run()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

func TestMIDIPromiseOfGigabytesIsRefused(t *testing.T) {
	for name, data := range midiPromises() {
		t.Run(name, func(t *testing.T) {
			var err error
			used := allocated(func() { _, err = performance.Read(strings.NewReader(data), "take.mid", sound.DefaultLimits()) })
			var known *sound.Error
			if !errors.As(err, &known) || strings.Contains(err.Error(), "\n") || !strings.HasPrefix(err.Error(), "take.mid: ") || known.Hint == "" {
				t.Errorf("got %v, want one line and what to do", err)
			}
			if used > 8<<20 {
				t.Errorf("%d bytes cost %d MB", len(data), used>>20)
			}
		})
	}
}

// FuzzRead: no file of either kind breaks the door or costs more memory than is in
// proportion to it.
func FuzzRead(f *testing.F) {
	for _, data := range midiPromises() {
		f.Add([]byte(data))
	}
	files, _ := filepath.Glob("sound/testdata/tone.*")
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		data = data[:min(len(data), 1<<16)]
		used := allocated(func() {
			performance.Read(bytes.NewReader(data), "take", sound.Limits{Bytes: 1 << 16, Seconds: 5})
		})
		if used > 64<<20 {
			t.Errorf("%d bytes cost %d MB", len(data), used>>20)
		}
	})
}
