//go:build !js

package engrave

import (
	"context"
	"encoding/binary"
	"fmt"
	"math/bits"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// host is what one run of the engraver sees of the world: its own read-only
// files, a fixed clock and a fixed source of numbers. Nothing of the machine.
type host struct {
	files map[string][2]uint32 // place and length in the engraver's memory
	open  map[uint32]*openFile
	dice  uint64
}

type openFile struct {
	data []byte
	at   int64
}

type hostKey struct{}

func newHost() *host {
	return &host{files: map[string][2]uint32{}, open: map[uint32]*openFile{}, dice: 7}
}

func withHost(ctx context.Context, h *host) context.Context {
	return context.WithValue(ctx, hostKey{}, h)
}

// hostFunc answers one call of the engraver. Arguments and result are as the
// module declares them; the result is ignored where it declares none.
type hostFunc func(h *host, m api.Memory, args []uint64) uint64

// The error numbers of the C library, negated as system calls return them.
const (
	errNoEntry = -2
	errBadFile = -9
	errInvalid = -22
	errNoTTY   = -59
	badFile    = 8 // the same in the numbering of the fd_ calls
	wasmPage   = 64 << 10
	firstFile  = 3 // after stdin, stdout and stderr
	maxOpen    = 64
)

func status(n int32) uint64 { return uint64(uint32(n)) }

// hostFunctions answers what the module may ask for, by full name. Functions
// the engraver links but does not need here answer "not available".
func hostFunctions() map[string]hostFunc {
	fail := func(code int32) hostFunc {
		return func(*host, api.Memory, []uint64) uint64 { return status(code) }
	}
	return map[string]hostFunc{
		"assert_fail":                       stop("failed assertion"),
		"abort_js":                          stop("abort"),
		"exit":                              stop("exit"),
		"emscripten_fs_load_embedded_files": loadFiles,
		"syscall_openat":                    openAt,
		"syscall_fcntl64":                   fail(0),
		"syscall_ioctl":                     fail(errNoTTY),
		"syscall_getdents64":                fail(0),
		"fd_read":                           fdRead,
		"fd_seek":                           fdSeek,
		"fd_close":                          fdClose,
		"fd_write":                          fdWrite,
		"environ_sizes_get":                 noEnvironment,
		"environ_get":                       fail(0),
		"random_get":                        random,
		"emscripten_date_now":               fail(0), // 1970, as a float: all bits zero
		"emscripten_resize_heap":            resizeHeap,
		"emscripten_asm_const_int":          fail(0), // log lines
		"localtime_js":                      zeroTime,
		"mktime_js":                         fail(0),
		"tzset_js":                          fail(0),
	}
}

// stop ends the run; the runtime turns the panic into an error of the call.
func stop(why string) hostFunc {
	return func(*host, api.Memory, []uint64) uint64 { panic(trap("the engraver gave up: " + why)) }
}

// instantiateHost gives the runtime a host module for every module name the engraver imports from.
func instantiateHost(ctx context.Context, r wazero.Runtime, module wazero.CompiledModule, n names) error {
	known := hostFunctions()
	builders := map[string]wazero.HostModuleBuilder{}
	var order []string
	for _, def := range module.ImportedFunctions() {
		from, short, _ := def.Import()
		f, ok := known[n.imported(short)]
		if !ok {
			return fmt.Errorf("the engraver asks for a function this program does not have: %s.%s", from, n.imported(short))
		}
		if builders[from] == nil {
			builders[from] = r.NewHostModuleBuilder(from)
			order = append(order, from)
		}
		builders[from].NewFunctionBuilder().
			WithGoModuleFunction(adapt(f, len(def.ResultTypes()) > 0), def.ParamTypes(), def.ResultTypes()).Export(short)
	}
	for _, name := range order {
		if _, err := builders[name].Instantiate(ctx); err != nil {
			return fmt.Errorf("host functions of the engraver: %w", err)
		}
	}
	return nil
}

func adapt(f hostFunc, answers bool) api.GoModuleFunc {
	return func(ctx context.Context, m api.Module, stack []uint64) {
		h, ok := ctx.Value(hostKey{}).(*host)
		if !ok {
			panic(trap("the engraver was called without its host"))
		}
		if n := f(h, m.Memory(), stack); answers {
			stack[0] = n
		}
	}
}

// need reads memory the engraver pointed at; a pointer outside is a trap.
func need(m api.Memory, at, n uint32) []byte {
	b, ok := m.Read(at, n)
	if !ok {
		panic(trap("the engraver pointed outside its memory"))
	}
	return b
}

func word(m api.Memory, at uint32) uint32 { return binary.LittleEndian.Uint32(need(m, at, 4)) }

func putWord(m api.Memory, at, v uint32) { binary.LittleEndian.PutUint32(need(m, at, 4), v) }

// text reads the zero-terminated text at a place.
func text(m api.Memory, at uint32) (string, bool) {
	const piece = 4096
	var out []byte
	for size := m.Size(); at < size; at += piece {
		b, _ := m.Read(at, min(piece, size-at))
		for i, c := range b {
			if c == 0 {
				return string(append(out, b[:i]...)), true
			}
		}
		out = append(out, b...)
	}
	return "", false
}

// loadFiles takes the files the module carries: triples of name, length and content.
func loadFiles(h *host, m api.Memory, args []uint64) uint64 {
	for at := uint32(args[0]); word(m, at) != 0; at += 12 {
		name, ok := text(m, word(m, at))
		if !ok {
			panic(trap("the engraver's own files are damaged"))
		}
		h.files[name] = [2]uint32{word(m, at+8), word(m, at+4)}
	}
	return 0
}

func openAt(h *host, m api.Memory, args []uint64) uint64 {
	name, ok := text(m, uint32(args[1]))
	if !ok {
		return status(errInvalid)
	}
	where, ok := h.files[name]
	if !ok {
		return status(errNoEntry)
	}
	for fd := uint32(firstFile); fd < maxOpen; fd++ {
		if h.open[fd] == nil {
			// The content is copied: the engraver's memory may move as it grows.
			h.open[fd] = &openFile{data: append([]byte(nil), need(m, where[0], where[1])...)}
			return uint64(fd)
		}
	}
	return status(errBadFile)
}

func fdRead(h *host, m api.Memory, args []uint64) uint64 {
	f := h.open[uint32(args[0])]
	if f == nil {
		return badFile
	}
	total := uint32(0)
	for i, at := uint32(0), uint32(args[1]); i < uint32(args[2]); i, at = i+1, at+8 {
		if f.at >= int64(len(f.data)) {
			break
		}
		n := copy(need(m, word(m, at), word(m, at+4)), f.data[f.at:])
		f.at += int64(n)
		total += uint32(n)
	}
	putWord(m, uint32(args[3]), total)
	return 0
}

func fdSeek(h *host, m api.Memory, args []uint64) uint64 {
	f := h.open[uint32(args[0])]
	if f == nil {
		return badFile
	}
	to := int64(args[1])
	switch uint32(args[2]) { // only the lower half of a 32-bit argument is set
	case 1:
		to += f.at
	case 2:
		to += int64(len(f.data))
	}
	if to < 0 {
		return 28 // invalid argument
	}
	f.at = to
	binary.LittleEndian.PutUint64(need(m, uint32(args[3]), 8), uint64(to))
	return 0
}

func fdClose(h *host, _ api.Memory, args []uint64) uint64 {
	delete(h.open, uint32(args[0]))
	return 0
}

// fdWrite swallows what the engraver prints.
func fdWrite(_ *host, m api.Memory, args []uint64) uint64 {
	total := uint32(0)
	for i, at := uint32(0), uint32(args[1]); i < uint32(args[2]); i, at = i+1, at+8 {
		total += word(m, at+4)
	}
	putWord(m, uint32(args[3]), total)
	return 0
}

func noEnvironment(_ *host, m api.Memory, args []uint64) uint64 {
	putWord(m, uint32(args[0]), 0)
	putWord(m, uint32(args[1]), 0)
	return 0
}

// random is a fixed sequence: the same score is engraved the same way every time.
func random(h *host, m api.Memory, args []uint64) uint64 {
	for i, b := 0, need(m, uint32(args[0]), uint32(args[1])); i < len(b); i++ {
		h.dice = bits.RotateLeft64(h.dice*6364136223846793005+1442695040888963407, 9)
		b[i] = byte(h.dice >> 32)
	}
	return 0
}

func zeroTime(_ *host, m api.Memory, args []uint64) uint64 {
	clear(need(m, uint32(args[1]), 44)) // struct tm
	return 0
}

func resizeHeap(_ *host, m api.Memory, args []uint64) uint64 {
	want := uint64(uint32(args[0]))
	have := uint64(m.Size())
	if want <= have {
		return 1
	}
	ask := max(want, have+have/5) // a little more than asked, so that growing stays rare
	for _, size := range []uint64{ask, want} {
		if _, ok := m.Grow(uint32((size - have + wasmPage - 1) / wasmPage)); ok {
			return 1
		}
	}
	return 0
}
