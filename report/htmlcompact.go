package report

import (
	"encoding/xml"
	"fmt"
	"html"
	"html/template"
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
			c.close(t.Name.Local)
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
	stack []string // the end tag of each open element, "" for one left out
	begun bool     // the last start tag still lacks its end
	lines []*gathered
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
		c.stack = append(c.stack, "")
	case t.Name.Local == "path" && named(attrs, "d", "stroke-width") && c.line(attrs):
		c.stack = append(c.stack, "")
	case t.Name.Local == "polygon" && named(attrs, "points") && c.polygon(attrs["points"]):
		c.stack = append(c.stack, "")
	default:
		c.shut()
		c.flushAround(t.Name.Local)
		c.out.f("<%s", t.Name.Local)
		for _, a := range t.Attr {
			c.out.f(` %s="%s"`, a.Name.Local, html.EscapeString(a.Value))
		}
		c.begun = true
		c.stack = append(c.stack, t.Name.Local)
	}
}

// flushAround keeps gathered paths inside the group, with its transform, to which they belong.
func (c *compactor) flushAround(name string) {
	if holdsPaths(name) {
		c.flush()
	}
}

func holdsPaths(name string) bool { return name == "g" || name == "svg" }

func (c *compactor) close(name string) {
	if len(c.stack) == 0 {
		return
	}
	tag := c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
	switch {
	case tag == "":
	case c.begun && (len(c.lines) == 0 || !holdsPaths(name)):
		c.out.f("/>")
		c.begun = false
	default:
		c.shut()
		c.flushAround(name)
		c.out.f("</%s>", tag)
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
		c.out.f(`<path d="%s"%s/>`, c.lines[i].d.String(), c.lines[i].attrs)
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

func (c *compactor) polygon(points string) bool {
	if strings.Trim(points, "0123456789.,- ") != "" {
		return false
	}
	c.gather("").f("M%sZ", points)
	return true
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
			systems[i].SVG = template.HTML(names.Replace(s))
		}
	}
	p.Defs = template.HTML(names.Replace(string(p.Defs)))
}
