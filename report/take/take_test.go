package take_test

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"hairpin/musicxml"
	"hairpin/performance"
	"hairpin/performance/sound"
	"hairpin/report"
	"hairpin/report/take"
	"hairpin/score"
)

// smf is a Standard MIDI File of some measures of a score, 96 ticks a quarter of half a
// second; velocity says how hard each note is struck, 0 leaves it out.
func smf(s *score.Score, velocity func(score.Note) int) *bytes.Buffer {
	type event struct {
		at       int
		key, vel byte
	}
	var list []event
	for _, n := range s.Notes {
		if v := velocity(n); v > 0 && !n.Grace {
			tick := func(t score.Tick) int { return int(96 * t / s.Division) }
			list = append(list, event{tick(n.Onset), byte(n.Pitch.Key()), byte(v)}, event{tick(n.End()) - 1, byte(n.Pitch.Key()), 0})
		}
	}
	slices.SortStableFunc(list, func(a, b event) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.vel, b.vel)) })
	var track []byte
	at := 0
	for _, e := range list {
		d := e.at - at
		track = append(track, byte(d>>7)|0x80, byte(d&0x7f), 0x90, e.key, e.vel)
		at = e.at
	}
	track = append(track, 0, 0xff, 0x2f, 0)
	b := bytes.NewBuffer([]byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk"))
	binary.Write(b, binary.BigEndian, uint32(len(track)))
	b.Write(track)
	return b
}

// followed lays a take over the étude, whose measures 4 to 6 carry a crescendo.
func followed(t *testing.T, velocity func(*score.Score, score.Note) int) (*report.Reading, *performance.Playing) {
	t.Helper()
	f, err := musicxml.Open("../../testdata/etude-millrace.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := report.New(f, report.Options{Measures: "1-8"})
	if err != nil {
		t.Fatal(err)
	}
	recording, err := performance.Read(smf(r.Score, func(n score.Note) int { return velocity(r.Score, n) }), "today.mid", sound.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	p, err := performance.Follow(r.Score, recording)
	if err != nil {
		t.Fatal(err)
	}
	return r, p
}

func told(t *testing.T, velocity func(*score.Score, score.Note) int) *take.Report {
	t.Helper()
	r, p := followed(t, velocity)
	return take.New(r, []*performance.Playing{p})
}

// falls gets softer from measure 4 to 6, against the page, and leaves the first note of
// measure 2 out.
func falls(s *score.Score, n score.Note) int {
	from, to := s.Measures[3].Start, s.Measures[6].Start
	switch {
	case n.Onset == s.Measures[1].Start:
		return 0
	case n.Onset >= s.Measures[8].Start:
		return 0
	case n.Onset < from:
		return 100
	}
	return 100 - int(50*min(n.Onset-from, to-from)/(to-from))
}

func TestContraryHairpinIsTold(t *testing.T) {
	r := told(t, falls)
	k := r.Takes[0]
	if len(k.Hairpins) == 0 || k.Hairpins[0].Verdict != "contrary" || !k.Hairpins[0].Clear || k.Hairpins[0].Measures != "4–6" {
		t.Errorf("hairpins %+v", k.Hairpins)
	}
	if len(k.Notes.Missed) == 0 || k.Notes.Missed[0].At != "2:1" || len(k.Notes.Wrong) > 0 {
		t.Errorf("notes %+v", k.Notes)
	}
	if len(k.Passes) != 1 || k.Passes[0].Measures != "1–8" || len(k.Beats) != 32 {
		t.Errorf("passes %+v, %d beats", k.Passes, len(k.Beats))
	}
}

func TestFormats(t *testing.T) {
	r := told(t, falls)
	var b bytes.Buffer
	if err := r.Write(&b, "json"); err != nil {
		t.Fatal(err)
	}
	var back map[string]any
	if err := json.Unmarshal(b.Bytes(), &back); err != nil || string(mustJSON(back["schema"])) != "1" {
		t.Errorf("%v, schema %v", err, back["schema"])
	}
	b.Reset()
	if err := r.Write(&b, "tsv"); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	if len(lines) != 33 || strings.Count(lines[5], "\t") != 10 {
		t.Errorf("%d lines, %q", len(lines), lines[5])
	}
	b.Reset()
	if err := r.Write(&b, "table"); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"1 written notes were missed", "contrary", "Played: mm. 1–8 from 0:00.", "Teacher and ear"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, b.String())
		}
	}
}

// A recording whose strokes are nearly alike is told where the page asks for loud and
// soft, not where it asks for one level; so is one that is cut off.
func TestCompressedIsTold(t *testing.T) {
	for _, c := range []struct {
		until   int // measure
		spread  float64
		clipped bool
		want    []string
	}{
		{8, 1.5, true, []string{"cut off", "looks compressed"}},
		{8, 1.5, false, []string{"looks compressed"}},
		{8, 6, false, nil},
		{8, 0, false, nil},
		{3, 1.5, false, nil},
	} {
		r, p := followed(t, func(s *score.Score, n score.Note) int {
			if n.Onset >= s.Measures[c.until].Start {
				return 0
			}
			return 80
		})
		p.Spread, p.Clipped = c.spread, c.clipped
		told := take.New(r, []*performance.Playing{p}).Takes[0].Warnings
		if len(told) != len(c.want) {
			t.Errorf("%+v: told %q", c, told)
			continue
		}
		for i, want := range c.want {
			if !strings.Contains(told[i], want) {
				t.Errorf("%+v: told %q", c, told)
			}
		}
	}
}

func mustJSON(v any) []byte {
	b, _ := json.Marshal(v)
	return b
}
