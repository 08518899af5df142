// Package levels fits the weights of the shaping on performances, and hands other
// programs its pieces: scores with the mean loudness of their players.
//
// Start at [Load] and [New].
package levels

import (
	"encoding/csv"
	"encoding/gob"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"sort"
	"strconv"
	"strings"
	"sync"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/score"
)

// Piece is one score with its performers' loudness.
type Piece struct {
	Set, ID, Work string
	Score         *score.Score
	Analysis      *harmony.Analysis
	Matrix        shaping.Matrix
	rows          []int     // the matrix's moment of each truth row
	part          []float64 // how far the row lies on the way to the next moment, 0 to 1
	Onset         []float64 // of the truth rows, in quarter notes
	Level         []float64
	Zone          []string
	x             [][]float32 // standardised factors at the truth rows, by row
}

// Load reads every score that has a truth.
func Load(data, cache string) ([]*Piece, error) {
	files, err := filepath.Glob(filepath.Join(data, "truth", "*", "*.tsv"))
	if err != nil || len(files) == 0 {
		return nil, fmt.Errorf("%s: no truth/SET/ID.tsv found", data)
	}
	sort.Strings(files)
	out, errs := make([]*Piece, len(files)), make([]error, len(files))
	var wg sync.WaitGroup
	slots := make(chan bool, runtime.NumCPU())
	for i, f := range files {
		wg.Add(1)
		go func() {
			defer wg.Done()
			slots <- true
			out[i], errs[i] = loadPiece(data, f, cache)
			<-slots
		}()
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

func loadPiece(data, truth, cache string) (*Piece, error) {
	set, id := filepath.Base(filepath.Dir(truth)), strings.TrimSuffix(filepath.Base(truth), ".tsv")
	p := &Piece{Set: set, ID: id, Work: set + " " + work(set, id)}
	if err := p.readTruth(truth); err != nil {
		return nil, err
	}
	file, err := musicxml.Open(filepath.Join(data, "scores", set, id+".mxl"))
	if err != nil {
		return nil, err
	}
	a, err := Analyse(file.Score, cache, set+"-"+id)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", id, err)
	}
	p.Score, p.Analysis = file.Score, a
	p.Matrix = shaping.Measure(file.Score, a, page.Printed(file.Score, a.Phrases))
	p.align()
	return p, nil
}

// Analyse hears the score, or reads what was heard in an earlier run.
func Analyse(s *score.Score, cache, name string) (*harmony.Analysis, error) {
	path := filepath.Join(cache, name+".gob")
	if cache != "" {
		if r, err := os.Open(path); err == nil {
			defer r.Close()
			a := &harmony.Analysis{}
			if gob.NewDecoder(r).Decode(a) == nil {
				return a, nil
			}
		}
	}
	a, err := harmony.Analyse(s, harmony.Options{})
	if err != nil || cache == "" {
		return a, err
	}
	w, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	defer w.Close()
	return a, gob.NewEncoder(w).Encode(a)
}

// movement is what follows a work's name in an id.
var movement = regexp.MustCompile(`^(Beethoven_Piano_Sonatas_\d+|Haydn_Keyboard_Sonatas_\d+|Schubert_Piano_Sonatas_\d+|Chopin_Sonata_\d|Schubert_Impromptu_op_90|Schumann_Kreisleriana|Chopin_Etudes_op_\d+|Bach_(?:Fugue|Prelude)_bwv_\d+|M\d+|kv\d+)`)

// work names the work a piece belongs to, so that its movements are never on both sides of a fit.
func work(set, id string) string {
	if m := movement.FindString(id); m != "" {
		return strings.NewReplacer("Fugue_", "", "Prelude_", "").Replace(m)
	}
	return id
}

func (p *Piece) readTruth(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma = '\t'
	rows, err := r.ReadAll()
	if err != nil {
		return err
	}
	col := map[string]int{}
	for i, name := range rows[0] {
		col[name] = i
	}
	for _, row := range rows[1:] {
		t, err1 := strconv.ParseFloat(row[col["onset"]], 64)
		l, err2 := strconv.ParseFloat(row[col["level"]], 64)
		if err1 != nil || err2 != nil || math.IsNaN(l) {
			continue
		}
		p.Onset, p.Level, p.Zone = append(p.Onset, t), append(p.Level, l), append(p.Zone, row[col["zone"]])
	}
	return nil
}

// align finds each truth row's moment in the matrix.
func (p *Piece) align() {
	on := p.Matrix.Onsets
	for _, t := range p.Onset {
		i := sort.Search(len(on), func(i int) bool { return on[i] > t+1e-4 }) - 1
		i = max(i, 0)
		f := 0.0
		if i+1 < len(on) && on[i+1] > on[i] {
			f = min(max((t-on[i])/(on[i+1]-on[i]), 0), 1)
		}
		p.rows, p.part = append(p.rows, i), append(p.part, f)
	}
}

// Sample reads a curve over the moments at the truth rows.
func (p *Piece) Sample(v []float64) []float64 {
	out := make([]float64, len(p.rows))
	for i, k := range p.rows {
		out[i] = v[k]
		if k+1 < len(v) {
			out[i] += (v[k+1] - v[k]) * p.part[i]
		}
	}
	return out
}
