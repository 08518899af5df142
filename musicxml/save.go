package musicxml

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
)

// keptEntry is the entry of a container in which we keep the container as it
// was before our first insertion, so that Remove can give it back exactly.
const keptEntry = "META-INF/hairpin-original.mxl"

// Bytes is the whole file: what was read, or after Apply and Remove the file
// of the same kind with the changed document in it.
func (f *File) Bytes() []byte {
	if f.raw != nil {
		return slices.Clone(f.raw)
	}
	return f.Document()
}

// Compressed reports whether the file is a compressed container.
func (f *File) Compressed() bool { return f.raw != nil }

// Document is the plain document in its own encoding, without a container.
func (f *File) Document() []byte { return encodeText(f.tree.src, f.enc) }

// Encode is the file's content for a path: a compressed container if it ends
// in .mxl, or else the plain document. Where the file is of that kind already,
// these are its own bytes.
func (f *File) Encode(name string) ([]byte, error) {
	switch compressed := strings.EqualFold(path.Ext(name), ".mxl"); {
	case compressed == f.Compressed():
		return f.Bytes(), nil
	case compressed:
		return pack(f.Document())
	}
	return f.Document(), nil
}

// Layers names the layers of our own insertions in the document, each once, in
// order; a File that was made, not read, has none.
func (f *File) Layers() (names []string) {
	if f.tree == nil {
		return nil
	}
	for _, r := range f.tree.ownRegions() {
		if !slices.Contains(names, r.layer) {
			names = append(names, r.layer)
		}
	}
	return names
}

// Remove takes our own insertions out, of the layers named or of all if none
// is named. Once all are out the file is what it was, byte for byte. The file
// itself is not changed; it is the result where there is nothing to take out.
func (f *File) Remove(layers ...string) (*File, error) {
	var b strings.Builder
	src := f.tree.src
	done, left := 0, false
	for _, r := range f.tree.ownRegions() {
		if len(layers) > 0 && !slices.Contains(layers, r.layer) {
			left = true
			continue
		}
		b.WriteString(src[done:r.start])
		done = r.end
	}
	b.WriteString(src[done:])
	if g := f.kept(b.String()); g != nil && !left {
		return g, nil
	}
	if done == 0 { // nothing was taken out: to read it again would give the same
		return f, nil
	}
	return f.withText(b.String())
}

// region is a stretch of the document between our processing instructions.
type region struct {
	start, end int
	layer      string
}

// ownRegions finds our insertions. A begin without its end, or the other way
// round, is not ours any more and stays.
func (t *tree) ownRegions() (list []region) {
	begin := -1
	for i, m := range t.marks {
		word, layer, _ := strings.Cut(m.body, " ")
		switch {
		case word == "begin" && isLayerName(layer):
			begin = i
		case m.body == "end" && begin >= 0:
			_, layer, _ := strings.Cut(t.marks[begin].body, " ")
			list = append(list, region{int(t.marks[begin].start), int(m.end), layer})
			begin = -1
		}
	}
	return list
}

// withText is the file with another document text in it.
func (f *File) withText(text string) (*File, error) {
	g := &File{Name: f.Name, limits: f.limits, small: f.small, entry: f.entry, enc: f.enc}
	if text == f.tree.src {
		g.raw = f.raw
	} else if f.raw != nil {
		raw, err := repack(f.raw, f.entry, encodeText(text, f.enc), len(f.tree.marks) == 0)
		if err != nil {
			return nil, naming(err, f.Name)
		}
		g.raw = raw
	}
	name := f.Name // f is not needed any more: its memory serves to read the new text
	if err := g.read(text); err != nil {
		return nil, naming(err, name)
	}
	return g, nil
}

// kept is the file as it was before our first insertion, if the container
// still has it and it holds the same document; else nil.
func (f *File) kept(text string) *File {
	if f.raw == nil {
		return nil
	}
	z, err := zip.NewReader(bytes.NewReader(f.raw), int64(len(f.raw)))
	if err != nil {
		return nil
	}
	for _, e := range z.File {
		if e.Name != keptEntry {
			continue
		}
		raw, err := unpack(e, f.limits)
		if err != nil {
			return nil
		}
		g, err := Read(bytes.NewReader(raw), f.Name, f.limits)
		if err != nil || g.tree.src != text || g.enc != f.enc {
			return nil
		}
		if g, err = g.WithSmallPrint(f.small); err != nil {
			return nil
		}
		return g
	}
	return nil
}

// repack replaces one entry of a container; the others are copied as they
// are. With keep, the container itself is added as it was.
func repack(raw []byte, entry string, doc []byte, keep bool) ([]byte, error) {
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		return nil, &MalformedError{Text: "the compressed file is damaged: " + err.Error()}
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, e := range z.File {
		switch {
		case strings.HasSuffix(e.Name, "/"): // a folder: it has no content, whatever its header says
			_, err = w.CreateHeader(&zip.FileHeader{Name: e.Name, Modified: e.Modified, ExternalAttrs: e.ExternalAttrs, CreatorVersion: e.CreatorVersion})
		case e.Name == entry:
			err = addEntry(w, &zip.FileHeader{Name: e.Name, Method: zip.Deflate, Modified: e.Modified}, doc)
		case e.Name == keptEntry:
			if !keep {
				err = w.Copy(e)
			}
		default:
			err = w.Copy(e)
		}
		if err != nil {
			return nil, fmt.Errorf("the container cannot be written: %w", err)
		}
	}
	if keep {
		if err := addEntry(w, &zip.FileHeader{Name: keptEntry, Method: zip.Store}, raw); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func addEntry(w *zip.Writer, h *zip.FileHeader, content []byte) error {
	e, err := w.CreateHeader(h)
	if err == nil {
		_, err = io.Copy(e, bytes.NewReader(content))
	}
	return err
}

// pack puts a document into a new container.
func pack(doc []byte) ([]byte, error) {
	const score, index = "score.musicxml", `<?xml version="1.0" encoding="UTF-8"?>
<container>
  <rootfiles>
    <rootfile full-path="score.musicxml" media-type="application/vnd.recordare.musicxml+xml"/>
  </rootfiles>
</container>
`
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	entries := []struct {
		name    string
		method  uint16
		content []byte
	}{
		{"mimetype", zip.Store, []byte(scoreMediaType)},
		{containerEntry, zip.Deflate, []byte(index)},
		{score, zip.Deflate, doc},
	}
	for _, e := range entries {
		if err := addEntry(w, &zip.FileHeader{Name: e.name, Method: e.method}, e.content); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
