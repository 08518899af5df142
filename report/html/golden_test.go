package html

import (
	"bytes"
	"regexp"
	"testing"

	"hairpin/report/internal/demo"
)

var (
	sheet  = regexp.MustCompile(`(?s)<style>.*?</style>|<script.*?</script>|<meta http-equiv[^>]*>`)
	anyTag = regexp.MustCompile(`(?s)<[^>]*>`)
	gap    = regexp.MustCompile(`\s*\n\s*`)
)

// What the report says of the demo scores, and what it draws of one, without
// staves: they take an engraver's time. The style sheet, the script and its data have tests of their own.
func TestGolden(t *testing.T) {
	for _, name := range demo.Names() {
		var b bytes.Buffer
		if err := Write(&b, demoReading(t, name), Pictures{Why: "left out"}); err != nil {
			t.Fatal(err)
		}
		page := sheet.ReplaceAll(b.Bytes(), nil)
		demo.Golden(t, "golden/"+name+".txt", gap.ReplaceAll(anyTag.ReplaceAll(page, []byte("\n")), []byte("\n")))
		if name == "vibraphone-low-water" {
			demo.Golden(t, "golden/"+name+".html", page)
		}
	}
}
