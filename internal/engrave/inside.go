//go:build !js

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
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

//go:embed vendored/engraver.wasm.gz
var builtinModule []byte

//go:embed vendored/names.json
var builtinNames []byte

const (
	usualTimeout  = 60 * time.Second
	usualMemoryMB = 1024
	usualParallel = 2
)

// callListener is told of every call, in tests.
type callListener = experimental.FunctionListener

// inside is the machine of the binary: a WebAssembly runtime in this process.
type inside struct {
	names    names
	runtime  wazero.Runtime
	compiled wazero.CompiledModule
	cache    wazero.CompilationCache
}

func newMachine(ctx context.Context, options Options) (machine, error) {
	code, table, err := module(options.Module)
	if err != nil {
		return nil, err
	}
	e := &inside{names: table, cache: compileCache(options.CacheDir)}
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
		e.close(ctx)
		return nil, firstCause(err)
	}
	return e, nil
}

func (e *inside) close(ctx context.Context) error {
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

// insideRun is a run of it.
type insideRun struct {
	module api.Module
	host   *host
	names  names
}

func (e *inside) start(ctx context.Context) (run, error) {
	config := wazero.NewModuleConfig().WithName("").WithStartFunctions()
	ctx = experimental.WithMemoryAllocator(ctx, experimental.MemoryAllocatorFunc(newMemory))
	h := newHost()
	module, err := e.runtime.InstantiateModule(withHost(ctx, h), e.compiled, config)
	if err != nil {
		return nil, err
	}
	return &insideRun{module, h, e.names}, nil
}

func (r *insideRun) close(ctx context.Context) { r.module.Close(ctx) }

func (r *insideRun) call(ctx context.Context, name string, args ...uint32) (uint32, error) {
	f := r.module.ExportedFunction(r.names.export(name))
	if f == nil {
		return 0, errors.New("there is no such function: its table of names does not fit")
	}
	stack := make([]uint64, len(args))
	for i, a := range args {
		stack[i] = uint64(a)
	}
	results, err := f.Call(withHost(ctx, r.host), stack...)
	if err != nil {
		return 0, firstCause(err)
	}
	if len(results) == 0 {
		return 0, nil
	}
	return uint32(results[0]), nil
}

func (r *insideRun) write(_ context.Context, at uint32, b []byte) error {
	if !r.module.Memory().Write(at, b) {
		return errOutside
	}
	return nil
}

func (r *insideRun) text(_ context.Context, at uint32) (string, error) {
	s, ok := text(r.module.Memory(), at)
	if !ok {
		return "", errOutside
	}
	return s, nil
}
