package annotate

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"hairpin/musicxml"
	"hairpin/report"
)

// Every score under the folders that HAIRPIN_SCORES names, parted like a PATH:
// annotated with every layer it reads as before, a second annotation gives the same
// bytes, and a reader of document order finds every hairpin's end after its start.
func TestAnnotatedScoresOutside(t *testing.T) {
	paths := make(chan string)
	var wait sync.WaitGroup
	for range 2 {
		wait.Go(func() {
			for path := range paths {
				if err := checkAnnotated(path); err != nil {
					t.Errorf("%s: %v", path, err)
				}
			}
		})
	}
	n := 0
	for _, path := range scoresUnder(t) {
		n++
		paths <- path
	}
	close(paths)
	wait.Wait()
	t.Logf("%d scores", n)
}

// scoresUnder are the score files in the folders named, none without a name.
func scoresUnder(t *testing.T) (out []string) {
	t.Helper()
	for _, folder := range filepath.SplitList(os.Getenv("HAIRPIN_SCORES")) {
		err := filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
			switch filepath.Ext(path) {
			case ".mxl", ".musicxml", ".xml":
				out = append(out, path)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// checkAnnotated is what is wrong with the annotated copy of a score; a score that
// cannot be read has none.
func checkAnnotated(path string) error {
	f, err := musicxml.Open(path)
	if err != nil {
		return nil
	}
	plain, err := report.New(f, report.Options{})
	if err != nil {
		return nil
	}
	all := Annotation{Layers: Layers(), Remarks: []Remark{{At: 0, Part: -1, Text: "ff, molto cresc."}}}
	once, err := Add(plain, f, all)
	if err != nil {
		return err
	}
	again, err := report.New(once, report.Options{})
	if err != nil {
		return err
	}
	twice, err := Add(again, once, all)
	if err != nil {
		return err
	}
	if !bytes.Equal(once.Bytes(), twice.Bytes()) {
		return errors.New("the second annotation changes the first")
	}
	if err := sameStudy(plain, again); err != nil {
		return err
	}
	return pairsInOrder(f.Document(), once.Document())
}

func sameStudy(a, b *report.Reading) error {
	var x, y bytes.Buffer
	if err := errors.Join(a.Study(&x, "json"), b.Study(&y, "json"), a.Levels(&x, "tsv"), b.Levels(&y, "tsv")); err != nil {
		return err
	}
	p, q := strings.Split(x.String(), "\n"), strings.Split(y.String(), "\n")
	for i := range min(len(p), len(q)) {
		if p[i] != q[i] {
			return fmt.Errorf("annotations of ours change the reading: %q, was %q", q[i], p[i])
		}
	}
	if len(p) != len(q) {
		return errors.New("annotations of ours change the length of the reading")
	}
	return nil
}

// pairsInOrder compares the faults of hairpins that a reader of document order
// finds: an annotated score has those of the original and no others.
func pairsInOrder(plain, annotated []byte) error {
	was, err := pairFaults(plain)
	if err != nil {
		return nil // not UTF-8: the standard reader cannot tell
	}
	is, err := pairFaults(annotated)
	if err != nil {
		return err
	}
	if len(is) > len(was) {
		return fmt.Errorf("%d hairpins are unpaired in document order, %d before: %s", len(is), len(was), is[0])
	}
	return nil
}

// pairFaults reads wedges in document order, part by part and number by number.
func pairFaults(text []byte) (faults []string, err error) {
	d := xml.NewDecoder(bytes.NewReader(text))
	open, part, measure := map[string]string{}, "", ""
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return faults, nil
		}
		if err != nil {
			return nil, err
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		attr := map[string]string{}
		for _, a := range e.Attr {
			attr[a.Name.Local] = a.Value
		}
		switch e.Name.Local {
		case "part":
			part, open = attr["id"], map[string]string{}
		case "measure":
			measure = attr["number"]
		case "wedge":
			number := attr["number"]
			if number == "" {
				number = "1"
			}
			where := part + " m. " + measure + " number " + number
			began, isOpen := open[number]
			switch attr["type"] {
			case "stop":
				if !isOpen {
					faults = append(faults, where+" stops that never started")
				}
				delete(open, number)
			case "continue":
			default:
				if isOpen {
					faults = append(faults, began+" starts again at "+where)
				}
				open[number] = where
			}
		}
	}
}
