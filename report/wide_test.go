package report

import (
	"bytes"
	"fmt"
	"io"
	"testing"

	"hairpin/internal/golden"
	"hairpin/report/internal/demo"
)

// What a player reads of medleys, in every format. They are written anew with
// HAIRPIN_UPDATE=1 go test ./report -run Golden.
func TestGoldenMedleys(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(40) {
		r := medley(t, 300+seed, Options{Width: 60 + 10*int(seed%6), All: seed%3 == 0, Colour: seed%4 == 0, Part: int(seed%5) / 4})
		name := fmt.Sprint("medley ", seed, " ")
		for _, format := range []string{"table", "tsv", "json"} {
			sums.Add(t, name+"study "+format, written(t, r.Study, format))
			sums.Add(t, name+"chords "+format, written(t, r.Chords, format))
			sums.Add(t, name+"levels "+format, written(t, r.Levels, format))
		}
		for _, format := range []string{"table", "json"} {
			sums.Add(t, name+"explain "+format, explained(t, r, format))
		}
		var contents bytes.Buffer
		if err := Contents(&contents, r.File, "table"); err != nil {
			t.Fatal(err)
		}
		sums.Add(t, name+"contents", contents.Bytes())
		sums.Add(t, name+"suggestions", r.Suggestions())
		sums.Add(t, name+"words", r.Words())
	}
	sums.File(t, "medleys.tsv")
}

func medley(t *testing.T, seed uint64, opt Options) *Reading {
	t.Helper()
	f := demo.Medley(t, seed)
	if n := len(f.Score.Measures); seed%4 == 1 {
		opt.Measures = fmt.Sprintf("%s-%s", f.Score.Measures[n/4].Number, f.Score.Measures[3*n/4].Number)
	}
	r, err := New(f, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func written(t *testing.T, write func(io.Writer, string) error, format string) []byte {
	var b bytes.Buffer
	if err := write(&b, format); err != nil {
		fmt.Fprintln(&b, err)
	}
	return b.Bytes()
}

// explained explains every beat.
func explained(t *testing.T, r *Reading, format string) []byte {
	var b bytes.Buffer
	for _, m := range r.Score.Measures {
		for _, at := range m.Every(m.Beat(r.Score.Division)) {
			place := r.Score.At(at).String()
			if err := r.Explain(&b, format, place); err != nil {
				fmt.Fprintln(&b, err)
			}
			why, err := r.Explainer().Why(place)
			fmt.Fprintf(&b, "%s%v\n", golden.Dump(why), err)
		}
	}
	return b.Bytes()
}
