// Package engrave draws a score as SVG, one picture per system, and says where
// its measures and notes stand, so that curves can be drawn exactly under them.
//
// Start at [New] and [Engraver.Engrave]. The drawing itself is done by the
// engraver library described in vendored/NOTICE, carried as WebAssembly and run
// inside this process: no other program, no network, no file but the compile
// cache. It may be replaced, see [Options.Module].
//
// # Conventions
//
// Coordinates are in the units of the system's own viewBox, x to the right, y
// down, the origin at its upper left corner. A stave space is 18 units at scale
// 100. Measures are counted from 0 as [score.Measures]; notes by their place
// among the source's note elements, rests included, in document order over the
// whole file, as [score.Note.Source]. Onsets are quarter notes from the start of
// the measure as written.
package engrave

import (
	"bytes"
	"compress/gzip"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/experimental"
)

//go:embed vendored/engraver.wasm.gz
var builtinModule []byte

//go:embed vendored/names.json
var builtinNames []byte

// Options says how an engraver works. The zero value is right for most.
type Options struct {
	// Module is the path of another build of the engraver library to use
	// instead of the one inside, .wasm or .wasm.gz. If its exports and imports
	// are shortened, the table of its names stands beside it with the ending
	// .names.json; vendor.mjs makes both. Empty: the one inside.
	Module string
	// CacheDir keeps the compiled engraver between runs. Empty: "hairpin" in
	// the user's cache directory. "none", or a directory that cannot be
	// written: memory only.
	CacheDir string
	// Timeout ends the engraving of one layout; 0 is 60 s.
	Timeout time.Duration
	// MemoryMB bounds the memory of one run; 0 is 1024. It needs at least 128.
	MemoryMB int
	// MaxNotes bounds the size of a score; 0 is 100,000 note elements.
	MaxNotes int
	// Parallel is how many scores are engraved at once, others wait; 0 is 2.
	Parallel int

	calls experimental.FunctionListener // in tests: told of every call, instead of pauses
}

func (o Options) withDefaults() Options {
	if o.Timeout == 0 {
		o.Timeout = 60 * time.Second
	}
	if o.MemoryMB == 0 {
		o.MemoryMB = 1024
	}
	if o.MaxNotes == 0 {
		o.MaxNotes = 100_000
	}
	if o.Parallel == 0 {
		o.Parallel = 2
	}
	return o
}

// Engraver engraves scores. It may be used by several goroutines at once.
type Engraver struct {
	options  Options
	names    names
	runtime  wazero.Runtime
	compiled wazero.CompiledModule
	cache    wazero.CompilationCache
	slots    chan struct{}
}

// New readies an engraver: the first time it compiles for one to three
// seconds, later it reads the compiled form from the cache. Close it after use.
func New(ctx context.Context, options Options) (*Engraver, error) {
	options = options.withDefaults()
	code, table, err := module(options.Module)
	if err != nil {
		return nil, err
	}
	e := &Engraver{options: options, names: table, cache: compileCache(options.CacheDir), slots: make(chan struct{}, options.Parallel)}
	config := wazero.NewRuntimeConfig().
		WithMemoryLimitPages(uint32(options.MemoryMB) * (1 << 20 / wasmPage)).WithCompilationCache(e.cache)
	compiling, config, err := pausing(ctx, config, options)
	if err != nil {
		return nil, err
	}
	e.runtime = wazero.NewRuntimeWithConfig(ctx, config)
	if e.compiled, err = e.runtime.CompileModule(compiling, code); err == nil {
		err = instantiateHost(ctx, e.runtime, e.compiled, e.names)
	}
	if err != nil {
		e.Close(ctx)
		return nil, fmt.Errorf("prepare the engraver: %w", firstCause(err))
	}
	return e, nil
}

// Close frees what the engraver holds; the cache on disk stays.
func (e *Engraver) Close(ctx context.Context) error {
	return errors.Join(e.runtime.Close(ctx), e.cache.Close(ctx))
}

// module reads the engraver's code and its table of names.
func module(path string) ([]byte, names, error) {
	packed, table := builtinModule, builtinNames
	if path != "" {
		var err error
		if packed, err = os.ReadFile(path); err != nil {
			return nil, names{}, fmt.Errorf("engraver module: %w", err)
		}
		table, err = os.ReadFile(namesPath(path))
		if errors.Is(err, os.ErrNotExist) {
			table, err = []byte("{}"), nil
		}
		if err != nil {
			return nil, names{}, fmt.Errorf("engraver module: %w", err)
		}
	}
	n, err := parseNames(table)
	if err != nil {
		return nil, names{}, err
	}
	code, err := unpack(packed)
	return code, n, err
}

func namesPath(path string) string {
	return strings.TrimSuffix(strings.TrimSuffix(path, ".gz"), ".wasm") + ".names.json"
}

func unpack(data []byte) ([]byte, error) {
	if !bytes.HasPrefix(data, []byte{0x1f, 0x8b}) {
		return data, nil
	}
	zr, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("engraver module: %w", err)
	}
	code, err := io.ReadAll(io.LimitReader(zr, 256<<20))
	if err != nil {
		return nil, fmt.Errorf("engraver module: %w", err)
	}
	return code, nil
}

// compileCache is on disk where that is possible, else in memory.
func compileCache(dir string) wazero.CompilationCache {
	if dir == "" {
		base, err := os.UserCacheDir()
		if err != nil {
			return wazero.NewCompilationCache()
		}
		dir = filepath.Join(base, "hairpin")
	}
	if dir != "none" {
		if cache, err := wazero.NewCompilationCacheWithDir(dir); err == nil {
			return cache
		}
	}
	return wazero.NewCompilationCache()
}
