package musicxml

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// A node is an element of the document. Its strings and offsets point into
// the document's text, so that a tree costs little more than its elements and
// an edit can be made in the text itself.
type node struct {
	name        string
	text        string // character data, references resolved; only of elements without child elements
	attrs       []attr
	child, next *node
	start, end  int32 // from the '<' of its start tag to behind the '>' of its end tag
	open, shut  int32 // its content, without its tags
}

type attr struct{ name, value string }

// attr is the value of an attribute, "" if it is absent.
func (n *node) attr(name string) string {
	for i := range n.attrs {
		if n.attrs[i].name == name {
			return n.attrs[i].value
		}
	}
	return ""
}

// find is the first child of that name, nil if there is none.
func (n *node) find(name string) *node {
	for c := n.child; c != nil; c = c.next {
		if c.name == name {
			return c
		}
	}
	return nil
}

// get is the trimmed text of the first child of that name, "" if there is none.
func (n *node) get(name string) string {
	if c := n.find(name); c != nil {
		return trim(c.text)
	}
	return ""
}

// tree is a parsed document.
type tree struct {
	src   string
	root  *node
	marks []instruction // processing instructions of our own
}

// instruction is a processing instruction whose target is [ownTarget].
type instruction struct {
	start, end int32
	body       string
}

// parser reads a document in one pass. It accepts well-formed XML 1.0; entities
// may hold text but no elements, and no external document type is fetched.
type parser struct {
	tree
	limits   Limits
	pos      int
	doctype  bool
	entities entities
	stack    []*node
	last     []*node // per level, the last child seen
	slab     []node
	attrs    []attr
	count    int
	pending  strings.Builder // text of the open element once it is more than one plain run
	run      string          // text of the open element while it is one plain run
	joined   bool            // text is in pending
}

func parseTree(src string, limits Limits) (*tree, error) {
	p := &parser{tree: tree{src: src}, limits: limits}
	if err := p.document(); err != nil {
		return nil, err
	}
	return &p.tree, nil
}

func (p *parser) malformed(format string, args ...any) error {
	line := 1 + strings.Count(p.src[:min(p.pos, len(p.src))], "\n")
	text := fmt.Sprintf("line %d: ", line) + fmt.Sprintf(format, clipAll(args)...)
	return &MalformedError{Where: p.where(), Text: text}
}

func (p *parser) unsupported(format string, args ...any) error {
	return &UnsupportedError{Where: p.where(), Text: fmt.Sprintf(format, clipAll(args)...)}
}

func (p *parser) beyond(limit, format string, most int) error {
	return &UnsupportedError{Where: p.where(), Text: fmt.Sprintf(format, most), Limit: limit}
}

// where names the part and measure whose elements are open.
func (p *parser) where() (w Where) {
	for _, n := range p.stack {
		switch n.name {
		case "part":
			w.Part = n.attr("id")
		case "measure":
			w.Measure = n.attr("number")
		}
	}
	return w
}

func (p *parser) document() error {
	for p.pos < len(p.src) {
		var err error
		if p.src[p.pos] == '<' {
			err = p.markup()
		} else {
			err = p.characters()
		}
		if err != nil {
			return err
		}
	}
	if len(p.stack) > 0 {
		return p.malformed("the file ends inside <%s>", p.stack[len(p.stack)-1].name)
	}
	if p.root == nil {
		return p.malformed("there is no XML element in it")
	}
	return nil
}

func (p *parser) markup() error {
	rest := p.src[p.pos:]
	switch {
	case strings.HasPrefix(rest, "</"):
		return p.endTag()
	case strings.HasPrefix(rest, "<!--"):
		return p.comment()
	case strings.HasPrefix(rest, "<![CDATA["):
		return p.cdata()
	case strings.HasPrefix(rest, "<?"):
		return p.instruction()
	case strings.HasPrefix(rest, "<!DOCTYPE"):
		return p.documentType()
	}
	return p.startTag()
}

func (p *parser) startTag() error {
	n := p.newNode()
	n.start = int32(p.pos)
	p.pos++
	if n.name = p.name(); n.name == "" {
		return p.malformed("a < that starts no tag")
	}
	if p.root != nil && len(p.stack) == 0 {
		return p.malformed("a second root element <%s>", n.name)
	}
	if len(p.stack) >= p.limits.Depth {
		return p.beyond("depth", "elements nested more than %d deep", p.limits.Depth)
	}
	empty, err := p.attributes(n)
	if err != nil {
		return err
	}
	if p.count += 1 + len(n.attrs); p.count > p.limits.Elements {
		return p.beyond("elements", "more than %d elements and attributes", p.limits.Elements)
	}
	n.open = int32(p.pos)
	p.link(n)
	p.clearText()
	if empty {
		n.shut, n.end = n.open, n.open
		return nil
	}
	p.stack = append(p.stack, n)
	p.last = append(p.last, nil)
	return nil
}

func (p *parser) newNode() *node {
	if len(p.slab) == 0 {
		p.slab = make([]node, p.slabLength())
	}
	n := &p.slab[0]
	p.slab = p.slab[1:]
	return n
}

// slabLength is how many nodes or attributes are made at once: few for the small
// documents that are inserted by the thousand.
func (p *parser) slabLength() int { return min(max(len(p.src)/64, 16), 1024) }

// link hangs n under the open element.
func (p *parser) link(n *node) {
	depth := len(p.stack)
	if depth == 0 {
		p.root = n
		return
	}
	if before := p.last[depth-1]; before != nil {
		before.next = n
	} else {
		p.stack[depth-1].child = n
	}
	p.last[depth-1] = n
}

func (p *parser) endTag() error {
	start := p.pos
	p.pos += 2
	name := p.name()
	p.space()
	if len(p.stack) == 0 {
		return p.malformed("</%s> without a start", name)
	}
	n := p.stack[len(p.stack)-1]
	if p.pos >= len(p.src) {
		return p.malformed("the file ends inside <%s>", n.name)
	}
	if name != n.name {
		return p.malformed("<%s> is closed by </%s>", n.name, name)
	}
	if p.src[p.pos] != '>' {
		return p.malformed("the end tag of <%s> is not closed", name)
	}
	p.pos++
	n.shut, n.end = int32(start), int32(p.pos)
	if n.child == nil {
		n.text = p.takeText()
	}
	p.clearText()
	p.stack = p.stack[:len(p.stack)-1]
	p.last = p.last[:len(p.last)-1]
	return nil
}

// maxAttrs is more than twice what any element of MusicXML can have.
const maxAttrs = 100

// attributes reads up to the end of the start tag; it reports an empty element.
func (p *parser) attributes(n *node) (empty bool, err error) {
	first := len(p.attrs)
	for {
		spaced := p.space()
		if p.pos >= len(p.src) {
			return false, p.malformed("the file ends inside the tag <%s>", n.name)
		}
		switch c := p.src[p.pos]; {
		case c == '>':
			p.pos++
			n.attrs = p.attrs[first:len(p.attrs):len(p.attrs)]
			return false, nil
		case c == '/' && strings.HasPrefix(p.src[p.pos:], "/>"):
			p.pos += 2
			n.attrs = p.attrs[first:len(p.attrs):len(p.attrs)]
			return true, nil
		case !spaced:
			return false, p.malformed("a stray character in the tag <%s>", n.name)
		}
		a, err := p.attribute(n)
		if err != nil {
			return false, err
		}
		if len(p.attrs)-first >= maxAttrs {
			return false, p.unsupported("<%s> has more than %d attributes", n.name, maxAttrs)
		}
		for _, b := range p.attrs[first:] {
			if a.name == b.name {
				return false, p.malformed("<%s> has the attribute %s twice", n.name, a.name)
			}
		}
		if len(p.attrs) == cap(p.attrs) { // start a new slab; earlier elements keep theirs
			p.attrs = append(make([]attr, 0, p.slabLength()+len(p.attrs)-first), p.attrs[first:]...)
			first = 0
		}
		p.attrs = append(p.attrs, a)
	}
}

func (p *parser) attribute(n *node) (a attr, err error) {
	if a.name = p.name(); a.name == "" {
		return a, p.malformed("a stray character in the tag <%s>", n.name)
	}
	p.space()
	if p.pos >= len(p.src) || p.src[p.pos] != '=' {
		return a, p.malformed("the attribute %s of <%s> has no value", a.name, n.name)
	}
	p.pos++
	p.space()
	if p.pos >= len(p.src) || p.src[p.pos] != '"' && p.src[p.pos] != '\'' {
		return a, p.malformed("the value of the attribute %s of <%s> is not quoted", a.name, n.name)
	}
	length := strings.IndexByte(p.src[p.pos+1:], p.src[p.pos])
	if length < 0 {
		return a, p.malformed("the value of the attribute %s of <%s> does not end", a.name, n.name)
	}
	raw := p.src[p.pos+1 : p.pos+1+length]
	a.value, err = p.attributeValue(raw)
	p.pos += length + 2
	return a, err
}

// attributeValue resolves references and turns white space into blanks.
func (p *parser) attributeValue(raw string) (string, error) {
	plain := true
	for i := 0; i < len(raw); i++ {
		switch c := raw[i]; {
		case c == '<':
			return "", p.malformed("a < in the value of an attribute")
		case c == '&' || c < ' ':
			plain = false
		}
	}
	if plain {
		return raw, nil
	}
	var b strings.Builder
	for i := 0; i < len(raw); i++ {
		switch c := raw[i]; {
		case c == '\t' || c == '\n' || c == '\r':
			b.WriteByte(' ')
		case c < ' ':
			return "", p.malformed("the control character %#x", c)
		case c == '&':
			s, length, err := p.reference(raw[i:])
			if err != nil {
				return "", err
			}
			b.WriteString(s)
			i += length - 1
		default:
			b.WriteByte(c)
		}
	}
	return b.String(), nil
}

// name reads a name; "" if there is none.
func (p *parser) name() string {
	start := p.pos
	for p.pos < len(p.src) {
		c := p.src[p.pos]
		if c < utf8.RuneSelf && !nameByte(c) {
			break
		}
		p.pos++
	}
	if p.pos > start && !nameStart(p.src[start]) {
		p.pos = start
	}
	return p.src[start:p.pos]
}

func nameByte(c byte) bool {
	return 'a' <= c && c <= 'z' || c == '-' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || c == ':' || c == '_' || c == '.'
}

func nameStart(c byte) bool {
	return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || c == '_' || c == ':' || c >= utf8.RuneSelf
}

// space steps over white space and reports whether there was any.
func (p *parser) space() bool {
	start := p.pos
	for p.pos < len(p.src) && isSpace(p.src[p.pos]) {
		p.pos++
	}
	return p.pos > start
}

func isSpace(c byte) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }

// trim cuts XML white space from both ends.
func trim(s string) string {
	for s != "" && isSpace(s[0]) {
		s = s[1:]
	}
	for s != "" && isSpace(s[len(s)-1]) {
		s = s[:len(s)-1]
	}
	return s
}
