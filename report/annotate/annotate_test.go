package annotate

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// toAnnotate is a demo score read with our own analysis of it, so that what is
// written does not hang on what is heard.
func toAnnotate(t *testing.T, name, measures string) *report.Reading {
	t.Helper()
	f := demo.Score(t, name)
	r, err := report.New(f, report.Options{Measures: measures, Harmony: harmony.Options{Corrections: demo.Intended(t, name, f.Score)}})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func annotated(t *testing.T, r *report.Reading, onto *musicxml.File, opt Annotation) *musicxml.File {
	t.Helper()
	f, err := Add(r, onto, opt)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Every demo with every layer: our layers come out again without a trace, a
// second run changes nothing, and no note is touched.
func TestAnnotateTakesNothingAway(t *testing.T) {
	for _, name := range demo.Names() {
		r := toAnnotate(t, name, "")
		for _, shorthand := range []bool{false, true} {
			opt := Annotation{Layers: Layers(), Shorthand: shorthand, Remarks: []Remark{{At: 0, Part: -1, Text: "sing & <breathe>"}}}
			once := annotated(t, r, r.File, opt)
			if len(once.Layers()) < len(Layers())-1 { // a demo may have no proposal
				t.Errorf("%s: layers %v", name, once.Layers())
			}
			if twice := annotated(t, r, once, opt); !bytes.Equal(twice.Bytes(), once.Bytes()) {
				t.Errorf("%s: the second run changes the first", name)
			}
			back, err := once.Remove()
			if err != nil || !bytes.Equal(back.Bytes(), r.File.Bytes()) {
				t.Errorf("%s: the original does not come back (%v)", name, err)
			}
			if len(once.Score.Notes) != len(r.Score.Notes) || len(once.Score.Warnings) > 0 {
				t.Errorf("%s: %d notes of %d, warnings %v", name, len(once.Score.Notes), len(r.Score.Notes), once.Score.Warnings)
			}
		}
	}
}

// A score with our layers in it reads as the score without them.
func TestAnnotatedScoreReadsAsThePlainOne(t *testing.T) {
	for name, file := range scores(t) {
		plain, err := report.New(file, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		f := annotated(t, plain, plain.File, Annotation{Layers: Layers(), Remarks: []Remark{{At: 0, Part: -1, Text: "ff, molto cresc."}}})
		again, err := report.New(f, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, write := range []func(*report.Reading, io.Writer) error{
			func(r *report.Reading, w io.Writer) error { return r.Study(w, "json") },
			func(r *report.Reading, w io.Writer) error { return r.Levels(w, "tsv") },
			func(r *report.Reading, w io.Writer) error { return r.Chords(w, "tsv") },
		} {
			var a, b bytes.Buffer
			if err := errors.Join(write(plain, &a), write(again, &b)); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(a.Bytes(), b.Bytes()) {
				t.Errorf("%s: annotations of ours change the reading", name)
			}
		}
	}
}

// scores are the demos, as they are and without the marks of the page, where
// what we propose would be all there is.
func scores(t *testing.T) map[string]*musicxml.File {
	t.Helper()
	out := map[string]*musicxml.File{}
	marks := regexp.MustCompile(`(?s)<direction[ >].*?</direction>`)
	for _, name := range demo.Names() {
		out[name] = demo.Score(t, name)
		bare, err := musicxml.Read(bytes.NewReader(marks.ReplaceAll(out[name].Document(), nil)), name+" without marks", musicxml.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		out[name+" without marks"] = bare
	}
	return out
}

func TestAnnotateReplacesOneLayer(t *testing.T) {
	r := toAnnotate(t, "song-ferry-lamp", "")
	first := annotated(t, r, r.File, Annotation{Layers: []Layer{NumeralLayer, VerdictLayer}})
	second := annotated(t, r, first, Annotation{Layers: []Layer{NumeralLayer}, Shorthand: true})
	if got := second.Layers(); !slices.Contains(got, "numerals") || !slices.Contains(got, "verdicts") {
		t.Errorf("layers %v", got)
	}
	text := string(second.Document())
	if strings.Contains(text, ">E♭ major:") || !strings.Contains(text, ">E♭:") {
		t.Error("the numerals were not replaced")
	}
}

// The numerals are those of our own analysis, at its places.
func TestAnnotateNumerals(t *testing.T) {
	r := toAnnotate(t, "quartet-below-the-weir", "1-4")
	f := annotated(t, r, r.File, Annotation{Layers: []Layer{NumeralLayer}, Shorthand: true})
	var got []string
	for _, w := range f.Score.Words {
		if w.Part == len(f.Score.Parts)-1 {
			got = append(got, f.Score.At(w.At).String()+" "+w.Text)
		}
	}
	for i, c := range demo.Intended(t, "quartet-below-the-weir", r.Score) {
		want := r.At(c.At) + " " + c.Numeral.Format(*c.Key)
		if i == 0 && !slices.Contains(got, "1:1 G:") {
			t.Errorf("no key at the beginning: %v", got)
		}
		if c.At < r.To && !slices.Contains(got, want) {
			t.Errorf("%s is not among %v", want, got)
		}
	}
}

func TestAnnotateRefusesUnknownLayers(t *testing.T) {
	r := toAnnotate(t, "song-ferry-lamp", "")
	if _, err := Add(r, r.File, Annotation{Layers: []Layer{"colours"}}); err == nil || !strings.Contains(err.Error(), "colours") {
		t.Errorf("error %v", err)
	}
}

// Chord symbols of a transposing part stand in its written pitch.
func TestChordSymbols(t *testing.T) {
	g7 := tonal.Chord{Root: 1, Bass: 5, Quality: tonal.DominantSeventh}
	german := tonal.Chord{Root: 6, Bass: -4, Quality: tonal.German} // in C: F# over A flat
	for _, tt := range []struct {
		chord tonal.Chord
		shift score.Class
		names report.Names
		want  string
	}{
		{g7, 0, report.English, `<harmony><root><root-step>G</root-step></root><kind text="7">dominant</kind><bass><bass-step>B</bass-step></bass></harmony>`},
		{g7, 2, report.English, `<harmony><root><root-step>A</root-step></root><kind text="7">dominant</kind><bass><bass-step>C</bass-step><bass-alter>1</bass-alter></bass></harmony>`},
		{g7, 0, report.German, `<harmony><root><root-step text="G">G</root-step></root><kind text="7">dominant</kind><bass><bass-step text="H">B</bass-step></bass></harmony>`},
		{german, 0, report.English, `<harmony><root><root-step>A</root-step><root-alter>-1</root-alter></root><kind text="7">dominant</kind></harmony>`},
		{tonal.Chord{}, 0, report.English, ""},
	} {
		if got := symbolXML(tt.chord, tt.shift, tt.names); got != tt.want {
			t.Errorf("got  %s\nwant %s", got, tt.want)
		}
	}
}

// heights are the default-y of our texts in a document, by text.
func heights(t *testing.T, f *musicxml.File) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, m := range regexp.MustCompile(`<words default-y="(-?\d+)"[^>]*font-weight="(\w+)">([^<]*)<`).FindAllStringSubmatch(string(f.Document()), -1) {
		out[m[3]] = append(out[m[3]], m[1]+" "+m[2])
	}
	return out
}

// Numerals and numbers stand on a line each below the notes, whichever layers
// are asked for; our own scores need no more.
func TestAnnotateRows(t *testing.T) {
	for _, name := range demo.Names() {
		r := toAnnotate(t, name, "")
		all := heights(t, annotated(t, r, r.File, Annotation{Layers: Layers()}))
		lines := map[string]bool{}
		for _, list := range all {
			for _, x := range list {
				lines[strings.Fields(x)[0]] = true
			}
		}
		if len(lines) != 2 {
			t.Errorf("%s: lines %v", name, lines)
		}
		for text, list := range heights(t, annotated(t, r, r.File, Annotation{Layers: []Layer{TensionLayer}})) {
			if !slices.Equal(all[text], list) && len(all[text]) < len(list) {
				t.Errorf("%s: %s stands at %v alone, at %v with the others", name, text, list, all[text])
			}
		}
	}
}

// One number a phrase is bold: its highest.
func TestAnnotateTensionPeaks(t *testing.T) {
	r := toAnnotate(t, "etude-millrace", "")
	f := annotated(t, r, r.File, Annotation{Layers: []Layer{TensionLayer}})
	bold := 0
	for _, list := range heights(t, f) {
		for _, x := range list {
			if strings.HasSuffix(x, " bold") {
				bold++
			}
		}
	}
	if bold != len(r.Harmony.Phrases) {
		t.Errorf("%d bold numbers in %d phrases", bold, len(r.Harmony.Phrases))
	}
	if n := strings.Count(string(f.Document()), "numbers below: tension"); n != 1 {
		t.Errorf("the numbers are explained %d times", n)
	}
}

// crowded is a measure of sixteen chords, which no line of numerals has room for.
func crowded(t *testing.T) *annotator {
	t.Helper()
	s := &score.Score{Division: 4, Parts: []score.Part{{Staves: 1}}, Measures: []score.Measure{{Number: "1", Length: 16, Beats: 4, BeatUnit: 4}}}
	r := &report.Reading{Score: s, Harmony: &harmony.Analysis{Phrases: []phrasing.Phrase{{Start: 0, End: 16}}}, To: 16}
	for i := range score.Tick(16) {
		s.Notes = append(s.Notes, score.Note{Onset: i, Duration: 1, Staff: 1})
		numeral, _ := tonal.ParseNumeral([...]string{"V65", "I"}[i%2], tonal.Key{})
		r.Harmony.Chords = append(r.Harmony.Chords, tonal.Chord{Start: i, End: i + 1, Numeral: numeral, Tension: tonal.Tension{Total: float64(40 + i)}})
	}
	a := &annotator{r: r, onto: &musicxml.File{Score: s}, bottom: desk{0, 1}}
	a.layRows()
	return a
}

// Where harmony is faster than numerals are wide, they stand on several lines and
// none is lost; of the numbers those that fit stay, and the highest of the phrase.
func TestAnnotateCrowded(t *testing.T) {
	a := crowded(t)
	var texts []string
	used := map[int]bool{}
	for _, n := range a.list {
		texts = append(texts, n.text)
		used[n.lane] = true
	}
	if all := strings.Join(texts, " "); strings.Count(all, "V65") != 8 || strings.Count(all, "I") != 8 || len(used) != lanes {
		t.Errorf("numerals %q on %d lines", texts, len(used))
	}
	list := a.numbers()
	if n := len(list); n > 12 || list[n-1].text != "55" || !list[n-1].peak {
		t.Errorf("numbers %v", list)
	}
	for i := 1; i < len(list); i++ {
		if a.runInto(list[i-1], list[i]) {
			t.Errorf("%s runs into %s", list[i-1].text, list[i].text)
		}
	}
}

// Proposed hairpins lie inside the piece, do not overlap, last a beat or more,
// and never lie over a printed one of their part.
func TestProposedPins(t *testing.T) {
	for _, name := range demo.Names() {
		r := toAnnotate(t, name, "")
		part := mostMarked(r.Score, r.ShownParts())
		last := score.Tick(0)
		for _, p := range proposedPins(r, part) {
			if p.start < last || p.end <= p.start || p.end > r.Score.Length() {
				t.Errorf("%s: %v after %d", name, p, last)
			}
			last = p.end
			for _, h := range r.Score.Hairpins {
				if h.Part == part && h.Start < p.end && h.End > p.start {
					t.Errorf("%s: %s over a printed hairpin", name, r.At(p.start))
				}
			}
		}
	}
}

// TestAnnotateGolden compares numerals, chord names and a remark in a short
// excerpt with the stored document.
func TestAnnotateGolden(t *testing.T) {
	r := toAnnotate(t, "vibraphone-low-water", "1-4")
	f := annotated(t, r, r.File, Annotation{Layers: []Layer{NumeralLayer, ChordLayer, RemarkLayer}, Names: report.German, Remarks: []Remark{{At: 0, Part: -1, Text: "ruhig"}}})
	demo.Golden(t, "annotated.musicxml", f.Document())
}
