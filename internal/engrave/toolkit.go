package engrave

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// toolkit is one run of the engraver: a fresh module of its own memory, used
// for one score and thrown away. A throw inside the module leaves it unusable,
// so nothing of it is ever used again.
type toolkit struct {
	module api.Module
	names  names
	self   uint64 // the engraver's own handle
}

// start makes a run; the context must carry its host.
func (e *Engraver) start(ctx context.Context) (*toolkit, error) {
	config := wazero.NewModuleConfig().WithName("").WithStartFunctions()
	ctx = experimental.WithMemoryAllocator(ctx, experimental.MemoryAllocatorFunc(newMemory))
	module, err := e.runtime.InstantiateModule(ctx, e.compiled, config)
	if err != nil {
		return nil, fmt.Errorf("start the engraver: %w", err)
	}
	t := &toolkit{module: module, names: e.names}
	if err := t.prepare(ctx); err != nil {
		t.close(ctx)
		return nil, err
	}
	return t, nil
}

func (t *toolkit) prepare(ctx context.Context) error {
	if _, err := t.call(ctx, "wasm_call_ctors"); err != nil {
		return err
	}
	if _, err := t.call(ctx, "enableLogToBuffer", 1); err != nil {
		return err
	}
	self, err := t.call(ctx, "vrvToolkit_constructor")
	t.self = self
	return err
}

func (t *toolkit) close(ctx context.Context) { t.module.Close(ctx) }

// call calls an exported function by its full name.
func (t *toolkit) call(ctx context.Context, name string, args ...uint64) (uint64, error) {
	f := t.module.ExportedFunction(t.names.export(name))
	if f == nil {
		return 0, fmt.Errorf("the engraver has no function %s: its table of names does not fit", name)
	}
	results, err := f.Call(ctx, args...)
	if ctx.Err() != nil {
		return 0, fmt.Errorf("engraving stopped: %w", context.Cause(ctx))
	}
	if err != nil {
		return 0, fmt.Errorf("the engraver failed in %s: %w", name, firstCause(err))
	}
	if len(results) == 0 {
		return 0, nil
	}
	return results[0], nil
}

// firstCause drops the stack of numbered wasm functions the runtime adds. An
// exception thrown inside the engraver arrives as "unreachable".
func firstCause(err error) error {
	var t trap
	if errors.As(err, &t) {
		return t
	}
	if strings.Contains(err.Error(), "unreachable") {
		return errors.New("it gave up on something in this score, or ran out of memory")
	}
	for i, text := 0, err.Error(); i < len(text); i++ {
		if text[i] == '\n' {
			return errors.New(text[:i])
		}
	}
	return err
}

// give hands text to the engraver and returns where it put it; take it back with free.
func (t *toolkit) give(ctx context.Context, s []byte) (uint64, error) {
	at, err := t.call(ctx, "malloc", uint64(len(s)+1))
	if err != nil {
		return 0, err
	}
	if at == 0 || !t.module.Memory().Write(uint32(at), s) || !t.module.Memory().WriteByte(uint32(at)+uint32(len(s)), 0) {
		return 0, errors.New("the engraver has no memory left for the score")
	}
	return at, nil
}

// callText calls a function of the engraver with a text argument.
func (t *toolkit) callText(ctx context.Context, name string, arg []byte) (uint64, error) {
	at, err := t.give(ctx, arg)
	if err != nil {
		return 0, err
	}
	result, err := t.call(ctx, name, t.self, at)
	if err != nil {
		return 0, err
	}
	_, err = t.call(ctx, "free", at)
	return result, err
}

// textOf calls a function of the engraver that answers with text.
func (t *toolkit) textOf(ctx context.Context, name string, args ...uint64) (string, error) {
	at, err := t.call(ctx, name, append([]uint64{t.self}, args...)...)
	if err != nil {
		return "", err
	}
	s, ok := text(t.module.Memory(), uint32(at))
	if !ok {
		return "", fmt.Errorf("the engraver's answer to %s is damaged", name)
	}
	return s, nil
}
