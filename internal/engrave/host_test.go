//go:build !js

package engrave

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"maps"
	"os"
	"slices"
	"testing"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// piece is bytes or words of a memory.
type piece struct {
	At    uint32
	Bytes []byte8
	Words []uint32
}

type byte8 int // JSON has no bytes but numbers

func (p piece) data() (out []byte) {
	for _, b := range p.Bytes {
		out = append(out, byte(b))
	}
	for _, w := range p.Words {
		out = binary.LittleEndian.AppendUint32(out, w)
	}
	return out
}

// The engraver has two hosts, this one and web/src/calls.ts: one table holds both.
func TestTheEngraverIsAnsweredAsInTheBrowser(t *testing.T) {
	var table struct {
		Pages     uint32
		Functions []string
		Steps     []struct {
			Call        string
			Args        []int64
			First, Then []piece
			Result      *uint32
			Ends        bool
			Long        *int
		}
	}
	data, err := os.ReadFile("testdata/host.json")
	if err == nil {
		err = json.Unmarshal(data, &table)
	}
	if err != nil {
		t.Fatal(err)
	}
	functions, h, m := hostFunctions(), newHost(), onePage(t, table.Pages)
	if names := slices.Sorted(maps.Keys(functions)); !slices.Equal(names, table.Functions) {
		t.Fatalf("the functions are %v, those of the table %v", names, table.Functions)
	}
	for i, s := range table.Steps {
		for _, p := range s.First {
			m.Write(p.At, p.data())
		}
		args := make([]uint64, len(s.Args))
		for k, a := range s.Args {
			args[k] = uint64(a)
		}
		result, ended := answer(functions[s.Call], h, m, args)
		if ended != s.Ends {
			t.Errorf("step %d, %s: ended %v", i, s.Call, ended)
		}
		if s.Result != nil && result != *s.Result {
			t.Errorf("step %d, %s%v: %d, not %d", i, s.Call, s.Args, result, *s.Result)
		}
		for _, p := range s.Then {
			if got, _ := m.Read(p.At, uint32(len(p.data()))); !bytes.Equal(got, p.data()) {
				t.Errorf("step %d, %s: memory at %d is %v, not %v", i, s.Call, p.At, got, p.data())
			}
		}
	}
}

// answer calls a function of the host; ended tells that it ended the run.
func answer(f hostFunc, h *host, m api.Memory, args []uint64) (result uint32, ended bool) {
	defer func() { ended = recover() != nil }()
	return uint32(f(h, m, args)), false
}

// onePage is the memory of a module that has nothing else: one page that may grow.
func onePage(t *testing.T, most uint32) api.Memory {
	t.Helper()
	ctx := context.Background()
	r := wazero.NewRuntimeWithConfig(ctx, wazero.NewRuntimeConfigInterpreter().WithMemoryLimitPages(most))
	t.Cleanup(func() { r.Close(ctx) })
	module := []byte("\x00asm\x01\x00\x00\x00" + "\x05\x03\x01\x00\x01" + "\x07\x0a\x01\x06memory\x02\x00")
	inst, err := r.Instantiate(ctx, module)
	if err != nil {
		t.Fatal(err)
	}
	return inst.Memory()
}
