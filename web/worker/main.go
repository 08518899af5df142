//go:build js && wasm

// Worker is the program of the static site: it runs in a worker of the browser
// and answers the page with the handler of the local page ([web.Server.Handler]).
// web/src/worker.ts carries requests and answers.
package main

import (
	"context"
	"runtime/debug"
	"syscall/js"

	"hairpin/web"
)

// A study takes up to 17 times its document (DEVELOPERS.md). The memory a
// browser gives this program ends at 1 GB (tools/dist, mostPages).
const (
	largest   = 16 << 20
	softLimit = 640 << 20 // from here on memory is collected more often
	lazily    = 400       // percent the heap may grow before that: one thread both reads and collects
)

func main() {
	debug.SetGCPercent(lazily)
	debug.SetMemoryLimit(softLimit)
	s := web.New(context.Background(), web.Options{Upload: largest, Shelf: 2})
	js.Global().Call("ready", js.FuncOf(answering(s.Handler(address))))
	select {}
}
