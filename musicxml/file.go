package musicxml

import (
	"errors"
	"fmt"
	"io"
	"os"

	"hairpin/score"
)

// File is a score together with the document it was read from.
type File struct {
	Score *score.Score
	Name  string // as given to Read, for messages

	limits Limits
	small  SmallPrint // how cue notes are read
	raw    []byte     // the container's bytes; nil for a plain file, which its text and encoding give back exactly
	entry  string     // the score's entry in a container, "" for a plain file
	enc    encoding   // of the document
	tree   *tree      // over the document's text
	sheet  *sheet     // the tree's parts and measures
}

// Open reads a score from a file with the default limits.
func Open(path string) (*File, error) { return OpenLimits(path, Limits{}) }

// OpenLimits reads a score from a file. A zero field of limits is its default.
// An error of the file system is returned as it is, wrapped.
func OpenLimits(path string, limits Limits) (*File, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return Read(f, path, limits)
}

// Read reads a score. The name is used in messages only. The error is a
// [MalformedError], an [UnsupportedError], or one of r.
func Read(r io.Reader, name string, limits Limits) (*File, error) {
	limits = limits.withDefaults()
	raw, err := readAll(r, limits.Bytes)
	if err != nil {
		return nil, naming(err, name)
	}
	f := &File{Name: name, limits: limits}
	if err := misnamed(raw, name); err != nil {
		return nil, naming(err, name)
	}
	text, err := f.unwrap(raw)
	if err == nil {
		err = f.read(text)
	}
	if err != nil {
		return nil, naming(err, name)
	}
	return f, nil
}

func readAll(r io.Reader, most int64) ([]byte, error) {
	buf := make([]byte, 0, min(sizeOf(r), most)+512)
	for {
		n, err := r.Read(buf[len(buf):cap(buf)])
		buf = buf[:len(buf)+n]
		if int64(len(buf)) > most {
			return nil, &UnsupportedError{Text: fmt.Sprintf("the file is larger than %d bytes", most), Limit: "bytes"}
		}
		if err == io.EOF {
			return buf, nil
		}
		if err != nil {
			return nil, fmt.Errorf("cannot be read: %w", err)
		}
		if len(buf) == cap(buf) {
			buf = append(buf, 0)[:len(buf)]
		}
	}
}

// sizeOf is how many bytes a reader has to give, 0 if it does not say.
func sizeOf(r io.Reader) int64 {
	switch s := r.(type) {
	case interface{ Len() int }:
		return int64(s.Len())
	case interface{ Stat() (os.FileInfo, error) }:
		if info, err := s.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size()
		}
	}
	return 0
}

// unwrap finds the document in the file and decodes it.
func (f *File) unwrap(doc []byte) (text string, err error) {
	if isContainer(doc) {
		f.raw = doc
		if f.entry, doc, err = openContainer(f.raw, f.limits); err != nil {
			return "", err
		}
	}
	if len(doc) == 0 {
		return "", &MalformedError{Text: "the file is empty"}
	}
	if kind := foreign(doc); kind != "" {
		return "", notAScore(kind)
	}
	if text, f.enc, err = decodeText(doc); err != nil {
		return "", err
	}
	if len(text) > maxText {
		return "", &UnsupportedError{Text: "the document is larger than 2 GiB"}
	}
	return text, nil
}

// read fills the file from the document's text.
func (f *File) read(text string) (err error) {
	if f.tree, err = parseTree(text, f.limits); err != nil {
		return err
	}
	if f.sheet, err = newSheet(f.tree.root, f.limits); err != nil {
		return err
	}
	f.Score, err = build(f.sheet, f.tree.root, f.limits, f.small)
	return err
}

// naming puts the file's name into an error.
func naming(err error, name string) error {
	var m *MalformedError
	var u *UnsupportedError
	switch {
	case errors.As(err, &m):
		m.File = name
	case errors.As(err, &u):
		u.File = name
	case name != "":
		return fmt.Errorf("%s: %w", name, err)
	}
	return err
}
