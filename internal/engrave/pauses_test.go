//go:build !js

package engrave

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"runtime"
	"testing"
	"time"

	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"

	"hairpin/musicxml"
	"hairpin/tools/scoregen"
)

func piano(t *testing.T, measures int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := musicxml.Write(&b, scoregen.Piano(measures, 1)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The garbage collector has to stop everything for a moment: it must not wait
// for the end of an engraving, nor may a context that has ended.
func TestPauses(t *testing.T) {
	if os.Getenv("HAIRPIN_UPDATE") != "" {
		choosePauses(t)
	}
	const most = time.Second // on a machine with much else to do; without pauses it is all of the time
	e := engraver(t)
	ctx, stop := context.WithCancel(t.Context())
	score, drawn := piano(t, 1500), make(chan error, 1)
	go func() {
		_, err := e.Engrave(ctx, score, desk)
		drawn <- err
	}()
	var worst time.Duration
	for end := time.Now().Add(3 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		start := time.Now()
		runtime.GC()
		worst = max(worst, time.Since(start))
	}
	start := time.Now()
	stop()
	if err := <-drawn; err == nil {
		t.Error("it was done before it was stopped; take a longer score")
	}
	if took := time.Since(start); worst > most || took > most {
		t.Errorf("the garbage collector waited %s, the end came after %s", worst, took)
	}
}

// A repeat that would be taken two thousand million times keeps the engraver
// busy without end; it is stopped in time.
func TestPausesInALoop(t *testing.T) {
	score := bytes.Replace(piano(t, 4), []byte("</measure>\n  </part>"), []byte(`<barline location="right"><repeat direction="backward" times="2000000000"/></barline></measure></part>`), 1)
	if !bytes.Contains(score, []byte("times")) {
		t.Fatal("the score has no repeat")
	}
	ctx, stop := context.WithTimeout(t.Context(), time.Second)
	defer stop()
	start := time.Now()
	engraver(t).Engrave(ctx, score, desk) // drawn or stopped, as the engraver likes
	if took := time.Since(start); took > 3*time.Second {
		t.Errorf("stopped only after %s", took)
	}
}

// calls counts the calls of each function.
type calls map[uint32]int

func (c calls) Before(_ context.Context, _ api.Module, f api.FunctionDefinition, _ []uint64, _ experimental.StackIterator) {
	c[f.Index()]++
}
func (c calls) After(context.Context, api.Module, api.FunctionDefinition, []uint64) {}
func (c calls) Abort(context.Context, api.Module, api.FunctionDefinition, error)    {}

// choosePauses writes the list of pauses for the engraver inside.
func choosePauses(t *testing.T) {
	t.Helper()
	c := calls{}
	e, err := New(t.Context(), Options{CacheDir: "none", Timeout: time.Hour, calls: c})
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close(context.Background())
	if _, err := e.Engrave(t.Context(), piano(t, pauseMeasures), desk); err != nil {
		t.Fatal(err)
	}
	m := e.machine.(*inside)
	list := []uint32{m.compiled.ExportedFunctions()[m.names.export("malloc")].Index()}
	for i := range uint32(1 << 16) {
		if leastPauses <= c[i] && c[i] <= mostPauses {
			list = append(list, i)
		}
	}
	data, err := json.Marshal(list)
	if err == nil {
		err = os.WriteFile("vendored/pauses.json", append(data, '\n'), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
}
