package engrave

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// assemble turns the engraver's pictures into systems with places.
func assemble(pages []string, score *stampedScore, layout Layout) (*Engraving, error) {
	e := &Engraving{}
	glyphs := newGlyphSet()
	faces := map[Face]bool{}
	for _, page := range pages {
		root, err := parseSVG(page)
		if err != nil {
			return nil, err
		}
		glyphs.learn(root.find(named("defs")))
		p := &picture{score: score, prefix: layout.Prefix, glyphs: glyphs, faces: faces}
		system, err := p.system(root)
		if err != nil {
			return nil, err
		}
		if len(system.Measures) > 0 {
			e.Systems = append(e.Systems, system)
		}
	}
	if len(e.Systems) == 0 {
		return nil, fmt.Errorf("engrave: the engraver drew no measure")
	}
	e.Glyphs = glyphs.list()
	for f := range faces {
		e.Faces = append(e.Faces, f)
	}
	sort.Slice(e.Faces, func(i, j int) bool { return e.Faces[i].order() < e.Faces[j].order() })
	return e, nil
}

// picture rewrites one system: it keeps what is visible, gives it our ids and
// classes, and reads off the places.
type picture struct {
	score  *stampedScore
	prefix string
	glyphs *glyphSet
	faces  map[Face]bool
	out    []byte
	unit   float64 // size of the engraver's inner unit in ours
	dx, dy float64 // its page margin, in inner units
	found  System
	font   font
}

// font is how text is set at the moment.
type font struct{ weight, style, family string }

func (p *picture) write(format string, args ...any) { p.out = fmt.Appendf(p.out, format, args...) }

func (p *picture) system(root *node) (System, error) {
	inner := root.find(classed("definition-scale"))
	if inner == nil {
		return System{}, fmt.Errorf("engrave: the engraver's picture has no scale")
	}
	outerW, outerH, ok := viewBox(root)
	innerW, _, ok2 := viewBox(inner)
	page := inner.find(classed("page-margin"))
	if !ok || !ok2 || page == nil {
		return System{}, fmt.Errorf("engrave: the engraver's picture has no size")
	}
	p.unit = outerW / innerW
	fmt.Sscanf(page.attrs["transform"], "translate(%g, %g)", &p.dx, &p.dy)
	p.found.Width, p.found.Height = outerW, outerH
	p.font = font{"normal", "normal", TextFamily}
	p.kids(page)
	p.places()
	p.found.SVG = fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" class="eng-system" viewBox="0 0 %s %s">`+
		`<g transform="scale(%s) translate(%s %s)" fill="currentColor" stroke="currentColor" font-family="%s, Tinos, 'Liberation Serif', 'Times New Roman', serif">%s</g></svg>`,
		number(outerW), number(outerH), strconv.FormatFloat(p.unit, 'g', 6, 64), number(p.dx), number(p.dy), TextFamily, p.out)
	return p.found, nil
}

func viewBox(n *node) (w, h float64, ok bool) {
	f := strings.Fields(n.attrs["viewBox"])
	if len(f) != 4 {
		return 0, 0, false
	}
	w, err := strconv.ParseFloat(f[2], 64)
	h, err2 := strconv.ParseFloat(f[3], 64)
	return w, h, err == nil && err2 == nil && w > 0 && h > 0
}

// places sorts what was found and anchors every measure.
func (p *picture) places() {
	sort.Slice(p.found.Notes, func(i, j int) bool { return p.found.Notes[i].Source < p.found.Notes[j].Source })
	byMeasure := map[int][]NoteBox{}
	for _, n := range p.found.Notes {
		if !p.score.notes[n.Source].wholeRest {
			byMeasure[n.Measure] = append(byMeasure[n.Measure], n)
		}
	}
	for i := range p.found.Measures {
		m := &p.found.Measures[i]
		m.anchor(byMeasure[m.Index], p.score.measures[m.Index])
	}
}

func (p *picture) kids(n *node) {
	for i := 0; i < len(n.kids); {
		if d, used := staffLines(n.kids[i:]); used > 1 {
			p.write(`<path d="%s"%s/>`, d, attributes(n.kids[i], "stroke-width"))
			i += used
			continue
		}
		p.draw(n.kids[i])
		i++
	}
}

func (p *picture) draw(n *node) {
	switch n.name {
	case "":
		p.write("%s", escape(n.text))
		p.noteFace(n.text)
	case "g":
		p.group(n)
	case "use":
		p.sign(n)
	case "path", "polygon", "polyline", "rect", "ellipse", "circle", "line":
		p.write("<%s%s/>", n.name, attributes(n, shapeAttributes...))
	case "text", "tspan":
		p.text(n)
	} // anything else is not drawn: titles, style sheets, whatever a score may smuggle in
}

var shapeAttributes = []string{"d", "points", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "width", "height",
	"fill-opacity", "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin", "stroke-opacity", "opacity", "transform"}

var textAttributes = []string{"x", "y", "dx", "dy", "text-anchor", "font-size", "letter-spacing", "baseline-shift", "textLength", "lengthAdjust", "text-decoration"}

// attributes writes those of the named attributes the node has, in the given order.
func attributes(n *node, wanted ...string) string {
	var b strings.Builder
	for _, name := range wanted {
		if v, ok := n.attrs[name]; ok {
			fmt.Fprintf(&b, ` %s="%s"`, name, escape(strings.TrimSpace(v)))
		}
	}
	if n.attrs["fill"] == "none" {
		b.WriteString(` fill="none"`)
	}
	return b.String()
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;")

func escape(s string) string { return escaper.Replace(s) }

// kept are the classes a page may want to find or colour; the SVG has them as "eng-note" and so on.
var kept = []string{"measure", "staff", "note", "rest", "mRest", "dynam", "hairpin", "dir", "tempo", "label", "mNum"}

// emphasis is how the engraver's own style sheet sets the text of some groups.
func emphasis(n *node) (attr, weight, style string) {
	for _, c := range strings.Fields(n.attrs["class"]) {
		switch c {
		case "ending", "fing", "reh", "tempo":
			return ` font-weight="bold"`, "bold", ""
		case "dir", "dynam", "mNum":
			return ` font-style="italic"`, "", "italic"
		}
	}
	return "", "", ""
}

// group draws a group's content, inside a g element only if that says something.
func (p *picture) group(n *node) {
	class := ""
	for _, c := range kept {
		if n.has(c) {
			class = c
		}
	}
	id := p.meet(n, class)
	set, weight, style := emphasis(n)
	outer, mark := p.font, len(p.out)
	p.setFont(weight, style)
	p.kids(n)
	p.font = outer
	inside := string(p.out[mark:])
	p.out = p.out[:mark]
	if inside == "" {
		return
	}
	tag := set + attributes(n, "transform", "opacity", "visibility")
	if class != "" && (class != "staff" || id != "") {
		tag = ` class="eng-` + strings.ToLower(class) + `"` + tag
	}
	if id != "" {
		tag = ` id="` + id + `"` + tag
	}
	if tag == "" {
		p.write("%s", inside)
		return
	}
	p.write("<g%s>%s</g>", tag, inside)
}

func (p *picture) setFont(weight, style string) {
	if weight != "" {
		p.font.weight = weight
	}
	if style != "" {
		p.font.style = style
	}
}

// meet reads the place of a measure or note and returns its id in the SVG.
func (p *picture) meet(n *node, class string) string {
	switch class {
	case "measure":
		i, ok := parseID(n.attrs["id"], "M")
		if !ok || i >= len(p.score.measures) {
			return ""
		}
		if box, ok := p.measureBox(n, i); ok {
			p.found.Measures = append(p.found.Measures, box)
		}
		return p.prefix + "-m" + strconv.Itoa(i)
	case "note", "rest", "mRest":
		i, ok := parseID(n.attrs["id"], "N")
		if !ok || i >= len(p.score.notes) {
			return ""
		}
		id := p.prefix + "-n" + strconv.Itoa(i)
		p.noteBox(n, i, id)
		return id
	}
	return ""
}

func (p *picture) noteBox(n *node, i int, id string) {
	head := n
	if h := n.find(classed("notehead")); h != nil {
		head = h
	}
	use := head.find(named("use"))
	if use == nil {
		return
	}
	x, y, size, ok := placement(use.attrs["transform"])
	if !ok {
		return
	}
	t := p.score.notes[i]
	width := p.glyphs.widths[glyphCode(use.attrs["href"])] * size
	p.found.Notes = append(p.found.Notes, NoteBox{
		Source: i, ID: id, Measure: t.measure, Part: t.part, Onset: t.onset, Grace: t.grace, Rest: t.rest,
		X: p.x(x + width/2), Y: p.y(y), Width: hundredth(width * p.unit),
	})
}

func (p *picture) x(inner float64) float64 { return hundredth((inner + p.dx) * p.unit) }
func (p *picture) y(inner float64) float64 { return hundredth((inner + p.dy) * p.unit) }

// hundredth rounds a coordinate to what can matter.
func hundredth(f float64) float64 { return math.Round(f*100) / 100 }

// measureBox reads the stave lines of a measure.
func (p *picture) measureBox(n *node, index int) (MeasureBox, bool) {
	box := MeasureBox{Index: index}
	for _, k := range n.kids {
		if !k.has("staff") {
			continue
		}
		x0, x1, ys := lines(k)
		if len(ys) == 0 {
			continue
		}
		staff := StaffBox{p.y(slices.Min(ys)), p.y(slices.Max(ys))}
		if len(box.Staves) == 0 {
			box.X0, box.X1, box.Top, box.Bottom = p.x(x0), p.x(x1), staff.Top, staff.Bottom
		}
		box.Top, box.Bottom = min(box.Top, staff.Top), max(box.Bottom, staff.Bottom)
		box.Staves = append(box.Staves, staff)
	}
	return box, len(box.Staves) > 0
}

// lines reads the stave lines directly in a staff group.
func lines(staff *node) (x0, x1 float64, ys []float64) {
	for _, k := range staff.kids {
		ax, ay, bx, by, ok := straight(k)
		if !ok || ay != by {
			continue
		}
		if len(ys) == 0 {
			x0, x1 = ax, bx
		}
		x0, x1 = min(x0, ax), max(x1, bx)
		ys = append(ys, ay)
	}
	return x0, x1, ys
}

// straight reads a path that is a single straight line.
func straight(n *node) (ax, ay, bx, by float64, ok bool) {
	if n.name != "path" || strings.Count(n.attrs["d"], " ") != 3 {
		return 0, 0, 0, 0, false
	}
	count, err := fmt.Sscanf(n.attrs["d"], "M%g %g L%g %g", &ax, &ay, &bx, &by)
	return ax, ay, bx, by, err == nil && count == 4
}

// staffLines joins level lines of one width that follow each other into one path.
func staffLines(nodes []*node) (d string, used int) {
	var b strings.Builder
	for _, n := range nodes {
		ax, ay, bx, by, ok := straight(n)
		if !ok || ay != by || n.attrs["stroke-width"] != nodes[0].attrs["stroke-width"] || n.attrs["stroke-dasharray"] != "" {
			break
		}
		fmt.Fprintf(&b, "M%s %sH%s", number(ax), number(ay), number(bx))
		used++
	}
	return b.String(), used
}

// sign draws a glyph.
func (p *picture) sign(n *node) {
	code := glyphCode(n.attrs["href"])
	if p.glyphs.outlines[code] == "" {
		return
	}
	if x, y, size, ok := placement(n.attrs["transform"]); ok {
		p.write(`<use href="#%s" x="%s" y="%s"/>`, p.glyphs.use(code, size), number(x), number(y))
		return
	}
	p.write(`<use href="#%s"%s/>`, p.glyphs.use(code, 1), attributes(n, "transform"))
}

// text draws text; a span that says nothing is left out.
func (p *picture) text(n *node) {
	outer := p.font
	p.setFont(n.attrs["font-weight"], n.attrs["font-style"])
	if asked := n.attrs["font-family"]; strings.HasPrefix(asked, "Leipzig") || strings.HasPrefix(asked, "Bravura") {
		p.font.family = MusicFamily
	}
	tag := attributes(n, textAttributes...) + changed("font-family", outer.family, p.font.family) +
		changed("font-weight", outer.weight, p.font.weight) + changed("font-style", outer.style, p.font.style)
	open, shut := "<tspan"+tag+">", "</tspan>"
	if n.name == "text" {
		open, shut = `<text stroke="none"`+tag+">", "</text>"
	} else if tag == "" {
		open, shut = "", ""
	}
	p.write("%s", open)
	p.kids(n)
	p.write("%s", shut)
	p.font = outer
}

// changed is an attribute, if its value is another than outside.
func changed(name, outside, value string) string {
	if value == outside {
		return ""
	}
	return " " + name + `="` + escape(value) + `"`
}
