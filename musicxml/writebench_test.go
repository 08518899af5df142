package musicxml

import (
	"bytes"
	"fmt"
	"io"
	"testing"

	"hairpin/tools/scoregen"
)

// BenchmarkSizes reads and writes scores of growing length: time and memory
// must grow in step.
func BenchmarkSizes(b *testing.B) {
	for _, n := range [...]int{10, 100, 1000, 10000} {
		b.Run(fmt.Sprintf("what=write/measures=%d", n), func(b *testing.B) {
			s := scoregen.Piano(n, 1)
			b.ReportAllocs()
			for b.Loop() {
				if err := Write(io.Discard, s); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(fmt.Sprintf("what=read/measures=%d", n), func(b *testing.B) {
			var doc bytes.Buffer
			if err := Write(&doc, scoregen.Piano(n, 1)); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(doc.Len()))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Read(bytes.NewReader(doc.Bytes()), "", Limits{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
