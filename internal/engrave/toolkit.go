package engrave

import (
	"context"
	"errors"
	"fmt"
	"strings"
)

// toolkit speaks to one run of the engraver.
type toolkit struct {
	run  run
	self uint32 // the engraver's own handle
}

// start makes a run and readies it.
func (e *Engraver) start(ctx context.Context) (*toolkit, error) {
	r, err := e.machine.start(ctx)
	if err != nil {
		return nil, fmt.Errorf("start the engraver: %w", err)
	}
	t := &toolkit{run: r}
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

func (t *toolkit) close(ctx context.Context) { t.run.close(ctx) }

// call calls an exported function by its full name.
func (t *toolkit) call(ctx context.Context, name string, args ...uint32) (uint32, error) {
	result, err := t.run.call(ctx, name, args...)
	if ctx.Err() != nil {
		return 0, fmt.Errorf("engraving stopped: %w", context.Cause(ctx))
	}
	if err != nil {
		return 0, fmt.Errorf("the engraver failed in %s: %w", name, err)
	}
	return result, nil
}

// trap is how a run ends by a fault of the module or a refusal of its machine.
type trap string

func (t trap) Error() string { return string(t) }

// errOutside says that a place lies outside the module's memory.
var errOutside = errors.New("the place lies outside the engraver's memory")

// firstCause drops the stack of numbered wasm functions a runtime adds. An
// exception thrown inside the engraver arrives as "unreachable".
func firstCause(err error) error {
	var t trap
	if errors.As(err, &t) {
		return t
	}
	if strings.Contains(strings.ToLower(err.Error()), "unreachable") {
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
func (t *toolkit) give(ctx context.Context, s []byte) (uint32, error) {
	at, err := t.call(ctx, "malloc", uint32(len(s)+1))
	if err != nil {
		return 0, err
	}
	if at == 0 || t.run.write(ctx, at, append(s[:len(s):len(s)], 0)) != nil {
		return 0, errors.New("the engraver has no memory left for the score")
	}
	return at, nil
}

// callText calls a function of the engraver with a text argument.
func (t *toolkit) callText(ctx context.Context, name string, arg []byte) (uint32, error) {
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
func (t *toolkit) textOf(ctx context.Context, name string, args ...uint32) (string, error) {
	at, err := t.call(ctx, name, append([]uint32{t.self}, args...)...)
	if err != nil {
		return "", err
	}
	s, err := t.run.text(ctx, at)
	if ctx.Err() != nil {
		return "", fmt.Errorf("engraving stopped: %w", context.Cause(ctx))
	}
	if err != nil {
		return "", fmt.Errorf("the engraver's answer to %s is damaged: %w", name, err)
	}
	return s, nil
}
