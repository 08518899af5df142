//go:build !js

package engrave

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// While compiled code of the engraver runs, the scheduler and the garbage
// collector of this process have to wait for it, and so has everything else. It
// therefore pauses at the beginning of some of its functions: there the
// scheduler may take over, and a context that has ended stops the run. The
// functions are those called most evenly: 1000 to 2000 times while 200 measures
// of piano music are engraved (measured by TestPauses, which also writes them
// anew), and the one that gets memory, for what goes astray in a loop. A pause
// comes every few milliseconds and costs less than is measurable.

//go:embed vendored/pauses.json
var builtinPauses []byte

const (
	pauseMeasures = 200
	leastPauses   = 1000
	mostPauses    = 2000
)

// pausing readies a run-time and a context for compiling, so that the engraver
// can be stopped. For another build, whose functions are not known, the
// runtime itself does that with a check in every loop: three times as slow.
func pausing(ctx context.Context, c wazero.RuntimeConfig, o Options) (context.Context, wazero.RuntimeConfig, error) {
	if o.Module != "" {
		return ctx, c.WithCloseOnContextDone(true), nil
	}
	var list []uint32
	if err := json.Unmarshal(builtinPauses, &list); err != nil {
		return nil, nil, fmt.Errorf("the engraver's pauses: %w", err)
	}
	at := make(map[uint32]bool, len(list))
	for _, i := range list {
		at[i] = true
	}
	choose := func(f api.FunctionDefinition) experimental.FunctionListener {
		if o.calls != nil {
			return o.calls
		}
		if at[f.Index()] {
			return experimental.FunctionListenerFunc(pause)
		}
		return nil
	}
	return experimental.WithFunctionListenerFactory(ctx, experimental.FunctionListenerFactoryFunc(choose)), c, nil
}

// pause stops the run if its context has ended.
func pause(ctx context.Context, _ api.Module, _ api.FunctionDefinition, _ []uint64, _ experimental.StackIterator) {
	if ctx.Err() != nil {
		panic(trap("stopped"))
	}
}
