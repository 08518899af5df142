package engrave

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"
)

// Glyph is a music sign used by the systems of an engraving, drawn once per
// page: [Defs] writes them, the systems refer to them.
type Glyph struct {
	ID   string // "eng-E0A4-72": code point in the Standard Music Font Layout, and scale in percent
	code string
	size float64
	path string
}

// glyphSet collects the glyphs of one engraving.
type glyphSet struct {
	outlines map[string]string // code → path data
	widths   map[string]float64
	used     map[string]Glyph
}

func newGlyphSet() *glyphSet {
	return &glyphSet{outlines: map[string]string{}, widths: map[string]float64{}, used: map[string]Glyph{}}
}

// learn takes the outlines a picture defines.
func (g *glyphSet) learn(defs *node) {
	if defs == nil {
		return
	}
	for _, k := range defs.kids {
		path := k.find(named("path"))
		if code := glyphCode(k.attrs["id"]); code != "" && path != nil && g.outlines[code] == "" {
			g.outlines[code] = path.attrs["d"]
			g.widths[code] = pathRight(path.attrs["d"])
		}
	}
}

// glyphCode is the code point in a reference of the engraver: "E0A4" of "#E0A4-vpgpnk4".
func glyphCode(ref string) string {
	code, _, ok := strings.Cut(strings.TrimPrefix(ref, "#"), "-")
	if !ok {
		return ""
	}
	return code
}

// use notes that a glyph is used at a size and returns its id.
func (g *glyphSet) use(code string, size float64) string {
	id := fmt.Sprintf("eng-%s-%d", code, int(size*100+0.5))
	if _, ok := g.used[id]; !ok {
		g.used[id] = Glyph{ID: id, code: code, size: size, path: g.outlines[code]}
	}
	return id
}

func (g *glyphSet) list() []Glyph {
	out := make([]Glyph, 0, len(g.used))
	for _, glyph := range g.used {
		out = append(out, glyph)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].ID < out[j].ID })
	return out
}

// Defs is an invisible SVG with the signs that the systems of the given
// engravings use. It must stand once on the page, before them.
func Defs(engravings ...*Engraving) string {
	seen := map[string]bool{}
	var all []Glyph
	for _, e := range engravings {
		for _, g := range e.Glyphs {
			if !seen[g.ID] {
				seen[g.ID] = true
				all = append(all, g)
			}
		}
	}
	sort.Slice(all, func(i, j int) bool { return all[i].ID < all[j].ID })
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" class="eng-defs" width="0" height="0" aria-hidden="true"><defs>`)
	for _, g := range all {
		size := number(g.size)
		fmt.Fprintf(&b, `<path id="%s" transform="scale(%s -%s)" stroke="none" d="%s"/>`, g.ID, size, size, g.path)
	}
	b.WriteString(`</defs></svg>`)
	return b.String()
}

var placed = regexp.MustCompile(`^translate\((-?[\d.]+), ?(-?[\d.]+)\) scale\((-?[\d.]+), ?(-?[\d.]+)\)$`)

// placement reads where the engraver puts a glyph and how large.
func placement(transform string) (x, y, size float64, ok bool) {
	m := placed.FindStringSubmatch(transform)
	if m == nil || m[3] != m[4] {
		return 0, 0, 0, false
	}
	x, _ = strconv.ParseFloat(m[1], 64)
	y, _ = strconv.ParseFloat(m[2], 64)
	size, _ = strconv.ParseFloat(m[3], 64)
	return x, y, size, size > 0
}

var pathCommand = regexp.MustCompile(`([A-Za-z])([^A-Za-z]*)`)
var pathNumber = regexp.MustCompile(`-?\d*\.?\d+`)

// pathRight is the rightmost point an outline passes through, in font units:
// the width of a sign, whose left edge stands at 0. Type designers put points
// at the extremes of a curve, so end points suffice.
func pathRight(d string) float64 {
	x, startX, right := 0.0, 0.0, 0.0
	for _, c := range pathCommand.FindAllStringSubmatch(d, -1) {
		var args []float64
		for _, s := range pathNumber.FindAllString(c[2], -1) {
			v, _ := strconv.ParseFloat(s, 64)
			args = append(args, v)
		}
		step, ends := pathArgs(c[1][0])
		for i := 0; step > 0 && i+step <= len(args); i += step {
			if ends < 0 {
				continue
			}
			if at := args[i+ends]; c[1][0] >= 'a' {
				x += at
			} else {
				x = at
			}
			right = max(right, x)
			if c[1][0]|0x20 == 'm' && i == 0 {
				startX = x
			}
		}
		if c[1][0]|0x20 == 'z' {
			x = startX
		}
	}
	return right
}

// pathArgs is how many numbers a path command takes, and which of them is the x it ends at.
func pathArgs(command byte) (step, ends int) {
	switch command | 0x20 {
	case 'm', 'l', 't':
		return 2, 0
	case 'c':
		return 6, 4
	case 's', 'q':
		return 4, 2
	case 'h':
		return 1, 0
	case 'v':
		return 1, -1
	case 'a':
		return 7, 5
	}
	return 0, -1
}

// number prints a coordinate without needless digits.
func number(f float64) string {
	s := strconv.FormatFloat(f, 'f', 2, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if rest, ok := strings.CutPrefix(s, "0."); ok {
		return "." + rest
	}
	return s
}
