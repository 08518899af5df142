package sound

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"math"
	"slices"
	"testing"

	"hairpin/harmony"
	"hairpin/internal/midi"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// toHear is a demo score read with our own analysis of it, so that what is
// written does not hang on what is heard.
func toHear(t *testing.T, name, measures string) *report.Reading {
	t.Helper()
	f := demo.Score(t, name)
	r, err := report.New(f, report.Options{Measures: measures, Harmony: harmony.Options{Corrections: demo.Intended(t, name, f.Score)}})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func performed(t *testing.T, r *report.Reading, l Listening) *midi.Performance {
	t.Helper()
	p, err := Perform(r, l)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// withWords puts words at the start of a measure.
func withWords(r *report.Reading, text string, measure int) {
	r.Score.Words = append(r.Score.Words, score.Words{Place: score.Place{At: r.Score.Measures[measure].Start}, Text: text})
	slices.SortStableFunc(r.Score.Words, func(a, b score.Words) int { return cmp.Compare(a.At, b.At) })
}

// Switching from printed to shaped changes loudness and nothing else.
func TestShapedChangesLoudnessOnly(t *testing.T) {
	for _, name := range demo.Names() {
		for _, measures := range []string{"", "5-8"} {
			r := toHear(t, name, measures)
			withWords(r, "rit.", 6)
			a, b := performed(t, r, Listening{Level: PrintedLevel}), performed(t, r, Listening{Level: ShapedLevel})
			changed := 0
			for i := range a.Parts {
				if len(a.Parts[i].Notes) != len(b.Parts[i].Notes) {
					t.Fatalf("%s: %d and %d notes", name, len(a.Parts[i].Notes), len(b.Parts[i].Notes))
				}
				for k, n := range a.Parts[i].Notes {
					m := b.Parts[i].Notes[k]
					if n.Start != m.Start || n.End != m.End || math.Abs(n.Key-m.Key) > 0 {
						t.Errorf("%s: note %d moves", name, k)
					}
					if math.Abs(n.Level-m.Level) > 0.05 {
						changed++
					}
				}
			}
			if changed == 0 {
				t.Errorf("%s: the shaping changes no loudness", name)
			}
			same := func(x, y midi.Tempo) bool { return x.At == y.At && math.Abs(x.PerMin-y.PerMin) < 1e-9 }
			if !slices.EqualFunc(a.Tempos, b.Tempos, same) || len(a.Tempos) < 3 || a.Length != b.Length {
				t.Errorf("%s: the tempo changes", name)
			}
		}
	}
}

// What is heard as proposed is the line that is drawn; each beat's bend is another choice.
func TestProposedSoundsAsDrawn(t *testing.T) {
	r := markedScore(t)
	off := func(level LevelSource, drawn func(score.Tick) float64) float64 {
		p, least, most := performed(t, r, Listening{Level: level}), 9.0, -9.0
		for _, n := range p.Parts[0].Notes {
			if n.Key > 66 { // the top of each chord stands out of it by the same
				d := n.Level - drawn(r.Score.Measures[int(n.Start)/(4*int(p.Quarter))].Start)
				least, most = min(least, d), max(most, d)
			}
		}
		return most - least
	}
	if d := off(ShapedLevel, r.Line.At); d > 1e-6 {
		t.Errorf("proposed sounds %.3f steps beside the line", d)
	}
	if d := off(BeatsLevel, r.Shaping.At); d > 1e-6 {
		t.Errorf("each beat sounds %.3f steps beside its shaping", d)
	}
	if d := off(BeatsLevel, r.Line.At); d < 0.1 {
		t.Error("the two are one")
	}
}

// marks is a score of one note a mark, in our own invention.
const marks = `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Violin</part-name></score-part></part-list><part id="P1">` +
	`<measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>MARKpp</measure>` +
	`<measure number="2">MARKp</measure><measure number="3">MARKmp</measure><measure number="4">MARKmf</measure>` +
	`<measure number="5">MARKf</measure><measure number="6">MARKff</measure></part></score-partwise>`

func markedScore(t *testing.T) *report.Reading {
	t.Helper()
	doc := marks
	for _, m := range []string{"pp", "ff", "mp", "mf", "p", "f"} {
		doc = string(bytes.ReplaceAll([]byte(doc), []byte("MARK"+m+"<"), []byte(
			"<direction><direction-type><dynamics><"+m+"/></dynamics></direction-type></direction>"+
				"<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>"+
				"<note><chord/><pitch><step>E</step><octave>4</octave></pitch><duration>4</duration></note>"+
				"<note><chord/><pitch><step>G</step><octave>4</octave></pitch><duration>4</duration></note><")))
	}
	f, err := musicxml.Read(bytes.NewReader([]byte(doc)), "marks", musicxml.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := report.New(f, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// From pp to ff every printed mark is louder than the one before in the sound file.
func TestWAVLoudnessPerMark(t *testing.T) {
	r := markedScore(t)
	var b bytes.Buffer
	if err := WriteWAV(&b, r, Listening{Level: PrintedLevel, Tempo: 240}); err != nil {
		t.Fatal(err)
	}
	before := 0.0
	for i, name := range []string{"pp", "p", "mp", "mf", "f", "ff"} {
		sum := 0.0
		for k := range 44100 { // a measure lasts a second
			v := float64(int16(binary.LittleEndian.Uint16(b.Bytes()[44+4*(44100*i+k):])))
			sum += v * v
		}
		now := 10 * math.Log10(sum/44100/32768/32768)
		t.Logf("%-2s %.1f dB", name, now)
		if i > 0 && (now-before < 2 || now-before > 5) {
			t.Errorf("%s is %.1f dB above the mark before it", name, now-before)
		}
		before = now
	}
}

// The harmony form plays the chords of the analysis, the tenser the louder.
func TestHarmonyForm(t *testing.T) {
	r := toHear(t, "quartet-below-the-weir", "")
	p := performed(t, r, Listening{Level: HarmonyLevel})
	starts := map[midi.Tick]float64{}
	for _, n := range p.Parts[0].Notes {
		starts[n.Start] = n.Level
	}
	if len(p.Parts) != 1 || len(starts) != len(r.Harmony.Chords) {
		t.Errorf("%d parts, %d chords of %d", len(p.Parts), len(starts), len(r.Harmony.Chords))
	}
	if !p.Parts[0].Sustained {
		t.Error("long chords die away")
	}
}

// The bare harmony is on the mean as loud as the page, so that the two can be compared.
func TestHarmonyIsAsLoudAsThePage(t *testing.T) {
	for _, name := range demo.Names() {
		r := toHear(t, name, "")
		levels := tensionLevels(r)
		page, bare, long := 0.0, 0.0, 0.0
		for _, m := range r.Harmony.Moments {
			if m.Chord >= 0 {
				w := float64(m.End - m.Start)
				page, bare, long = page+w*r.Page.Whole.At(m.Start), bare+w*levels.level(0, 0, m.Start), long+w
			}
		}
		if math.Abs(page-bare) > 0.1*long {
			t.Errorf("%s: level %.2f for the page's %.2f", name, bare/long, page/long)
		}
	}
}

// Played once, a page with two endings goes into the second (common practice, no source).
func TestOnceTakesTheLastEnding(t *testing.T) {
	r := markedScore(t)
	s := *r.Score
	at := func(i int) score.Tick { return s.Measures[i].Start }
	s.Repeats = []score.Repeat{{At: at(3), Measure: 2}}
	s.Endings = []score.Ending{{Start: at(2), End: at(3), First: 2, Last: 2, Numbers: []int{1}}, {Start: at(3), End: at(4), First: 3, Last: 3, Numbers: []int{2}}}
	r.Score = &s
	p := performed(t, r, Listening{Level: PrintedLevel})
	if got, want := len(p.Parts[0].Notes), 3*5; got != want {
		t.Errorf("%d notes of five measures, want %d", got, want)
	}
}

// A measure that opens with its own mark is played at that mark from its first note.
func TestExcerptOpensWithItsOwnMark(t *testing.T) {
	r := markedScore(t)
	cut := score.Cut(r.Score, score.Stretch{From: r.Score.Measures[4].Start, To: r.Score.Measures[5].Start})
	if len(cut.Dynamics) != 1 || cut.Dynamics[0].Mark != "f" {
		t.Errorf("dynamics %v, want f alone", cut.Dynamics)
	}
}

func TestListenRefuses(t *testing.T) {
	r := toHear(t, "song-ferry-lamp", "1-2")
	for _, l := range []Listening{{}, {Level: "loud"}, {Level: PrintedLevel, Tone: "bowed"}, {Level: PrintedLevel, Tempo: 9000}, {Level: PrintedLevel, Tempo: math.NaN()}} {
		if err := WriteMIDI(&bytes.Buffer{}, r, l); err == nil {
			t.Errorf("%+v is taken", l)
		}
	}
}

func TestOnePartAlone(t *testing.T) {
	f := demo.Score(t, "song-ferry-lamp")
	r, err := report.New(f, report.Options{Part: 1})
	if err != nil {
		t.Fatal(err)
	}
	p := performed(t, r, Listening{Level: PrintedLevel})
	if len(p.Parts[0].Notes) == 0 || len(p.Parts[1].Notes) > 0 {
		t.Errorf("%d and %d notes", len(p.Parts[0].Notes), len(p.Parts[1].Notes))
	}
}
