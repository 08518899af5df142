//go:build !js

package engrave

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// desk and phone are the two widths of the page.
var (
	desk  = Layout{PageWidth: 2600, Prefix: "desk"}
	phone = Layout{PageWidth: 1100, Prefix: "phone"}
)

// common is one engraver for all tests that need nothing special.
var common = sync.OnceValues(func() (*Engraver, error) { return New(context.Background(), Options{}) })

func engraver(t *testing.T) *Engraver {
	t.Helper()
	e, err := common()
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func evening(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile("testdata/evening.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func engraved(t *testing.T, xml []byte, layout Layout) *Engraving {
	t.Helper()
	g, err := engraver(t).Engrave(t.Context(), xml, layout)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// long is a score of that many measures of four quarters, two staves.
func long(measures int) []byte {
	var b strings.Builder
	b.WriteString(`<score-partwise><part-list><score-part id="P"><part-name>P</part-name></score-part></part-list><part id="P">`)
	for i := range measures {
		fmt.Fprintf(&b, `<measure number="%d">`, i+1)
		if i == 0 {
			b.WriteString(`<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>`)
		}
		for k := range 4 {
			fmt.Fprintf(&b, `<note><pitch><step>%c</step><octave>%d</octave></pitch><duration>1</duration><voice>1</voice><type>quarter</type></note>`, "CDEFGAB"[(i+2*k)%7], 4+k%2)
		}
		b.WriteString(`</measure>`)
	}
	b.WriteString(`</part></score-partwise>`)
	return []byte(b.String())
}

func TestEveryMeasureAndNoteHasAPlace(t *testing.T) {
	for _, layout := range []Layout{desk, phone, {PageWidth: 600, Scale: 60}} {
		g := engraved(t, evening(t), layout)
		var measures, notes []int
		for _, s := range g.Systems {
			for _, m := range s.Measures {
				measures = append(measures, m.Index)
				if len(m.Staves) != 3 {
					t.Errorf("width %d: measure %d has %d staves, want 3", layout.PageWidth, m.Index, len(m.Staves))
				}
				if !(0 < m.X0 && m.X0 < m.X1 && m.X1 < s.Width && 0 < m.Top && m.Top < m.Bottom && m.Bottom < s.Height) {
					t.Errorf("width %d: measure %+v outside its system", layout.PageWidth, m)
				}
			}
			for _, n := range s.Notes {
				notes = append(notes, n.Source)
			}
		}
		slices.Sort(notes)
		if want := []int{0, 1, 2}; !slices.Equal(measures, want) {
			t.Errorf("width %d: measures %v, want %v", layout.PageWidth, measures, want)
		}
		if len(notes) != 19 || notes[0] != 0 || notes[18] != 18 {
			t.Errorf("width %d: notes %v, want 0 to 18", layout.PageWidth, notes)
		}
	}
}

// The picture itself is the outside check: every notehead is looked up in the SVG text.
func TestPlacesAgreeWithThePicture(t *testing.T) {
	g := engraved(t, evening(t), desk)
	scale := regexp.MustCompile(`<g transform="scale\(([\d.]+)\) translate\((\S+) (\S+)\)"`)
	for _, s := range g.Systems {
		m := scale.FindStringSubmatch(s.SVG)
		unit, dx, dy := atof(t, m[1]), atof(t, m[2]), atof(t, m[3])
		for _, n := range s.Notes {
			head := regexp.MustCompile(`id="` + n.ID + `"[^>]*><use href="#[^"]+" x="([^"]+)" y="([^"]+)"`).FindStringSubmatch(s.SVG)
			if head == nil {
				t.Errorf("%s is not in the picture", n.ID)
				continue
			}
			left, y := (atof(t, head[1])+dx)*unit, (atof(t, head[2])+dy)*unit
			if math.Abs(n.X-n.Width/2-left) > 0.02 || math.Abs(n.Y-y) > 0.02 {
				t.Errorf("%s: read back at %.2f %.2f, drawn at %.2f %.2f", n.ID, n.X-n.Width/2, n.Y, left, y)
			}
			if n.Width < 10 || n.Width > 40 {
				t.Errorf("%s: a sign %.1f wide is not believable", n.ID, n.Width)
			}
		}
	}
}

func atof(t *testing.T, s string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestXAtStandsOnTheNotes(t *testing.T) {
	for _, layout := range []Layout{desk, phone} {
		g := engraved(t, evening(t), layout)
		var off []float64
		for _, s := range g.Systems {
			for _, n := range s.Notes {
				if n.Grace || n.Rest {
					continue
				}
				x, ok := s.XAt(n.Measure, n.Onset)
				if !ok {
					t.Errorf("measure %d is not found", n.Measure)
				}
				off = append(off, math.Abs(x-n.X))
			}
		}
		slices.Sort(off)
		// A unit is less than a pixel on any screen narrower than the layout is wide.
		if median := off[len(off)/2]; median >= 1 {
			t.Errorf("width %d: median distance %.2f units, want under 1", layout.PageWidth, median)
		}
	}
}

func TestXAtRunsForward(t *testing.T) {
	g := engraved(t, evening(t), desk)
	lengths := []float64{1, 3, 3} // pickup of a quarter, then three quarters each
	for i, length := range lengths {
		s := g.Systems[g.Find(i)]
		last := 0.0
		for at := 0.0; at <= length; at += 0.05 {
			x, ok := s.XAt(i, at)
			if !ok || x <= last {
				t.Fatalf("measure %d at %.2f: x %.2f after %.2f", i, at, x, last)
			}
			last = x
		}
	}
	if _, ok := g.Systems[0].XAt(99, 0); ok || g.Find(99) != -1 {
		t.Error("a measure that is not there was found")
	}
}

// Onsets by hand from the score: quarter notes from the start of the measure.
func TestOnsets(t *testing.T) {
	s, err := stamp(evening(t), 100, stretch{})
	if err != nil {
		t.Fatal(err)
	}
	third := 1.0 / 3
	want := []float64{
		0, 0, 2 * third, 4 * third, 2, 2, 0, 2, // voice: pickup, triplet with grace note, rest and note
		0, 0, 0, 0, 0, 1, 1.5, 2, 0, 0, 0, // piano: rests, chord of three and what follows, bass, last measure
	}
	if len(s.notes) != len(want) {
		t.Fatalf("%d notes, want %d", len(s.notes), len(want))
	}
	for i, n := range s.notes {
		if math.Abs(n.onset-want[i]) > 1e-9 {
			t.Errorf("note %d at %v, want %v", i, n.onset, want[i])
		}
	}
	for i, length := range []float64{1, 3, 3} {
		if math.Abs(s.measures[i]-length) > 1e-9 {
			t.Errorf("measure %d lasts %v, want %v", i, s.measures[i], length)
		}
	}
}

func TestPictureIsCleanAndOurOwn(t *testing.T) {
	g := engraved(t, evening(t), phone)
	all := Defs(g)
	for _, s := range g.Systems {
		all += s.SVG
	}
	for _, bad := range []string{"CHORD", "CREDIT", "xlink", "<style", " style=", "@import", "https:", "<script", "<desc", "own-", "Leipzig", "fill=\"#", "color="} {
		if strings.Contains(all, bad) {
			t.Errorf("the picture contains %q", bad)
		}
	}
	for _, m := range regexp.MustCompile(`(id|class)="([^"]*)"`).FindAllStringSubmatch(all, -1) {
		if !strings.HasPrefix(m[2], "eng-") && !(m[1] == "id" && strings.HasPrefix(m[2], "phone-")) {
			t.Errorf("foreign %s %q", m[1], m[2])
		}
	}
	for _, text := range []string{"Still", "runs &amp; slows", "poco più łagodny"} {
		if !strings.Contains(all, text) {
			t.Errorf("the picture lacks %q", text)
		}
	}
	for _, ref := range regexp.MustCompile(`href="#([^"]+)"`).FindAllStringSubmatch(all, -1) {
		if !strings.Contains(all, `<path id="`+ref[1]+`"`) {
			t.Errorf("sign %s is used but not defined", ref[1])
		}
	}
}

func TestFontsNeeded(t *testing.T) {
	fonts, err := Fonts(engraved(t, evening(t), desk), engraved(t, evening(t), phone))
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	for _, f := range fonts {
		files = append(files, f.File)
		if !bytes.HasPrefix(f.WOFF2, []byte("wOF2")) {
			t.Errorf("%s is not a font", f.File)
		}
	}
	slices.Sort(files)
	want := []string{"music.woff2", "text-latin-400-italic.woff2", "text-latin-400-normal.woff2", "text-latin-700-normal.woff2", "text-latin-ext-400-italic.woff2"}
	if !slices.Equal(files, want) {
		t.Errorf("fonts %v, want %v", files, want)
	}
	if css := FontCSS(fonts); strings.Count(css, "@font-face") != len(fonts) {
		t.Error("the style sheet does not declare every font")
	}
}

func TestSameBytesTwice(t *testing.T) {
	a, b := engraved(t, evening(t), desk), engraved(t, evening(t), desk)
	if Defs(a) != Defs(b) || len(a.Systems) != len(b.Systems) {
		t.Fatal("two runs differ")
	}
	for i := range a.Systems {
		if a.Systems[i].SVG != b.Systems[i].SVG {
			t.Errorf("system %d differs between two runs", i)
		}
	}
}

func TestTwoAtOnce(t *testing.T) {
	want := engraved(t, long(12), phone)
	second, err := New(t.Context(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer second.Close(context.Background())
	var wait sync.WaitGroup
	for i, e := range []*Engraver{engraver(t), engraver(t), engraver(t), second} {
		wait.Go(func() {
			g, err := e.Engrave(t.Context(), long(12), phone)
			if err != nil {
				t.Errorf("run %d: %v", i, err)
			} else if len(g.Systems) != len(want.Systems) || g.Systems[0].SVG != want.Systems[0].SVG {
				t.Errorf("run %d differs", i)
			}
		})
	}
	wait.Wait()
}

func TestOutOfMemoryIsAnErrorAndTheNextCallWorks(t *testing.T) {
	e, err := New(t.Context(), Options{MemoryMB: 129})
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close(context.Background())
	if _, err := e.Engrave(t.Context(), long(4000), desk); err == nil {
		t.Fatal("4000 measures fit into 129 MB")
	} else {
		t.Log(err)
	}
	if _, err := e.Engrave(t.Context(), evening(t), desk); err != nil {
		t.Errorf("after the failure: %v", err)
	}
}

func TestTimeLimitAndCancel(t *testing.T) {
	e, err := New(t.Context(), Options{Timeout: 300 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close(context.Background())
	start := time.Now()
	_, err = e.Engrave(t.Context(), long(8000), desk)
	if err == nil || !strings.Contains(err.Error(), "longer than 0.3 seconds") {
		t.Errorf("time limit: %v", err)
	}
	if took := time.Since(start); took > 20*time.Second {
		t.Errorf("stopped only after %v", took)
	}
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(50*time.Millisecond, cancel)
	if _, err := engraver(t).Engrave(ctx, long(8000), desk); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if _, err := engraver(t).Engrave(t.Context(), evening(t), desk); err != nil {
		t.Errorf("after cancelling: %v", err)
	}
}

func TestLayoutIsChecked(t *testing.T) {
	for _, layout := range []Layout{{}, {PageWidth: 100}, {PageWidth: 1e6}, {PageWidth: 2600, Scale: 1}, {PageWidth: 2600, Scale: 9999},
		{PageWidth: 2600, Prefix: `x" onload="`}, {PageWidth: 2600, Prefix: "1a"}} {
		if _, err := engraver(t).Engrave(t.Context(), evening(t), layout); err == nil {
			t.Errorf("layout %+v was accepted", layout)
		}
	}
}

func TestReplacedModule(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "other.wasm.gz")
	write := func(name string, data []byte) {
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(path, builtinModule)
	if _, err := New(t.Context(), Options{Module: path}); err == nil {
		t.Error("a module with shortened names was accepted without its table")
	}
	write(filepath.Join(dir, "other.names.json"), builtinNames)
	e, err := New(t.Context(), Options{Module: path})
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close(context.Background())
	if _, err := e.Engrave(t.Context(), evening(t), desk); err != nil {
		t.Error(err)
	}
	write(path, []byte("not a module"))
	if _, err := New(t.Context(), Options{Module: path}); err == nil {
		t.Error("nonsense was accepted as a module")
	}
	if _, err := New(t.Context(), Options{Module: filepath.Join(dir, "absent.wasm")}); err == nil {
		t.Error("an absent module was accepted")
	}
}

func TestCacheDirThatCannotBeWritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if testing.Short() {
		t.Skip("compiles anew")
	}
	e, err := New(t.Context(), Options{CacheDir: filepath.Join(file, "below")})
	if err != nil {
		t.Fatal(err)
	}
	e.Close(context.Background())
}

// What is being drawn when the engraver is closed is drawn to its end or
// stopped, and never runs in memory that is gone.
func TestCloseWaitsForADrawing(t *testing.T) {
	e, err := New(t.Context(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		_, err := e.Engrave(ctx, long(400), desk)
		ended <- err
	}()
	for len(e.slots) == 0 {
		time.Sleep(time.Millisecond)
	}
	time.AfterFunc(50*time.Millisecond, stop)
	for range 2 {
		if err := e.Close(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	select {
	case <-ended:
	case <-time.After(time.Second):
		t.Error("it was closed while something was being drawn")
	}
}

// The first systems, drawn from the first measures alone, are those of the whole.
func TestTheBeginningComesFirst(t *testing.T) {
	for _, layout := range []Layout{desk, phone} {
		var head *Engraving
		whole, err := engraver(t).EngraveFrom(t.Context(), long(100), layout, func(g *Engraving) { head = g })
		if err != nil {
			t.Fatal(err)
		}
		if head == nil || len(head.Systems) == 0 || len(head.Systems) >= len(whole.Systems) {
			t.Fatalf("width %d: no beginning came", layout.PageWidth)
		}
		if !whole.Begins(head) {
			t.Errorf("width %d: the beginning is drawn otherwise", layout.PageWidth)
		}
		for i, s := range head.Systems {
			if !slices.EqualFunc(s.Notes, whole.Systems[i].Notes, func(a, b NoteBox) bool { return a == b }) {
				t.Errorf("width %d: the notes of system %d stand otherwise", layout.PageWidth, i)
			}
		}
	}
	_, err := engraver(t).EngraveFrom(t.Context(), evening(t), desk, func(*Engraving) { t.Error("a short score has a beginning") })
	if err != nil {
		t.Fatal(err)
	}
}

func TestHeadIsWellFormed(t *testing.T) {
	two := bytes.Replace(long(20), []byte(`</part></score-partwise>`), []byte(`</part><part id="Q"><measure number="1"><note><rest/><duration>4</duration></note></measure></part></score-partwise>`), 1)
	s, err := stamp(two, 1000, stretch{})
	if err != nil {
		t.Fatal(err)
	}
	head := s.head(3)
	again, err := stamp(head, 1000, stretch{})
	if err != nil {
		t.Fatal(err)
	}
	if len(again.measures) != 3 || again.parts != 2 || len(again.notes) != 13 {
		t.Errorf("%d measures, %d parts, %d notes; want 3, 2, 13", len(again.measures), again.parts, len(again.notes))
	}
	if half, err := stamp(s.head(50), 1000, stretch{}); err != nil || len(half.measures) != 10 {
		t.Errorf("a head of more than half: %v", err)
	}
	if short, err := stamp(long(15), 1000, stretch{}); err != nil || short.head(3) != nil {
		t.Errorf("a short score has a head (%v)", err)
	}
}
