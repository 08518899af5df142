package hairpin_test

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"testing"

	"github.com/beevik/etree"

	"hairpin/internal/scoregen"
	"hairpin/musicxml"
	"hairpin/report"
)

// sizes are the measures of the benchmarks' scores; time and memory must grow
// in step with them.
var sizes = [...]int{10, 100, 1000, 10000}

// document is an invented score of so many measures, or the one that
// HAIRPIN_BENCH names.
func document(b *testing.B, measures int) []byte {
	if name := os.Getenv("HAIRPIN_BENCH"); name != "" {
		doc, err := os.ReadFile(name)
		if err != nil {
			b.Fatal(err)
		}
		return doc
	}
	var doc bytes.Buffer
	if err := musicxml.Write(&doc, scoregen.Piano(measures, 1)); err != nil {
		b.Fatal(err)
	}
	return doc.Bytes()
}

// BenchmarkWhole compares, on the same bytes in one run, a parse into a
// general document tree with reading alone and with the whole study.
// README.md says how to print the ratios.
func BenchmarkWhole(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprintf("what=dom/measures=%d", n), func(b *testing.B) { repeat(b, n, parseTree) })
		b.Run(fmt.Sprintf("what=read/measures=%d", n), func(b *testing.B) { repeat(b, n, read) })
		b.Run(fmt.Sprintf("what=study/measures=%d", n), func(b *testing.B) { repeat(b, n, study) })
	}
}

func repeat(b *testing.B, measures int, do func([]byte) error) {
	doc := document(b, measures)
	b.SetBytes(int64(len(doc)))
	b.ReportAllocs()
	start, rounds := processorTime(), 0
	for b.Loop() {
		if err := do(doc); err != nil {
			b.Fatal(err)
		}
		rounds++
	}
	if used := processorTime() - start; used > 0 {
		b.ReportMetric(float64(used.Nanoseconds())/float64(rounds), "cpu-ns/op")
	}
}

func parseTree(doc []byte) error { return etree.NewDocument().ReadFromBytes(doc) }

func read(doc []byte) error {
	_, err := musicxml.Read(bytes.NewReader(doc), "invention", musicxml.Limits{})
	return err
}

func study(doc []byte) error {
	f, err := musicxml.Read(bytes.NewReader(doc), "invention", musicxml.Limits{})
	if err != nil {
		return err
	}
	r, err := report.New(f, report.Options{})
	if err != nil {
		return err
	}
	return r.Study(io.Discard, "table")
}
