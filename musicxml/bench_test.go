package musicxml

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/beevik/etree"
)

// benchScore is a piano score of 500 measures, or the file that HAIRPIN_BENCH names.
func benchScore(tb testing.TB) []byte {
	if name := os.Getenv("HAIRPIN_BENCH"); name != "" {
		b, err := os.ReadFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		return b
	}
	return pianoScore(500)
}

// pianoScore is a score of our own with every common element.
func pianoScore(measures int) []byte {
	var s strings.Builder
	s.WriteString(`<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <part-list>
    <score-part id="P1"><part-name>Piano</part-name></score-part>
  </part-list>
  <part id="P1">
`)
	for m := range measures {
		fmt.Fprintf(&s, "    <measure number=\"%d\" width=\"210.5\">\n", m+1)
		if m == 0 {
			s.WriteString("      <attributes>\n        <divisions>24</divisions>\n        <key>\n          <fifths>-3</fifths>\n        </key>\n        <time>\n          <beats>4</beats>\n          <beat-type>4</beat-type>\n        </time>\n        <staves>2</staves>\n      </attributes>\n")
		}
		s.WriteString("      <direction placement=\"below\">\n        <direction-type>\n          <dynamics default-x=\"3.4\" default-y=\"-61\">\n            <mf/>\n          </dynamics>\n        </direction-type>\n        <staff>1</staff>\n        <sound dynamics=\"88.89\"/>\n      </direction>\n")
		for staff := 1; staff <= 2; staff++ {
			for i := range 16 {
				step := "CDEFGAB"[(i*staff+m)%7 : (i*staff+m)%7+1]
				fmt.Fprintf(&s, "      <note default-x=\"%d.43\" default-y=\"-15.00\">\n        <pitch>\n          <step>%s</step>\n          <octave>%d</octave>\n        </pitch>\n        <duration>6</duration>\n        <voice>%d</voice>\n        <type>16th</type>\n        <stem>up</stem>\n        <staff>%d</staff>\n        <beam number=\"1\">continue</beam>\n        <beam number=\"2\">continue</beam>\n", 10*i, step, 6-staff, 4*staff-3, staff)
				if i == 0 {
					s.WriteString("        <notations>\n          <articulations>\n            <accent/>\n          </articulations>\n        </notations>\n")
				}
				s.WriteString("      </note>\n")
			}
			if staff == 1 {
				s.WriteString("      <backup>\n        <duration>96</duration>\n      </backup>\n")
			}
		}
		s.WriteString("    </measure>\n")
	}
	s.WriteString("  </part>\n</score-partwise>\n")
	return []byte(s.String())
}

// Reading costs no more than 1.3 times a general document tree of the same
// bytes; the fastest of a few runs of each is compared, as others use the machine.
func TestReadingCost(t *testing.T) {
	if testing.Short() {
		t.Skip("measures time")
	}
	doc := pianoScore(60)
	fastest := func(run func() error) time.Duration {
		best := time.Hour
		for range 5 {
			begin := time.Now()
			if err := run(); err != nil {
				t.Fatal(err)
			}
			best = min(best, time.Since(begin))
		}
		return best
	}
	dom := fastest(func() error { return etree.NewDocument().ReadFromBytes(doc) })
	read := fastest(func() error {
		_, err := Read(bytes.NewReader(doc), "", Limits{})
		return err
	})
	t.Logf("reading took %.2f of the document tree", float64(read)/float64(dom))
	if 10*read > 13*dom {
		t.Errorf("reading took %v, a document tree %v", read, dom)
	}
}

// BenchmarkDOM is the measure for reading: a general document tree of the same bytes.
func BenchmarkDOM(b *testing.B) {
	doc := benchScore(b)
	b.SetBytes(int64(len(doc)))
	b.ReportAllocs()
	for b.Loop() {
		if err := etree.NewDocument().ReadFromBytes(doc); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	doc := benchScore(b)
	b.SetBytes(int64(len(doc)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(bytes.NewReader(doc), "", Limits{}); err != nil {
			b.Fatal(err)
		}
	}
}
