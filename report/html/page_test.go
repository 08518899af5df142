package html

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"hairpin/harmony/phrasing"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/report/sound"
	"hairpin/score"
)

// drawer is shared: readying an engraver takes seconds.
var drawer = sync.OnceValues(func() (*Drawer, error) { return NewDrawer(context.Background(), "", 0) })

func drawn(t *testing.T, f *musicxml.File) Pictures {
	t.Helper()
	d, err := drawer()
	if err != nil {
		t.Fatal(err)
	}
	var p Pictures
	if p.Wide, err = d.Wide(context.Background(), f, Staves{}, nil); err != nil {
		t.Fatal(err)
	}
	if p.Narrow, err = d.Narrow(context.Background(), f, Staves{}, nil); err != nil {
		t.Fatal(err)
	}
	return p
}

func pageOf(t *testing.T, r *report.Reading, p Pictures) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, r, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func demoReading(t *testing.T, name string) *report.Reading {
	t.Helper()
	f, err := musicxml.Open(demo.Path(t, name+".musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	r, err := report.New(f, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestPageNeedsNothingElse(t *testing.T) {
	for _, name := range demo.Names() {
		r := demoReading(t, name)
		text := pageOf(t, r, drawn(t, r.File))
		if len(text) > 1e6 {
			t.Errorf("%s: %d bytes", name, len(text))
		}
		plain := regexp.MustCompile(`(?s)<script.*?</script>`).ReplaceAllString(text, "")
		if n := len(regexp.MustCompile(`<script[^>]*>`).FindAllString(text, -1)); n != 2 {
			t.Errorf("%s: %d scripts, want its own and its data", name, n)
		}
		for _, bad := range []string{"<script", " style=", " onclick", "<img", "<link", "@import", "<iframe"} {
			if strings.Contains(plain, bad) {
				t.Errorf("%s: the page has %q", name, bad)
			}
		}
		outside := regexp.MustCompile(`(?:https?:)?//[a-z]`).FindAllString(strings.ReplaceAll(plain, "http://www.w3.org/2000/svg", ""), -1)
		fonts := regexp.MustCompile(`base64,[^)]*`).ReplaceAllString(plain, "")
		if len(outside) > 0 && regexp.MustCompile(`https?://`).MatchString(strings.ReplaceAll(fonts, "http://www.w3.org/2000/svg", "")) {
			t.Errorf("%s: the page names another place: %q", name, outside)
		}
	}
}

func TestPolicyAllowsThePagesOwnStyleAndScriptOnly(t *testing.T) {
	text := pageOf(t, demoReading(t, "vibraphone-low-water"), Pictures{})
	for _, tag := range []string{`(?s)<style>(.*?)</style>`, `(?s)<script type="module">(.*?)</script>`} {
		own := regexp.MustCompile(tag).FindStringSubmatch(text)
		if own == nil {
			t.Fatal("nothing like " + tag)
		}
		sum := sha256.Sum256([]byte(own[1]))
		want := "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
		if !strings.Contains(strings.ReplaceAll(text, "&#43;", "+"), want) {
			t.Errorf("the policy does not name %s", want)
		}
	}
	if strings.Contains(text, "unsafe-") || !strings.Contains(text, "default-src &#39;none&#39;") {
		t.Error("the policy is not strict")
	}
}

func TestIdsAreThereOnceAndReferencesFindThem(t *testing.T) {
	r := demoReading(t, "song-ferry-lamp")
	text := pageOf(t, r, drawn(t, r.File))
	ids := map[string]int{}
	for _, m := range regexp.MustCompile(`<[a-z][^<>]*? id="?([^" >]+)`).FindAllStringSubmatch(text, -1) {
		ids[m[1]]++
	}
	for id, n := range ids {
		if n > 1 {
			t.Errorf("id %s stands %d times", id, n)
		}
	}
	for _, m := range regexp.MustCompile(`(?:href="|url\()#([^")]+)`).FindAllStringSubmatch(text, -1) {
		if ids[m[1]] == 0 {
			t.Errorf("%s is nowhere", m[1])
			break
		}
	}
}

// The engraver's own places are the outside check: curves are drawn where they say a note stands.
func TestCurvesStandUnderTheirNotes(t *testing.T) {
	for _, name := range demo.Names() {
		r := demoReading(t, name)
		p := drawn(t, r.File)
		for z, e := range map[*sizes]*[]float64{&wide: {}, &narrow: {}} {
			beside, all := 0, 0
			systems := p.Wide.Systems
			if z == &narrow {
				systems = p.Narrow.Systems
			}
			for _, s := range systems {
				panel := newPanel(r, contentOf(r, nil), s, *z)
				for _, n := range s.Notes {
					if n.Grace || n.Rest {
						continue
					}
					m := r.Score.Measures[n.Measure]
					at := m.Start + score.Tick(math.Round(n.Onset*float64(r.Score.Division)))
					d := math.Abs(panel.x(at) - n.X)
					if d > n.Width/2 {
						beside++ // a second stands beside its chord
					}
					*e, all = append(*e, d), all+1
				}
			}
			slices.Sort(*e)
			// A whole note is wider than the others of its column, so not every centre can be met.
			if n := len(*e); n == 0 || (*e)[n/2] > 0.5 || beside*20 > all {
				t.Errorf("%s, width %g: median %g units of %d notes, %d missed", name, z.width, (*e)[n/2], n, beside)
			}
		}
	}
}

// bareValue is an attribute whose value stands without quotation marks, as HTML allows.
var bareValue = regexp.MustCompile(`(\s[\w:-]+=)([\w.#%:()-]+)`)

func TestSystemsAreWellFormedAndAllThere(t *testing.T) {
	r := demoReading(t, "quartet-below-the-weir")
	parts := newPageParts(r, drawn(t, r.File))
	for _, systems := range [][]SystemPart{parts.Wide, parts.Narrow} {
		bars := 0
		for _, s := range systems {
			bars += strings.Count(string(s.SVG), `class="hp-bar"`)
		}
		if bars != len(r.Score.Measures) {
			t.Errorf("%d measures drawn, want %d", bars, len(r.Score.Measures))
		}
	}
	parts.shrink(drawn(t, r.File).engravings())
	for _, s := range append(parts.Wide, parts.Narrow...) {
		d := xml.NewDecoder(strings.NewReader(bareValue.ReplaceAllString(string(s.SVG), `$1"$2"`)))
		d.Entity = xml.HTMLEntity
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatal(err)
			}
		}
	}
}

// A long or crowded piece stays small: its drawings are packed, both layouts of them.
func TestHeavyPageIsPacked(t *testing.T) {
	r := demoReading(t, "etude-millrace")
	p := drawn(t, r.File)
	for len(p.Narrow.Systems) < 200 {
		p.Narrow.Systems = append(p.Narrow.Systems, p.Narrow.Systems...)
	}
	text := pageOf(t, r, p)
	if len(text) > mostBytes || strings.Contains(text, `class="hp-system`) || strings.Contains(text, `class=eng-system`) || !strings.Contains(text, "<noscript>") {
		t.Errorf("%d bytes", len(text))
	}
	d := dataOf(t, text)
	if n := strings.Count(d.Packed["hp-narrow"], "<svg xmlns"); n < 200 || len(d.Packed["hp-wide"]) == 0 || !strings.Contains(d.Packed["hp-rows"], "<tr>") {
		t.Errorf("%d systems are packed", n)
	}
}

// dataOf unpacks the data of a page.
func dataOf(t *testing.T, text string) (d reportData) {
	t.Helper()
	m := regexp.MustCompile(`id="hp-data">([^<]*)<`).FindStringSubmatch(text)
	if m == nil {
		t.Fatal("no data")
	}
	packed, err := base64.RawURLEncoding.DecodeString(m[1])
	if err != nil {
		t.Fatal(err)
	}
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.NewDecoder(z).Decode(&d); err != nil {
		t.Fatal(err)
	}
	return d
}

func TestEveryMomentOfAReportIsExplainedAndPlayed(t *testing.T) {
	r := demoReading(t, "song-ferry-lamp")
	d := dataOf(t, pageOf(t, r, Pictures{}))
	for _, b := range d.Bars {
		for _, at := range b.Beats {
			if w := d.Why[at]; w == nil || !strings.HasSuffix(w.Because, ".") {
				t.Errorf("%s: %+v", at, w)
			}
		}
	}
	p, err := performed(r, sound.ShapedLevel)
	if err != nil {
		t.Fatal(err)
	}
	for i, part := range p.Parts {
		at := 0
		for k, n := range part.Notes {
			at += d.Sound.Parts[i].At[k]
			if math.Abs(float64(at)/44100-p.Seconds(n.Start)) > 1e-4 || math.Abs(float64(d.Sound.Parts[i].Shaped[k])/20-n.Level) > 0.03 {
				t.Fatalf("part %d, note %d: sample %d at %d twentieths, want %+v", i, k, at, d.Sound.Parts[i].Shaped[k], n)
			}
		}
	}
}

func TestOnlyPartCutsTheOthersOut(t *testing.T) {
	in := `<score-partwise><part-list><part-group number="1" type="start"/><score-part id="P1"><part-name>A</part-name></score-part>` +
		`<score-part id="P2"><part-name>B</part-name></score-part><part-group number="1" type="stop"/></part-list><part id="P1"><measure/></part><part id="P2"><measure number="1"/></part></score-partwise>`
	want := `<score-partwise><part-list><score-part id="P2"><part-name>B</part-name></score-part></part-list><part id="P2"><measure number="1"/></part></score-partwise>`
	if got := string(onlyPart([]byte(in), "P2")); got != want {
		t.Errorf("got %s", got)
	}
	if got := string(onlyPart([]byte(in), "P9")); got != in {
		t.Error("an unknown part must leave the score whole")
	}
}

func TestThinnedLineStaysNear(t *testing.T) {
	line := []point{{0, 0}, {1, 0.1}, {2, -0.1}, {3, 5}, {4, 5.05}, {5, 5}}
	got := thinned(line, 0.2)
	if want := []point{{0, 0}, {2, -0.1}, {3, 5}, {5, 5}}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := thinned([]point{{0, 0}, {1, 1}, {1, 4}, {2, 5}}, 0.2); len(got) != 4 {
		t.Errorf("a jump is lost: %v", got)
	}
}

func TestCompactKeepsEverySignAndLine(t *testing.T) {
	in := `<svg viewBox="0 0 9 9"><g transform="scale(.1)"><g id="w-m0" class="eng-measure"><path d="M1 2 L1 8" stroke-width="3"/>` +
		`<g class="eng-note"><use href="#a" x="1" y="2"/></g><path d="M0 5H9" stroke-width="3"/><polygon points="1,2 3,4"/>` +
		`<text x="1">a &amp; b</text></g></g></svg>`
	want := `<svg viewBox="0 0 9 9"><g transform="scale(.1)"><use href="#a" x="1" y="2"/><text x="1">a &amp; b</text>` +
		`<path d="M1 2V8M0 5H9" stroke-width="3"/><path d="M1,2 3,4Z"/></g></svg>`
	if got := compact(in); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if broken := `<svg><g>`; compact(broken) != broken {
		t.Error("what is not understood must stay")
	}
}

func TestJoinedLinesAreTheSameLines(t *testing.T) {
	for in, want := range map[string]string{
		"M0 5H9M0 7H9M9 5H20M9 7H20":  "M0 5H20M0 7H20",
		"M0 5H9M10 5H20":              "M0 5H9M10 5H20",
		"M0 5H9M9 6H20":               "M0 5H9M9 6H20",
		"M0 5H9M9 5H12M3 5V8M12 5H13": "M0 5H9M9 5H12M3 5V8M12 5H13",
	} {
		if got := joined(in); got != want {
			t.Errorf("%s became %s, want %s", in, got, want)
		}
	}
	for in, want := range map[string]string{
		"1916,4354 2938,4174 2938,4084 1916,4264": "M1916 4354l1022 -180V4084L1916 4264Z",
		"1,2 3,4 5,6 7,8":                         "M1,2 3,4 5,6 7,8Z",
		"1,2 3,4":                                 "M1,2 3,4Z",
	} {
		if got := outline(in); got != want {
			t.Errorf("%s became %s, want %s", in, got, want)
		}
	}
}

func TestBareKeepsWhatValuesSay(t *testing.T) {
	in := `<g class="a b"><use href="#g1" x="1" y="-2"/><rect class="hp-bar" data-measure="3" x="1"></rect><path d="M1 2H3"/></g>`
	want := `<g class="a b"><use href=#g1 x=1 y=-2 /><rect class=hp-bar data-measure=3 x=1></rect><path d="M1 2H3"/></g>`
	if got := bare(in); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestPageWithoutStavesHasItsCurves(t *testing.T) {
	r := demoReading(t, "vibraphone-low-water")
	text := pageOf(t, r, Pictures{Why: WithoutStaves(io.ErrUnexpectedEOF)})
	if !strings.Contains(text, "could not be drawn") || strings.Count(text, `class=hp-printed />`) < 6 {
		t.Error("no reason or no curves")
	}
}

func TestMarkupInAScoreStaysText(t *testing.T) {
	r := demoReading(t, "vibraphone-low-water")
	r.Score.Title, r.Score.Composer, r.Score.Parts[0].Name = `<script>x</script>`, `"><img src=x>`, `</svg><b>`
	text := pageOf(t, r, Pictures{})
	for _, bad := range []string{"<script>x", "<img", "</svg><b>"} {
		if strings.Contains(text, bad) {
			t.Errorf("%q got through", bad)
		}
	}
}

func TestPrintedSystemsFillThePage(t *testing.T) {
	cases := []struct {
		name    string
		height  float64 // of each of 12 systems, for a width of 1
		head    float64
		atMost  float64 // blank
		atLeast float64 // width
	}{
		{"three and a little fit at full width", 0.45, 0, 0.06, 1},
		{"four nearly fit", 0.38, 0, 0.06, 0.9},
		{"low ones", 0.2, 100, 0.1, 0.85},
	}
	for _, c := range cases {
		heights := make([]float64, 12)
		for i := range heights {
			heights[i] = c.height
		}
		w := bestWidth(a4, heights, c.head)
		if b := blank(a4, heights, c.head, w); b > c.atMost || w < c.atLeast-1e-9 {
			t.Errorf("%s: width %.3f leaves %.2f blank", c.name, w, b)
		}
	}
}

func TestFigures(t *testing.T) {
	for in, want := range map[string]string{"V65/V": "V|65|/V", "I": "I", "viiø43?": "viiø|43|?"} {
		if got := strings.Join(figures(in), "|"); got != want {
			t.Errorf("%s: %s, want %s", in, got, want)
		}
	}
}

func TestPlaybackPlaysEveryNoteInBothLevels(t *testing.T) {
	r := demoReading(t, "song-ferry-lamp")
	p, err := newPlayed(r)
	if err != nil {
		t.Fatal(err)
	}
	sounding, moved, got := 0, 0, 0
	for _, n := range r.Score.Notes {
		if n.Duration > 0 && !n.Cue {
			sounding++
		}
	}
	for i, part := range p.Parts {
		got += len(part.At)
		for k := range part.At {
			if part.At[k] < 0 || part.For[k] <= 0 {
				t.Errorf("part %d, note %d: %d samples after the last, for %d", i, k, part.At[k], part.For[k])
			}
			if part.Printed[k] != part.Shaped[k] {
				moved++
			}
		}
	}
	if got < sounding || moved == 0 {
		t.Errorf("%d notes played of %d, %d shaped", got, sounding, moved)
	}
	last := p.Knots[len(p.Knots)-1]
	if math.Abs(last[0]-p.Length) > 0.01 || math.Abs(last[1]-r.Score.Quarters(r.Score.Length())) > 0.01 {
		t.Errorf("the last knot is %v, the length %g s", last, p.Length)
	}
}

// A cadence called unsure in words is not stated without doubt in the picture.
func TestUnsureCadenceIsDoubtedInThePicture(t *testing.T) {
	r, err := report.New(demo.Score(t, "song-ferry-lamp"), report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	ph := &r.Harmony.Phrases[slices.IndexFunc(r.Harmony.Phrases, func(p phrasing.Phrase) bool {
		return p.Cadence >= 0 && r.Harmony.Cadences[p.Cadence].Kind == phrasing.ImperfectAuthentic
	})]
	cadences := r.Harmony.Cadences
	for confidence, want := range map[float64]string{0.9: " cadence</text>", 0.36: " cadence?</text>"} {
		ph.Close = confidence
		parts := newPageParts(r, Pictures{})
		found := false
		for _, s := range parts.Wide {
			found = found || strings.Contains(string(s.SVG), string(cadences[ph.Cadence].Kind)+want)
		}
		if !found {
			t.Errorf("confidence %v: no %q", confidence, want)
		}
	}
}
