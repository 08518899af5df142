package html

import (
	"encoding/xml"
	"fmt"
	"html"
	"html/template"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"hairpin/internal/engrave"
)

// compact draws the same picture with less text: groups that only name things
// go, and all straight lines of one thickness, and all beams, become one path
// each. Everything is of one colour, so the order of drawing does not matter.
// What it does not know stays as it is.
func compact(picture string) string {
	c := &compactor{}
	d := xml.NewDecoder(strings.NewReader(picture))
	for {
		token, err := d.RawToken()
		if token == nil || err != nil {
			break
		}
		switch t := token.(type) {
		case xml.StartElement:
			c.open(t)
		case xml.EndElement:
			c.close()
		case xml.CharData:
			c.shut()
			c.out.f("%s", html.EscapeString(string(t)))
		}
	}
	if len(c.stack) > 0 {
		return picture
	}
	return c.out.String()
}

type compactor struct {
	out   svg
	stack []opened
	begun bool // the last start tag still lacks its end
	lines []*gathered
}

// opened is an element that is not closed yet.
type opened struct {
	tag  string // "" for one left out
	owns bool   // paths gathered inside must stay inside
}

// gathered are paths that share their attributes.
type gathered struct {
	attrs string
	d     svg
}

func (c *compactor) open(t xml.StartElement) {
	attrs := map[string]string{}
	for _, a := range t.Attr {
		attrs[a.Name.Local] = a.Value
	}
	switch {
	case t.Name.Local == "g" && named(attrs, "id", "class"):
		c.stack = append(c.stack, opened{})
	case t.Name.Local == "path" && named(attrs, "d", "stroke-width") && c.line(attrs):
		c.stack = append(c.stack, opened{})
	case t.Name.Local == "polygon" && named(attrs, "points") && c.polygon(attrs["points"]):
		c.stack = append(c.stack, opened{})
	default:
		o := opened{t.Name.Local, t.Name.Local == "svg" || t.Name.Local == "g" && !named(attrs, "id", "class", "font-style", "font-weight")}
		c.shut()
		if o.owns {
			c.flush()
		}
		c.out.f("<%s", t.Name.Local)
		for _, a := range t.Attr {
			c.out.f(` %s="%s"`, a.Name.Local, html.EscapeString(a.Value))
		}
		c.begun = true
		c.stack = append(c.stack, o)
	}
}

func (c *compactor) close() {
	if len(c.stack) == 0 {
		return
	}
	last := c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
	switch {
	case last.tag == "":
	case c.begun && (len(c.lines) == 0 || !last.owns):
		c.out.f("/>")
		c.begun = false
	default:
		c.shut()
		if last.owns {
			c.flush()
		}
		c.out.f("</%s>", last.tag)
	}
}

// shut ends a start tag that turns out to have something inside.
func (c *compactor) shut() {
	if c.begun {
		c.out.f(">")
		c.begun = false
	}
}

func (c *compactor) flush() {
	if len(c.lines) > 0 {
		c.shut()
	}
	for i := range c.lines {
		c.out.f(`<path d="%s"%s/>`, joined(c.lines[i].d.String()), c.lines[i].attrs)
	}
	c.lines = nil
}

func (c *compactor) gather(attrs string) *svg {
	i := slices.IndexFunc(c.lines, func(g *gathered) bool { return g.attrs == attrs })
	if i < 0 {
		i = len(c.lines)
		c.lines = append(c.lines, &gathered{attrs: attrs})
	}
	return &c.lines[i].d
}

// line gathers a path of straight lines; false if it is something else.
func (c *compactor) line(attrs map[string]string) bool {
	d := attrs["d"]
	if strings.Trim(d, "MLHV0123456789.- ") != "" {
		return false
	}
	var x0, y0, x1, y1 float64
	into := c.gather(fmt.Sprintf(` stroke-width="%s"`, html.EscapeString(attrs["stroke-width"])))
	if n, err := fmt.Sscanf(d, "M%g %g L%g %g", &x0, &y0, &x1, &y1); err == nil && n == 4 && strings.Count(d, " ") == 3 {
		switch {
		case x0 == x1:
			d = fmt.Sprintf("M%s %sV%s", short(x0), short(y0), short(y1))
		case y0 == y1:
			d = fmt.Sprintf("M%s %sH%s", short(x0), short(y0), short(x1))
		}
	}
	into.f("%s", d)
	return true
}

var level = regexp.MustCompile(`M(-?[\d.]+) (-?[\d.]+)H(-?[\d.]+)`)

// joined makes one line of level lines that touch: those of a staff run on from
// measure to measure.
func joined(d string) string {
	if level.ReplaceAllString(d, "") != "" {
		return d // other lines too: leave it
	}
	type line struct{ from, y, to string }
	var all []line
	last := map[string]int{} // by height
	for _, m := range level.FindAllStringSubmatch(d, -1) {
		if i, ok := last[m[2]]; ok && all[i].to == m[1] {
			all[i].to = m[3]
			continue
		}
		last[m[2]] = len(all)
		all = append(all, line{m[1], m[2], m[3]})
	}
	var b svg
	for _, l := range all {
		b.f("M%s %sH%s", l.from, l.y, l.to)
	}
	return b.String()
}

func (c *compactor) polygon(points string) bool {
	if strings.Trim(points, "0123456789.,- ") != "" {
		return false
	}
	c.gather("").f("%s", outline(points))
	return true
}

var beam = regexp.MustCompile(`^(-?\d+),(-?\d+) (-?\d+),(-?\d+) (-?\d+),(-?\d+) (-?\d+),(-?\d+)$`)

// outline is a polygon as path data; a beam, upright at both ends, in fewer letters.
func outline(points string) string {
	m := beam.FindStringSubmatch(points)
	if m == nil || m[3] != m[5] || m[1] != m[7] {
		return "M" + points + "Z"
	}
	var at [8]int
	for i := range at {
		at[i], _ = strconv.Atoi(m[i+1])
	}
	return fmt.Sprintf("M%d %dl%d %dV%dL%d %dZ", at[0], at[1], at[2]-at[0], at[3]-at[1], at[5], at[6], at[7])
}

// short is a number without needless digits.
func short(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// named reports whether there are no attributes but the named ones.
func named(attrs map[string]string, names ...string) bool {
	for a := range attrs {
		if !slices.Contains(names, a) {
			return false
		}
	}
	return true
}

// shortGlyphs gives the signs of the engravings short names.
func shortGlyphs(list []*engrave.Engraving) *strings.Replacer {
	seen := map[string]bool{}
	var pairs []string
	for _, e := range list {
		for _, g := range e.Glyphs {
			if !seen[g.ID] {
				name := "g" + strconv.FormatInt(int64(len(seen)), 36)
				pairs = append(pairs, `"#`+g.ID+`"`, `"#`+name+`"`, `id="`+g.ID+`"`, `id="`+name+`"`)
				seen[g.ID] = true
			}
		}
	}
	return strings.NewReplacer(pairs...)
}

var plainValue = regexp.MustCompile(` ([a-z][\w-]*)="([\w.#%:()-]+)"`)

// bare drops the quotation marks that HTML can do without.
func bare(s string) string {
	s = plainValue.ReplaceAllString(s, " $1=$2")
	return unquotedEnd.ReplaceAllString(s, "$1 />")
}

// unquotedEnd is a value without quotation marks before the end of an empty element.
var unquotedEnd = regexp.MustCompile(`(=[\w.#%:()-]+)/>`)

// shrink makes the pieces of a page small: for a page that is kept and sent, not
// for one whose notes are looked up.
func (p *PageParts) shrink(list []*engrave.Engraving) {
	names := shortGlyphs(list)
	for _, systems := range [][]SystemPart{p.Wide, p.Narrow} {
		for i := range systems {
			s := string(systems[i].SVG)
			from := strings.Index(s, `<svg class="eng-system"`)
			if from < 0 {
				from = strings.Index(s, `<svg xmlns="http://www.w3.org/2000/svg" class="eng-system"`)
			}
			to := strings.Index(s, "</svg>")
			if from < 0 || to < from {
				continue
			}
			to += len("</svg>")
			s = s[:from] + compact(s[from:to]) + s[to:]
			systems[i].SVG = template.HTML(bare(names.Replace(s)))
		}
	}
	p.Defs = template.HTML(names.Replace(string(p.Defs)))
}
