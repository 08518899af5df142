//go:build js && wasm

// Worker is the program of the static site: it runs in a worker of the browser
// and answers the page with the handler of the local page ([web.Server.Handler]).
// web/src/worker.ts carries requests and answers.
package main

import (
	"context"
	"errors"
	"runtime/debug"
	"syscall/js"

	"hairpin/musicxml"
	"hairpin/report"
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
	s := web.New(context.Background(), web.Options{Upload: largest, Shelf: 2, Hint: hint})
	js.Global().Call("ready", js.FuncOf(answering(s.Handler(address))))
	select {}
}

// hint says what to do about an error, as far as that can be done on a page.
func hint(err error) string {
	var choice *report.ChoiceError
	var unsupported *musicxml.UnsupportedError
	var malformed *musicxml.MalformedError
	switch {
	case errors.As(err, &choice):
		return choice.Hint
	case errors.As(err, &unsupported) && unsupported.Limit != "":
		return "this is too large for a page in the browser; the hairpin program on a computer takes more"
	case errors.As(err, &unsupported):
		return unsupported.Hint
	case errors.As(err, &malformed):
		return "export the score again as MusicXML from the program it was written in"
	}
	return ""
}
