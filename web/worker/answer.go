//go:build js && wasm

package main

import (
	"bytes"
	"context"
	"net/http"
	"syscall/js"
)

// address stands for the one the local page listens on: the handler answers
// requests to it and from it only. No request leaves the browser.
const address = "127.0.0.1:80"

// answering serves requests of worker.ts: an Ask, and the Answer that hears what
// is answered. Its result is a function that ends the request.
func answering(handler http.Handler) func(js.Value, []js.Value) any {
	return func(_ js.Value, args []js.Value) any {
		ctx, cancel := context.WithCancel(context.Background())
		r, err := request(ctx, args[0])
		if err != nil {
			cancel()
			return nil
		}
		stop := js.FuncOf(func(js.Value, []js.Value) any {
			cancel()
			return nil
		})
		go func() {
			defer stop.Release()
			defer cancel()
			w := &answer{to: args[1], header: http.Header{}}
			handler.ServeHTTP(w, r)
			w.end()
		}()
		return stop
	}
}

// request is an Ask as the handler knows it.
func request(ctx context.Context, ask js.Value) (*http.Request, error) {
	body := make([]byte, ask.Get("body").Length())
	js.CopyBytesToGo(body, ask.Get("body"))
	r, err := http.NewRequestWithContext(ctx, ask.Get("method").String(), "http://"+address+ask.Get("path").String(), bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	r.Header.Set("Content-Type", ask.Get("type").String())
	r.Header.Set("Origin", "http://"+address)
	return r, nil
}

// answer is a response that goes to worker.ts in pieces, one a flush.
type answer struct {
	to     js.Value
	header http.Header
	sent   bool // the head
	piece  bytes.Buffer
}

func (a *answer) Header() http.Header { return a.header }

func (a *answer) WriteHeader(status int) {
	if a.sent {
		return
	}
	a.sent = true
	headers := map[string]any{}
	for name := range a.header {
		headers[name] = a.header.Get(name)
	}
	a.to.Call("head", status, headers)
}

func (a *answer) Write(p []byte) (int, error) {
	a.WriteHeader(http.StatusOK)
	return a.piece.Write(p)
}

func (a *answer) Flush() {
	if a.piece.Len() == 0 {
		return
	}
	b := js.Global().Get("Uint8Array").New(a.piece.Len())
	js.CopyBytesToJS(b, a.piece.Bytes())
	a.piece.Reset()
	a.to.Call("piece", b)
}

func (a *answer) end() {
	a.WriteHeader(http.StatusOK)
	a.Flush()
	a.to.Call("end")
}
