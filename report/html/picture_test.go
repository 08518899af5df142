package html

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
)

// A picture is XML that stands alone (a browser refuses anything else as an
// image), keeps the colours of daylight, and shows its stretch only.
func TestPicture(t *testing.T) {
	whole := demoReading(t, "quartet-below-the-weir")
	some, err := whole.Only("5-8")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WritePicture(&b, some, nil); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	for d := xml.NewDecoder(&b); ; {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if !strings.Contains(text, "Below the Weir, mm. 5–8<") {
		t.Error("no heading")
	}
	if dark, light := strings.Index(text, "--paper: #141821"), strings.LastIndex(text, "--paper: #fcfbf8"); dark > light {
		t.Error("the picture turns dark on a dark screen")
	}
	for _, m := range [...]string{`data-measure="4"`, `data-measure="7"`} {
		if !strings.Contains(text, m) {
			t.Error("misses", m)
		}
	}
	if strings.Contains(text, `data-measure="20"`) {
		t.Error("shows what was not asked for")
	}
	if n := strings.Count(text, "hp-veil"); n == 0 || n > 2 {
		t.Errorf("%d places outside the stretch are pale", n)
	}
	if whole.From != 0 || whole.To != whole.Score.Length() || whole.Options.Measures != "" {
		t.Error("the reading itself was narrowed")
	}
	if _, err := whole.Only("400"); err == nil {
		t.Error("takes measures that the score has not")
	}
}

// Sections stand before their phrases, and a stretch keeps the phrases' own
// numbers and places.
func TestSectionsAndPhrases(t *testing.T) {
	whole := demoReading(t, "song-ferry-lamp")
	words := whole.Words()
	list := places(whole, &words)
	sections, last := 0, 0.0
	phrases := map[string]Place{}
	for _, p := range list {
		switch p.Kind {
		case "section":
			sections++
		case "phrase":
			phrases[p.Name] = p
		default:
			continue
		}
		if p.From < last {
			t.Errorf("%s begins at %v, after %v", p.Name, p.From, last)
		}
		last = p.From
	}
	if want := len(whole.Harmony.Form.Sections); want > 1 && sections != want {
		t.Errorf("%d sections, not %d", sections, want)
	}
	some, err := whole.Only("17-24")
	if err != nil {
		t.Fatal(err)
	}
	words = some.Words()
	n := 0
	for _, p := range places(some, &words) {
		if p.Kind != "phrase" {
			continue
		}
		if n++; phrases[p.Name].From != p.From {
			t.Errorf("%s is at %v of the stretch, at %v of the whole", p.Name, p.From, phrases[p.Name].From)
		}
	}
	if n == 0 {
		t.Error("no phrases")
	}
}
