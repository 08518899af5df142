// Command shape (scratch): dumps series.
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"hairpin/dynamics"
	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/score"
)

func main() {
	out := os.Args[1]
	for _, f := range os.Args[2:] {
		mf, err := musicxml.Open(f)
		if err != nil {
			fmt.Fprintln(os.Stderr, f, err)
			continue
		}
		s := mf.Score
		a, _ := harmony.Analyse(s, harmony.Options{})
		var ph []harmony.Phrase
		if a != nil {
			ph = a.Phrases
		}
		p := dynamics.Printed(s, ph)
		if out == "bars" {
			bars(s)
			continue
		}
		if out == "show" {
			show(s, p)
			continue
		}
		set := filepath.Base(filepath.Dir(f))
		os.MkdirAll(filepath.Join(out, set), 0o755)
		w, _ := os.Create(filepath.Join(out, set, strings.TrimSuffix(filepath.Base(f), ".mxl")+".tsv"))
		dynamics.WriteSeries(w, s, a, p)
		w.Close()
	}
}

func show(s *score.Score, p *dynamics.Page) {
	for _, g := range p.Whole.Segments {
		fmt.Printf("%s %s %.2f..%.2f %s\n", s.At(g.Start), s.At(g.End), g.From, g.To, g.Why)
	}
	for _, g := range p.Inferences {
		fmt.Println("INF", s.At(g.At), g.Part, g.What, "|", g.Reason)
	}
	for _, g := range p.Contrasts {
		fmt.Println("CON", s.At(g.At), g.Kind, g.From, g.To, g.Why)
	}
}

func bars(s *score.Score) {
	for i, m := range s.Measures {
		fmt.Printf("%d\t%s\t%.5g\t%.5g\t%.5g\n", i, m.Number, s.Quarters(m.Start), s.Quarters(m.Length), s.Quarters(m.Nominal))
	}
}
