// Package web is the page: an http.Handler that shows a score with its reading.
// The local page asks it over the loopback connection, in the browser of the
// same machine only; the static site in a worker of the browser, where the same
// handler runs (folder worker).
//
// Start at [New] and [Server.Serve].
//
// The local page listens on the loopback address, answers only its own page (see guard.go),
// keeps scores in memory for as long as there is room and nothing on disk, and
// reaches no network.
package web

import (
	"context"
	"embed"
	"fmt"
	"log"
	"net"
	"net/http"
	"runtime"
	"sync/atomic"
	"time"

	"hairpin/musicxml"
	"hairpin/report/html"
)

//go:embed assets
var assets embed.FS

// Options of a server. The zero value is right for most.
type Options struct {
	Module  string        // another build of the engraver, "" for the one inside
	Upload  int64         // largest score in bytes; 0 is 32 MB
	Waiting time.Duration // how long a request may take to arrive; 0 is 20 s
	Shelf   int           // how many scores are kept in memory; 0 is 6
	Idle    time.Duration // stop after so long without a page open; 0 is never
}

func (o Options) withDefaults() Options {
	if o.Upload == 0 {
		o.Upload = 32 << 20
	}
	if o.Waiting == 0 {
		o.Waiting = 20 * time.Second
	}
	if o.Shelf == 0 {
		o.Shelf = 6
	}
	return o
}

// Server serves the page. Close it after use.
type Server struct {
	opt    Options
	drawer *html.Drawer // nil if the engraver does not run
	why    string       // why not
	shelf  *shelf
	busy   chan struct{} // scores being read at once
	coming chan struct{} // scores arriving at once
	seen   atomic.Int64  // when a page last asked for something, Unix seconds
}

// New readies a server. An engraver that does not run is told on the page; all
// else works without it.
func New(ctx context.Context, opt Options) *Server {
	s := &Server{opt: opt.withDefaults(), busy: make(chan struct{}, 2), coming: make(chan struct{}, 4)}
	s.shelf = newShelf(s.opt.Shelf, 2*s.opt.Upload)
	var err error
	drawing := max(runtime.NumCPU()-1, 1) // one processor stays free for answers
	if s.drawer, err = html.NewDrawer(ctx, s.opt.Module, drawing); err != nil {
		s.why = html.WithoutStaves(err)
	}
	s.seen.Store(time.Now().Unix())
	return s
}

// Close frees the engraver.
func (s *Server) Close(ctx context.Context) error {
	if s.drawer == nil {
		return nil
	}
	return s.drawer.Close(ctx)
}

// Listen binds to the loopback address; port 0 is any free one.
func Listen(port int) (net.Listener, error) {
	l, err := net.Listen("tcp4", fmt.Sprintf("127.0.0.1:%d", port))
	if err != nil {
		return nil, fmt.Errorf("port %d of this machine: %w", port, err)
	}
	return l, nil
}

// Serve answers until the context ends or, with Options.Idle, no page is open
// any more.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{
		Handler:           s.Handler(l.Addr().String()),
		ReadHeaderTimeout: s.opt.Waiting,
		ReadTimeout:       s.opt.Waiting,
		WriteTimeout:      3 * time.Minute,
		IdleTimeout:       time.Minute,
		MaxHeaderBytes:    16 << 10,
		ErrorLog:          log.New(quiet{}, "", 0),
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	server.BaseContext = func(net.Listener) context.Context { return ctx } // what is being drawn ends with it
	go s.watch(ctx, cancel)
	go func() {
		<-ctx.Done()
		late, stop := context.WithTimeout(context.Background(), 2*time.Second)
		defer stop()
		server.Shutdown(late)
	}()
	if err := server.Serve(l); err != http.ErrServerClosed {
		return err
	}
	return nil
}

// watch stops the server when nobody has looked at it for long enough.
func (s *Server) watch(ctx context.Context, stop func()) {
	if s.opt.Idle == 0 {
		return
	}
	tick := time.NewTicker(s.opt.Idle / 8)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case now := <-tick.C:
			if now.Sub(time.Unix(s.seen.Load(), 0)) > s.opt.Idle {
				stop()
				return
			}
		}
	}
}

// quiet drops what broken connections write to a log.
type quiet struct{}

func (quiet) Write(p []byte) (int, error) { return len(p), nil }

// limits are those of a score on the page.
func (s *Server) limits() musicxml.Limits { return musicxml.Limits{Bytes: s.opt.Upload} }
