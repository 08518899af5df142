package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/spf13/pflag"

	"hairpin/report"
)

// outFlags say where a command writes its result.
type outFlags struct {
	path      string
	overwrite bool
}

func (o *outFlags) register(fs *pflag.FlagSet, kinds string) {
	fs.StringVarP(&o.path, "output", "o", "", "`FILE` where to write: "+kinds+"; an older one is replaced")
	fs.BoolVar(&o.overwrite, "overwrite", false, "allow FILE to be the score itself")
}

// check says whether the result can be written: the path is there, has one of
// the endings, and is not the input unless that is wanted.
func (o *outFlags) check(fs *pflag.FlagSet, input string, endings ...string) error {
	if o.path == "" {
		return usage(fs, "-o FILE is missing")
	}
	known := false
	for _, e := range endings {
		known = known || strings.EqualFold(filepath.Ext(o.path), e)
	}
	if !known {
		return usage(fs, fmt.Sprintf("-o %s must end in %s", o.path, strings.Join(endings, " or ")))
	}
	if _, err := os.Stat(filepath.Dir(o.path)); err != nil { // before long work is done for nothing
		return o.failed(err)
	}
	if out, err := os.Stat(o.path); err == nil && out.IsDir() {
		return &usageError{o.path + " is a folder", "name a file"}
	}
	in, err := os.Stat(input)
	if err != nil {
		return nil // the reader will say so
	}
	if out, err := os.Stat(o.path); err == nil && os.SameFile(in, out) && !o.overwrite {
		return &usageError{fmt.Sprintf("%s is the score itself", o.path), "name another file, or allow it with --overwrite"}
	}
	return nil
}

// parse reads the options and the one score of a command that writes a file,
// and checks the file's name.
func (o *outFlags) parse(fs *pflag.FlagSet, args []string, endings ...string) (input string, err error) {
	paths, err := parse(fs, args, "SCORE")
	if err != nil {
		return "", err
	}
	return paths[0], o.check(fs, paths[0], endings...)
}

// write makes the file in one go: beside its place first, then renamed, so
// that no half-written file is ever left. An interrupt before the first byte ends the
// program as ever; afterwards it takes away what is written so far. On a terminal it says
// what was written.
func (o *outFlags) write(e env, content func(io.Writer) error) (err error) {
	path := o.path
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	to := &target{folder: filepath.Dir(path)}
	defer func() { to.drop(err != nil) }()
	if err = content(to); err == nil {
		err = to.open()
	}
	switch {
	case to.err == errInterrupted:
		return &stopError{"interrupted: " + o.path + " is not written", "nothing was left half written"}
	case to.err != nil && to.file == nil:
		return o.failed(to.err)
	case to.err != nil:
		return &stopError{o.failed(to.err).Error(), "make room, or name a file on another disk; nothing was left half written"}
	case err != nil:
		return err
	}
	if err := o.place(to.file, path); err != nil {
		return err
	}
	if watched(e) {
		fmt.Fprintf(e.stderr, "wrote %s\n", report.Visible(o.path))
	}
	return nil
}

// place puts a finished file in its place.
func (o *outFlags) place(f *os.File, path string) error {
	if err := f.Chmod(o.mode(path)); err != nil {
		return o.failed(err)
	}
	if err := f.Sync(); err != nil { // else a power cut could leave an empty file under the new name
		return o.failed(err)
	}
	if err := f.Close(); err != nil {
		return o.failed(err)
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return o.failed(err)
	}
	return nil
}

var errInterrupted = errors.New("interrupted")

// target is a new file in a folder, there from the first byte on. It remembers what
// kept it from being written, which those who write into it may dress up.
type target struct {
	folder string
	file   *os.File
	err    error
	ctx    context.Context // ended by an interrupt
	stop   func()
}

func (t *target) open() error {
	if t.file != nil || t.err != nil {
		return t.err
	}
	t.ctx, t.stop = signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	t.file, t.err = os.CreateTemp(t.folder, ".hairpin-*")
	return t.err
}

func (t *target) Write(p []byte) (n int, err error) {
	if t.open() != nil {
		return 0, t.err
	}
	if t.ctx.Err() != nil {
		t.err = errInterrupted
		return 0, t.err
	}
	if n, err = t.file.Write(p); err != nil {
		t.err = err
	}
	return n, err
}

// drop lets go of the file, and takes it away if it is of no use.
func (t *target) drop(useless bool) {
	if t.file != nil && useless {
		t.file.Close()
		os.Remove(t.file.Name())
	}
	if t.stop != nil {
		t.stop()
	}
}

// mode is that of the file to be replaced, or the usual one.
func (o *outFlags) mode(path string) os.FileMode {
	if info, err := os.Stat(path); err == nil {
		return info.Mode().Perm()
	}
	return 0o644
}

// failed names the output in an error of the file system.
func (o *outFlags) failed(err error) error {
	if p := (*os.PathError)(nil); errors.As(err, &p) {
		err = p.Err
	} else if l := (*os.LinkError)(nil); errors.As(err, &l) {
		err = l.Err
	}
	return &usageError{fmt.Sprintf("%s cannot be written: %v", o.path, err), "check the folder and its permissions"}
}
