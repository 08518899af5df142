package musicxml

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/url"
	"path"
	"strings"
)

const (
	containerEntry = "META-INF/container.xml"
	scoreMediaType = "application/vnd.recordare.musicxml"
	freeInflation  = 1 << 20 // bytes an entry may unpack to whatever its ratio
)

func isContainer(b []byte) bool {
	return bytes.HasPrefix(b, []byte("PK\x03\x04")) || bytes.HasPrefix(b, []byte("PK\x05\x06"))
}

// openContainer finds the score in a compressed file: its entry's name and bytes.
func openContainer(b []byte, limits Limits) (name string, doc []byte, err error) {
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return "", nil, &MalformedError{Text: "the compressed file is damaged: " + err.Error()}
	}
	if len(z.File) > limits.Entries {
		return "", nil, &UnsupportedError{Text: fmt.Sprintf("the compressed file has more than %d entries", limits.Entries), Limit: "entries"}
	}
	entry, err := scoreEntry(z, limits)
	if err != nil {
		return "", nil, err
	}
	doc, err = unpack(entry, limits)
	return entry.Name, doc, err
}

// scoreEntry is the entry that container.xml names first, or failing that the
// only score in the file.
func scoreEntry(z *zip.Reader, limits Limits) (*zip.File, error) {
	var index *zip.File
	for _, f := range z.File {
		if strings.EqualFold(f.Name, containerEntry) {
			index = f
			break
		}
	}
	if index == nil {
		return lonelyScore(z, "it has no "+containerEntry)
	}
	small := limits
	small.Bytes = min(limits.Bytes, freeInflation)
	b, err := unpack(index, small)
	if err != nil {
		return nil, err
	}
	name, err := rootFile(b, limits)
	if err != nil {
		return nil, err
	}
	for _, same := range [...]func(entry string) bool{
		func(entry string) bool { return entry == name },
		func(entry string) bool { return plainPath(entry) == plainPath(name) },
	} {
		for _, f := range z.File {
			if same(f.Name) {
				return f, nil
			}
		}
	}
	return lonelyScore(z, containerEntry+" names "+short(name)+", which is not in it")
}

// plainPath is a path as different writers may mean it: "/a%20b.xml" and
// ".\\a b.xml" are the same entry.
func plainPath(s string) string {
	if t, err := url.PathUnescape(s); err == nil {
		s = t
	}
	return strings.ToLower(path.Clean("/" + strings.ReplaceAll(s, "\\", "/")))
}

// rootFile is the path of the first root file that is a score by its media
// type, or failing that by its name.
func rootFile(b []byte, limits Limits) (string, error) {
	text, _, err := decodeText(unpadded(b))
	if err != nil {
		return "", err
	}
	t, err := parseTree(text, limits)
	if err != nil {
		return "", inContainerIndex(err)
	}
	named := ""
	for list := t.root.child; list != nil; list = list.next {
		if local(t.root.name) != "container" || local(list.name) != "rootfiles" {
			continue
		}
		for c := list.child; c != nil; c = c.next {
			media, name := c.attr("media-type"), c.attr("full-path")
			switch {
			case local(c.name) != "rootfile":
			case media == "", strings.HasPrefix(media, scoreMediaType):
				return name, nil
			case named == "" && hasScoreName(name):
				named = name
			}
		}
	}
	if named == "" {
		return "", &MalformedError{Text: containerEntry + " names no score"}
	}
	return named, nil
}

// unpadded cuts off the zeros with which some writers fill up an entry.
func unpadded(b []byte) []byte {
	width := 1
	if k := sniff(b).kind; k == utf16LE || k == utf16BE {
		width = 2
	}
	for zeros := make([]byte, width); len(b)%width == 0 && bytes.HasSuffix(b, zeros); {
		b = b[:len(b)-width]
	}
	return b
}

// local is a name without its namespace prefix.
func local(name string) string { return name[strings.LastIndexByte(name, ':')+1:] }

func hasScoreName(s string) bool {
	switch strings.ToLower(path.Ext(s)) {
	case ".xml", ".musicxml":
		return true
	}
	return false
}

func inContainerIndex(err error) error {
	var m *MalformedError
	if errors.As(err, &m) {
		return &MalformedError{Text: containerEntry + ": " + m.Text}
	}
	return err
}

// lonelyScore is the only entry that can be a score by its name.
func lonelyScore(z *zip.Reader, why string) (*zip.File, error) {
	var found []*zip.File
	for _, f := range z.File {
		if hasScoreName(f.Name) && !strings.HasPrefix(f.Name, "META-INF/") && !strings.HasPrefix(f.Name, "__MACOSX/") {
			found = append(found, f)
		}
	}
	if len(found) != 1 {
		return nil, &MalformedError{Text: "the compressed file holds no score that could be found: " + why}
	}
	return found[0], nil
}

// unpack reads an entry within the limits. What the directory of the container
// claims about sizes is not believed.
func unpack(f *zip.File, limits Limits) ([]byte, error) {
	if f.Flags&1 != 0 {
		return nil, &UnsupportedError{Text: f.Name + " is encrypted"}
	}
	r, err := f.Open()
	if errors.Is(err, zip.ErrAlgorithm) {
		return nil, &UnsupportedError{Text: fmt.Sprintf("%s is compressed by method %d, which is not read", f.Name, f.Method)}
	}
	if err != nil {
		return nil, &MalformedError{Text: "the compressed file is damaged: " + f.Name + ": " + err.Error()}
	}
	defer r.Close()
	most, limit := limits.Bytes, "bytes"
	if packed := int64(min(f.CompressedSize64, uint64(maxText))); packed*limits.Ratio < most {
		most, limit = max(packed*limits.Ratio, min(freeInflation, limits.Bytes)), "ratio"
	}
	b, err := io.ReadAll(io.LimitReader(r, most+1))
	if int64(len(b)) > most {
		return nil, &UnsupportedError{Text: fmt.Sprintf("%s unpacks to more than %d bytes", f.Name, most), Limit: limit}
	}
	if err != nil {
		return nil, &MalformedError{Text: "the compressed file is damaged: " + f.Name + ": " + err.Error()}
	}
	return b, nil
}
