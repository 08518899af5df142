package main

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"

	"hairpin/harmony/decode"
	"hairpin/harmony/hearing"
	"hairpin/harmony/tonal"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/fit/analyses"
)

// provenance is written at the head of the fitted table.
const provenance = `Weights of the chord decoder, fitted by: go run ./tools/fit/chords -data DIR -o harmony/hearing/chords.model
Statistics of expert Roman-numeral analyses: When in Rome (Gotham, Micchi, Nápoles López & Sailor 2023),
analyses CC BY-SA 4.0; DCML analyses of Beethoven quartets (Neuwirth et al. 2018) and Mozart sonatas
(Hentschel, Neuwirth & Rohrmeier 2021), CC BY-NC-SA 4.0. No score and no analysis is contained here.
`

// row is one line of an expert's analysis.
type row struct {
	onset, end      float64
	key, roman      string
	degree, quality string
	root, bass, inv int
}

type piece struct {
	id, genre, group string
	score            *score.Score
	slices           []tonal.Slice
	seen             *decode.Piece
	rows             []row
	examples         []example
}

func load(s settings) ([]*piece, error) {
	split, err := analyses.Read(filepath.Join(s.data, "split.tsv"))
	if err != nil {
		return nil, err
	}
	var out []*piece
	for _, r := range split {
		if s.only != "" && r["genre"] != s.only {
			continue
		}
		p := &piece{id: r["id"], genre: r["genre"], group: r["group"]}
		base := filepath.Join(s.data, "dev", p.id)
		f, err := musicxml.Open(base + ".mxl")
		if err != nil {
			return nil, err
		}
		p.score = f.Score
		p.slices = tonal.Slices(p.score, 0)
		p.seen = hearing.Observe(p.score, p.slices, true)
		if p.rows, err = readRows(base + ".tsv"); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

func readRows(path string) ([]row, error) {
	lines, err := analyses.Read(path)
	if err != nil {
		return nil, err
	}
	var out []row
	for _, l := range lines {
		r := row{key: l["key"], roman: l["roman"], degree: l["degree"], quality: l["quality"]}
		r.onset, _ = strconv.ParseFloat(l["onset"], 64)
		r.end, _ = strconv.ParseFloat(l["end"], 64)
		r.root, _ = strconv.Atoi(l["root_pc"])
		r.bass, _ = strconv.Atoi(l["bass_pc"])
		r.inv, _ = strconv.Atoi(l["inversion"])
		if r.end > r.onset {
			out = append(out, r)
		}
	}
	return out, nil
}

// name is what makes a label: mode, degree and quality, and whether it is a cadential six-four.
type name struct {
	minor           bool
	degree, quality string
	cadence         bool
}

func (p *piece) name(i int) name {
	r := p.rows[i]
	n := name{degree: r.degree, quality: r.quality}
	n.minor = r.key != "" && r.key[0] >= 'a'
	n.cadence = strings.HasPrefix(r.roman, "Cad")
	if n.degree == "I" && r.inv == 2 && i+1 < len(p.rows) {
		next := p.rows[i+1]
		n.cadence = n.cadence || next.degree == "V" && next.key == r.key && next.inv == 0
	}
	n.cadence = n.cadence && n.degree == "I"
	return n
}

// vocabulary collects the labels that occur at least min times and can be spelled.
func vocabulary(pieces []*piece, min int) []decode.Label {
	count := map[name]int{}
	forms := map[name]map[string]int{}
	for _, p := range pieces {
		for i, r := range p.rows {
			n := p.name(i)
			count[n]++
			if forms[n] == nil {
				forms[n] = map[string]int{}
			}
			if f, ok := spelt(plain(r, n), r); ok {
				forms[n][f]++
			}
		}
	}
	var names []name
	for n, c := range count {
		if c >= min && n.quality != "other" && len(forms[n]) > 0 {
			names = append(names, n)
		}
	}
	sort.Slice(names, func(i, j int) bool {
		if names[i].minor != names[j].minor {
			return names[j].minor
		}
		if count[names[i]] != count[names[j]] {
			return count[names[i]] > count[names[j]]
		}
		return fmt.Sprint(names[i]) < fmt.Sprint(names[j])
	})
	var out []decode.Label
	for _, n := range names {
		best := ""
		for f, c := range forms[n] {
			if best == "" || c > forms[n][best] || c == forms[n][best] && f < best {
				best = f
			}
		}
		l, err := hearing.Label(best, n.minor)
		if err != nil {
			fmt.Fprintln(os.Stderr, "left out:", n, best, err)
			continue
		}
		out = append(out, l)
	}
	return complete(out)
}

// complete adds the major and minor triads on all twelve degrees of each mode
// that the analyses have too seldom, so that no plain chord is without a name.
func complete(labels []decode.Label) []decode.Label {
	for _, minor := range [2]bool{false, true} {
		for _, text := range chromatic {
			l, err := hearing.Label(text, minor)
			if err != nil || slices.ContainsFunc(labels, func(k decode.Label) bool {
				return k.Minor == minor && k.Quality == l.Quality && (k.Root-l.Root)%12 == 0
			}) {
				continue
			}
			labels = append(labels, l)
		}
	}
	slices.SortStableFunc(labels, func(a, b decode.Label) int { return cmp.Compare(mode(a), mode(b)) })
	return labels
}

// mode puts the labels of major keys first.
func mode(l decode.Label) int {
	if l.Minor {
		return 1
	}
	return 0
}

// chromatic are major and minor triads by their degrees, commonest spelling first.
var chromatic = strings.Fields("I bII II bIII III IV bV #IV V bVI VI bVII VII i bii ii biii iii iv #iv v bvi vi bvii vii #I #i")

var figureSigns = strings.NewReplacer("6", "", "5", "", "4", "", "3", "", "2", "", "7", "", "9", "")

// plain rewrites an analyst's numeral in root position as this project writes it.
func plain(r row, n name) string {
	if n.cadence {
		return "Cad64"
	}
	text := r.roman
	if i := strings.IndexByte(text, '['); i >= 0 {
		j := strings.IndexByte(text[i:], ']')
		text = text[:i] + text[i+j+1:]
		return plain(row{roman: text, quality: r.quality}, n)
	}
	text = strings.NewReplacer("/o", "ø", "Cad", "I", "d", "", "M", "").Replace(text)
	head, target, applied := strings.Cut(text, "/")
	head = figureSigns.Replace(strings.NewReplacer("maj", "", "o", "", "ø", "", "°", "", "+", "").Replace(head))
	if n.degree == "Aug6" || strings.HasPrefix(n.degree, "Aug6/") {
		head = n.quality
	} else {
		head = strings.TrimRight(head, "b#-")
		head = withQuality(head, n)
	}
	if applied {
		return head + "/" + target
	}
	return head
}

// spelt gives a numeral the signs before its degrees that put it on the
// analyst's root: analysts differ in which degrees of a minor key have one.
func spelt(text string, r row) (string, bool) {
	k, ok := tonal.ParseKey(r.key)
	if !ok {
		return "", false
	}
	head, target, applied := strings.Cut(text, "/")
	bare := strings.TrimLeft(text, "b#")
	forms := []string{text, bare}
	if applied {
		forms = append(forms, head+"/#"+target, head+"/b"+target)
	}
	for _, f := range append(forms, "#"+bare, "b"+bare) {
		if n, ok := tonal.ParseNumeral(f, k); ok && n.Root(k).PC() == r.root {
			return f, true
		}
	}
	return "", false
}

// withQuality adds the sign of the quality to a bare numeral.
func withQuality(head string, n name) string {
	switch n.quality {
	case "dim":
		return head + "°"
	case "dim7":
		return head + "°7"
	case "hdim7":
		return head + "ø7"
	case "aug":
		return head + "+"
	case "augmaj7":
		return head + "+maj7"
	case "maj7", "minmaj7":
		return head + "maj7"
	case "dom7", "min7":
		return head + "7"
	case "sus":
		return head + "sus4"
	}
	return head
}

func folds(pieces []*piece, k int) []int {
	out := make([]int, len(pieces))
	for i, p := range pieces {
		h := fnv.New32a()
		h.Write([]byte(p.group))
		out[i] = int(h.Sum32()>>3) % k
	}
	return out
}
