package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"
)

// outFlags say where a command writes its result.
type outFlags struct {
	path      string
	overwrite bool
}

func (o *outFlags) register(fs *pflag.FlagSet, kinds string) {
	fs.StringVarP(&o.path, "output", "o", "", "`FILE` where to write: "+kinds)
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
// that no half-written file is ever left.
func (o *outFlags) write(content func(io.Writer) error) (err error) {
	path := o.path
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".hairpin-*")
	if err != nil {
		return o.failed(err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	to := &target{Writer: f}
	if err := content(to); to.err != nil {
		return &stopError{o.failed(to.err).Error(), "make room, or name a file on another disk; nothing was left half written"}
	} else if err != nil {
		return err
	}
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

// target remembers what kept it from being written, which those who write into it
// may dress up.
type target struct {
	io.Writer
	err error
}

func (t *target) Write(p []byte) (n int, err error) {
	if n, err = t.Writer.Write(p); err != nil && t.err == nil {
		t.err = err
	}
	return n, err
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
