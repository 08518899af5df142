package hairpin_test

import (
	"bytes"
	"os"
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"hairpin/musicxml"
	"hairpin/performance"
	tape "hairpin/performance/sound"
	"hairpin/report"
	"hairpin/report/sound"
	"hairpin/report/take"
	"hairpin/tools/scoregen"
)

// What a take of five minutes may cost: processor time as a share of its length, and
// the most memory at once, in megabytes.
const (
	mostOfLength = 0.10
	mostHeld     = 500
)

// fiveMinutes is a reading of an invented piece and a recording of it as a WAV file.
func fiveMinutes(t testing.TB) (*report.Reading, []byte) {
	t.Helper()
	r, err := report.New(&musicxml.File{Name: "invention.musicxml", Score: scoregen.Piano(115, 1)}, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := sound.WriteWAV(&b, r, sound.Listening{Level: sound.ShapedLevel}); err != nil {
		t.Fatal(err)
	}
	return r, b.Bytes()
}

// followed reads a recording, follows it and tells of it; seconds are its length.
func followed(t testing.TB, r *report.Reading, recording []byte) (seconds float64) {
	t.Helper()
	k, err := performance.Read(bytes.NewReader(recording), "take.wav", tape.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	p, err := performance.Follow(r.Score, k)
	if err != nil {
		t.Fatal(err)
	}
	take.New(r, []*performance.Playing{p})
	return k.Seconds()
}

// held watches the memory that the process holds; stop gives the most, in megabytes.
func held() (stop func() float64) {
	var most atomic.Uint64
	done := make(chan struct{})
	look := func() {
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		most.Store(max(most.Load(), m.Sys-m.HeapReleased))
	}
	go func() {
		for {
			select {
			case <-done:
				return
			case <-time.After(20 * time.Millisecond):
				look()
			}
		}
	}()
	return func() float64 {
		close(done)
		look()
		return float64(most.Load()) / (1 << 20)
	}
}

// BenchmarkTake says what following a take of five minutes costs: processor time by
// its length, and the most memory held, the recording and the program included.
func BenchmarkTake(b *testing.B) {
	r, recording := fiveMinutes(b)
	stop, before, seconds := held(), processorTime(), 0.0
	for b.Loop() {
		seconds += followed(b, r, recording)
	}
	b.ReportMetric((processorTime()-before).Seconds()/seconds, "of-its-length")
	b.ReportMetric(seconds/float64(b.N), "seconds-of-sound")
	b.ReportMetric(stop(), "MB-held")
}

// The bounds are kept; it takes half a minute, so only where it is asked for.
func TestTakeKeepsItsBounds(t *testing.T) {
	if os.Getenv("HAIRPIN_TAKE") == "" {
		t.Skip("set HAIRPIN_TAKE=1 to measure a take of five minutes")
	}
	r, recording := fiveMinutes(t)
	stop, before := held(), processorTime()
	seconds := followed(t, r, recording)
	share, most := (processorTime()-before).Seconds()/seconds, stop()
	t.Logf("%.0f s of sound: %.1f %% of its length, %.0f MB", seconds, 100*share, most)
	if seconds < 280 || share > mostOfLength || most > mostHeld {
		t.Errorf("%.0f s of sound took %.1f %% of its length and %.0f MB, want at most %v %% and %v MB", seconds, 100*share, most, 100*mostOfLength, mostHeld)
	}
}
