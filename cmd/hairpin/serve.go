package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"syscall"
	"time"

	"github.com/spf13/pflag"
	"golang.org/x/term"

	"hairpin/web"
)

// serveFlags say how the local page is served.
type serveFlags struct {
	port     int
	open     bool
	idle     time.Duration
	engraver engraverFlags
}

func serveCommand() command {
	var f serveFlags
	c := command{
		name: "serve", args: "",
		does: "show scores on a page in the browser of this machine",
		more: "Drop a score on the page, read, listen, overrule. The page is for this machine only:\n" +
			"it listens on the loopback address, keeps nothing on disk and needs no network.\n" +
			"It ends with Ctrl-C.",
		example: "hairpin serve --open",
		flags: func(fs *pflag.FlagSet) {
			fs.IntVar(&f.port, "port", 0, "`N` port to listen on; else any free one")
			fs.BoolVar(&f.open, "open", false, "open the page in the browser")
			fs.DurationVar(&f.idle, "idle", 0, "`TIME` end when no page was open for so long, 5m; else never")
			f.engraver.register(fs)
		},
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		if _, err := parse(fs, args); err != nil {
			return err
		}
		if f.port < 0 || f.port > 65535 || f.idle < 0 {
			return usage(fs, "--port is 1 to 65535, --idle a time such as 5m")
		}
		return f.serve(e)
	}
	return c
}

// serve answers until it is interrupted or nobody looks any more.
func (f *serveFlags) serve(e env) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	l, err := web.Listen(f.port)
	if err != nil {
		return &usageError{err.Error(), "choose another --port, or none for any free one"}
	}
	s := web.New(ctx, web.Options{Module: f.engraver.module, Idle: f.idle, Hint: hint})
	defer s.Close(context.Background())
	address := "http://" + l.Addr().String() + "/"
	fmt.Fprintln(e.stdout, address)
	if f.open {
		if err := browse(address); err != nil {
			fmt.Fprintf(e.stderr, "hairpin: the browser did not open (%v); open %s yourself\n", err, address)
		}
	}
	return s.Serve(ctx, l)
}

// browse opens an address in the user's browser.
func browse(address string) error {
	switch runtime.GOOS {
	case "windows":
		return exec.Command("rundll32", "url.dll,FileProtocolHandler", address).Start()
	case "darwin":
		return exec.Command("open", address).Start()
	}
	return exec.Command("xdg-open", address).Start()
}

// fromDesktop reports whether the program was started by a double click: there
// is no terminal, and there is a desktop to open a browser on.
func fromDesktop(e env) bool {
	for _, f := range []any{e.stdin, e.stdout, e.stderr} {
		if file, ok := f.(*os.File); ok && term.IsTerminal(int(file.Fd())) {
			return ownConsole()
		}
	}
	switch runtime.GOOS {
	case "windows", "darwin":
		return ours(e.stdin, e.stdout)
	}
	return ours(e.stdin, e.stdout) && (os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != "")
}

// ours reports whether the program has its own streams and none is a pipe: a
// program that is part of a command line was not clicked.
func ours(stdin io.Reader, stdout io.Writer) bool {
	for _, f := range []any{stdin, stdout} {
		file, ok := f.(*os.File)
		if !ok {
			return false
		}
		if info, err := file.Stat(); err == nil && info.Mode()&os.ModeNamedPipe != 0 {
			return false
		}
	}
	return true
}

// openPage is what a double click does: the page, for as long as it is open.
func openPage(e env) error {
	return (&serveFlags{open: true, idle: 5 * time.Minute}).serve(e)
}
