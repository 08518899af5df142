package midi

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"os"
	"testing"
)

// toneTable is what a page is told of a performance, and some of the samples that
// WriteWAV gives of it at a speed. web/src/synth.test.ts reads the same file.
type toneTable struct {
	Gain  float64    `json:"gain"`
	Speed float64    `json:"speed"`
	Parts []tonePart `json:"parts"`
	Heard []heard    `json:"heard"`
}

type tonePart struct {
	Voice
	Notes []toneNote `json:"notes"`
}

type toneNote struct {
	At    float64 `json:"at"` // seconds
	End   float64 `json:"end"`
	Key   float64 `json:"key"`
	Level float64 `json:"level"`
	Drum  bool    `json:"drum,omitempty"`
}

// heard are samples from one on, left and right in turn.
type heard struct {
	From    int     `json:"from"`
	Samples []int16 `json:"samples"`
}

// everyTone has all timbres, a microtone, a level below ppp, a level that swells
// under a held note, and a drum.
func everyTone() *Performance {
	p := &Performance{Quarter: 480, Length: 1920, Tempos: []Tempo{{0, 120}}}
	for i, name := range []string{"Marimba", "Vibraphone", "Xylophone", "Glockenspiel", "Piano", "Harp", "Violin", "Drum"} {
		key := float64(52 + 5*i)
		part := Part{Name: name, Sustained: name == "Violin", Notes: []Note{
			{Start: Tick(40 * i), End: Tick(500 + 40*i), Key: key, Level: 2 + 0.7*float64(i), Drum: name == "Drum"},
			{Start: Tick(700 + 30*i), End: 1500, Key: key + 7.5, Level: 0.6 + 0.9*float64(i), Drum: name == "Drum"},
		}}
		part.Levels = []Level{{0, 3}, {200, 4.5}, {600, 2}, {900, 6}, {1200, 7.5}}
		p.Parts = append(p.Parts, part)
	}
	return p
}

func newToneTable(t *testing.T) toneTable {
	t.Helper()
	p := everyTone()
	voices, gain := p.Voices()
	out := toneTable{Gain: gain, Speed: 0.8}
	for i, part := range p.Parts {
		list := []toneNote{}
		for _, n := range part.Notes {
			list = append(list, toneNote{p.Seconds(n.Start), p.Seconds(n.End), n.Key, n.Level, n.Drum})
		}
		out.Parts = append(out.Parts, tonePart{voices[i], list})
	}
	for _, from := range []int{0, 20 * block, 90 * block, 200 * block, 400 * block} {
		var b bytes.Buffer
		if err := p.Sound(out.Speed).WritePCM(&b, from, from+64); err != nil {
			t.Fatal(err)
		}
		h := heard{From: from, Samples: make([]int16, 128)}
		if err := binary.Read(&b, binary.LittleEndian, h.Samples); err != nil {
			t.Fatal(err)
		}
		out.Heard = append(out.Heard, h)
	}
	return out
}

// The samples stand in a table that the page's own tones are held to as well. It
// is written anew with HAIRPIN_UPDATE=1.
func TestTonesAreThoseOfTheTable(t *testing.T) {
	const file = "testdata/tones.json"
	got := newToneTable(t)
	if os.Getenv("HAIRPIN_UPDATE") != "" {
		text, err := json.Marshal(got)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, append(text, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var want toneTable
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	if len(got.Heard) != len(want.Heard) || math.Abs(got.Gain-want.Gain) > 1e-9 {
		t.Fatalf("%d stretches at a gain of %g, want %d at %g", len(got.Heard), got.Gain, len(want.Heard), want.Gain)
	}
	for i, h := range want.Heard {
		for k, s := range h.Samples {
			if d := int(s) - int(got.Heard[i].Samples[k]); d < -1 || d > 1 {
				t.Fatalf("from %d, sample %d: %d, want %d", h.From, k, got.Heard[i].Samples[k], s)
			}
		}
	}
}
