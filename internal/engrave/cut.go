package engrave

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"slices"
	"strings"
)

// stretch is the measures that are drawn, by index: from the first up to before to.
// to 0 is the end.
type stretch struct{ from, to int }

// leftOut counts the note elements that a cut takes out of a part.
type leftOut struct{ before, after int }

// cut leaves out of every part the measures outside a stretch: what is not drawn is
// not even read. What holds from before, such as clefs and keys, moves into the first
// measure that stays. A document in which a part ends before the stretch stays whole
// at its beginning.
func cut(src []byte, s stretch) (out []byte, gone []leftOut, from int) {
	if s.from <= 0 && s.to <= 0 {
		return src, nil, 0
	}
	c := &cutter{src: src, stretch: s}
	if c.all(); c.short {
		c = &cutter{src: src, stretch: stretch{0, s.to}}
		c.all()
	}
	return append(c.out, src[c.kept:]...), c.gone, c.stretch.from
}

// cutter goes over the tags of a document.
type cutter struct {
	src []byte
	stretch
	out     []byte
	kept    int // what stays and is not in out yet begins here
	leaving bool
	measure int // in the part
	held    [][]byte
	gone    []leftOut
	short   bool // a part has no measure in the stretch
}

func (c *cutter) all() {
	for at := 0; ; {
		i := bytes.IndexByte(c.src[at:], '<')
		if i < 0 {
			return
		}
		at = c.tag(at + i)
	}
}

// tag reads the tag at a place and says where to go on.
func (c *cutter) tag(at int) int {
	rest := c.src[at:]
	switch {
	case bytes.HasPrefix(rest, []byte("<!--")):
		return at + past(rest, "-->")
	case bytes.HasPrefix(rest, []byte("<![CDATA[")):
		return at + past(rest, "]]>")
	case begins(rest, "<part"):
		c.gone, c.measure, c.held = append(c.gone, leftOut{}), -1, nil
	case begins(rest, "</part"):
		c.short = c.short || c.measure < c.from
		if c.leaving {
			c.kept, c.leaving = at, false
		}
	case len(c.gone) == 0:
	case begins(rest, "<measure"):
		return c.begin(at)
	case !c.leaving:
	case begins(rest, "<note") && c.measure < c.from:
		c.gone[len(c.gone)-1].before++
	case begins(rest, "<note"):
		c.gone[len(c.gone)-1].after++
	case begins(rest, "<attributes") && c.measure < c.from:
		n := element(rest, "attributes")
		c.held = append(c.held, rest[:n])
		return at + n
	}
	return at + 1
}

// begin is at a measure's start tag.
func (c *cutter) begin(at int) int {
	c.measure++
	inside := c.measure >= c.from && (c.to <= 0 || c.measure < c.to)
	switch {
	case !inside && !c.leaving:
		c.out, c.leaving = append(c.out, c.src[c.kept:at]...), true
	case inside && c.leaving:
		c.kept, c.leaving = at, false
		return c.resume(at)
	}
	return at + 1
}

// resume writes the beginning of the first measure that stays, with all that holds there.
func (c *cutter) resume(at int) int {
	open := c.src[at : at+past(c.src[at:], ">")]
	if bytes.HasSuffix(open, []byte("/>")) { // an empty measure
		c.out = append(append(c.out, open[:len(open)-2]...), ">"+merged(c.held)+"</measure>"...)
		c.kept = at + len(open)
		return c.kept
	}
	between, next := c.head(at + len(open))
	c.out = append(append(append(c.out, open...), merged(c.held)...), between...)
	c.kept = next
	return next
}

// head reads a measure up to where time begins to run: its attributes are held, between
// is the rest.
func (c *cutter) head(at int) (between []byte, next int) {
	for {
		i := bytes.IndexByte(c.src[at:], '<')
		if i < 0 || endsHead(c.src[at+i:]) {
			return between, at
		}
		tag, n := c.src[at+i:], 1
		switch {
		case begins(tag, "<attributes"):
			n = element(tag, "attributes")
			c.held = append(c.held, tag[:n])
			between = append(between, c.src[at:at+i]...)
			at += i + n
			continue
		case bytes.HasPrefix(tag, []byte("<!--")):
			n = past(tag, "-->")
		}
		between = append(between, c.src[at:at+i+n]...)
		at += i + n
	}
}

// element is how long the element is that a text begins with, which holds none of its name.
func element(text []byte, name string) int {
	if n := past(text, ">"); bytes.HasSuffix(text[:n], []byte("/>")) {
		return n
	}
	return past(text, "</"+name+">")
}

// endsHead reports whether time begins to run in a measure, or it ends, at a tag.
func endsHead(tag []byte) bool {
	return begins(tag, "<note") || begins(tag, "<backup") || begins(tag, "<forward") || begins(tag, "</measure")
}

// past is where the text after the next end begins, the text's length if there is none.
func past(text []byte, end string) int {
	if i := bytes.Index(text, []byte(end)); i >= 0 {
		return i + len(end)
	}
	return len(text)
}

// begins reports whether a text begins with a tag of exactly this name.
func begins(text []byte, tag string) bool {
	return len(text) > len(tag) && bytes.HasPrefix(text, []byte(tag)) && bytes.IndexByte([]byte(" \t\r\n/>"), text[len(tag)]) >= 0
}

// attributeOrder is the order of MusicXML 4.0; what is missing says nothing that is drawn.
var attributeOrder = []string{"divisions", "key", "time", "staves", "part-symbol", "instruments", "clef", "staff-details", "transpose"}

// heldElement is an element within attributes.
type heldElement struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Inside  string     `xml:",innerxml"`
}

// staff is the number of the staff it is for, "" for all.
func (h heldElement) staff() string {
	for _, a := range h.Attrs {
		if a.Name.Local == "number" {
			return a.Value
		}
	}
	if h.XMLName.Local == "clef" {
		return "1"
	}
	return ""
}

func (h heldElement) String() string {
	var b strings.Builder
	b.WriteString("<" + h.XMLName.Local)
	for _, a := range h.Attrs {
		if a.Name.Space == "" {
			fmt.Fprintf(&b, ` %s="%s"`, a.Name.Local, escape(a.Value))
		}
	}
	return b.String() + ">" + h.Inside + "</" + h.XMLName.Local + ">"
}

// merged is what holds after several attributes elements: the last of each kind and
// staff; one without a staff stands for all.
func merged(list [][]byte) string {
	var last []heldElement
	for _, text := range list {
		var a struct {
			Elements []heldElement `xml:",any"`
		}
		if xml.Unmarshal(text, &a) != nil {
			continue
		}
		for _, e := range a.Elements {
			last = slices.DeleteFunc(last, func(old heldElement) bool {
				return old.XMLName == e.XMLName && (e.staff() == "" || old.staff() == e.staff())
			})
			last = append(last, e)
		}
	}
	var b strings.Builder
	for _, name := range attributeOrder {
		for _, e := range last {
			if e.XMLName.Local == name {
				b.WriteString(e.String())
			}
		}
	}
	if b.Len() == 0 {
		return ""
	}
	return "<attributes>" + b.String() + "</attributes>"
}
