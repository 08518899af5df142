//go:build js && wasm

package engrave

import (
	"context"
	"errors"
	"syscall/js"
	"time"
)

const (
	usualTimeout  = 180 * time.Second
	usualMemoryMB = 512
	usualParallel = 1
)

// browser is the machine of a program that itself runs in a browser. The module
// runs in a worker of its own (web/src/engraver.ts), so that it can be ended at
// any moment and leaves this program free to answer; engines is the Engines of
// web/src/engines.ts.
type browser struct {
	engines  js.Value
	memoryMB int
}

// callListener has no use here: the page ends the worker that draws.
type callListener = struct{}

func newMachine(_ context.Context, options Options) (machine, error) {
	if options.Module != "" {
		return nil, errors.New("a browser runs the engraver that came with the page")
	}
	engines := js.Global().Get("engines")
	if engines.IsUndefined() {
		return nil, errors.New("there is none in this worker")
	}
	return &browser{engines, options.MemoryMB}, nil
}

func (b *browser) close(context.Context) error { return nil }

func (b *browser) start(ctx context.Context) (run, error) {
	engine, err := await(ctx, b.engines.Call("start", b.memoryMB))
	if err != nil {
		return nil, err
	}
	return &browserRun{engine}, nil
}

// browserRun is an Engine of web/src/engines.ts.
type browserRun struct{ engine js.Value }

func (r *browserRun) close(context.Context) { r.engine.Call("end") }

func (r *browserRun) call(ctx context.Context, name string, args ...uint32) (uint32, error) {
	list := make([]any, len(args))
	for i, a := range args {
		list[i] = a
	}
	result, err := await(ctx, r.engine.Call("call", name, list))
	if err != nil {
		return 0, firstCause(err)
	}
	return uint32(result.Float()), nil
}

func (r *browserRun) write(ctx context.Context, at uint32, b []byte) error {
	bytes := js.Global().Get("Uint8Array").New(len(b))
	js.CopyBytesToJS(bytes, b)
	_, err := await(ctx, r.engine.Call("write", at, bytes))
	return err
}

func (r *browserRun) text(ctx context.Context, at uint32) (string, error) {
	bytes, err := await(ctx, r.engine.Call("text", at))
	if err != nil {
		return "", err
	}
	b := make([]byte, bytes.Length())
	js.CopyBytesToGo(b, bytes)
	return string(b), nil
}

// await waits for a promise, or for the end of the context.
func await(ctx context.Context, promise js.Value) (js.Value, error) {
	type outcome struct {
		value js.Value
		err   error
	}
	done := make(chan outcome, 1)
	var kept, broken js.Func
	settle := func(o outcome) {
		kept.Release()
		broken.Release()
		done <- o
	}
	kept = js.FuncOf(func(_ js.Value, args []js.Value) any {
		settle(outcome{value: args[0]})
		return nil
	})
	broken = js.FuncOf(func(_ js.Value, args []js.Value) any {
		settle(outcome{err: errors.New(args[0].Get("message").String())})
		return nil
	})
	promise.Call("then", kept, broken)
	select {
	case o := <-done:
		return o.value, o.err
	case <-ctx.Done():
		return js.Undefined(), context.Cause(ctx)
	}
}
