package practice

import (
	"encoding/xml"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hairpin/musicxml"
)

// element is an element of the document, with its text or its children.
type element struct {
	name  string
	attrs []string // name, value, name, value …
	text  string
	list  []*element
}

// parsed reads one element from its text. Comments and processing instructions
// are dropped, and so are names of other name spaces than MusicXML's own.
func parsed(text string) (*element, error) {
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict = false
	stack := []*element{{}}
	for {
		t, err := d.RawToken()
		if err != nil {
			break
		}
		top := stack[len(stack)-1]
		switch t := t.(type) {
		case xml.StartElement:
			e := &element{name: t.Name.Local}
			for _, a := range t.Attr {
				if name := qualified(a.Name); name != "" && (name != "id" || e.keepsID()) {
					e.attrs = append(e.attrs, name, a.Value)
				}
			}
			top.list = append(top.list, e)
			stack = append(stack, e)
		case xml.EndElement:
			if stack = stack[:len(stack)-1]; len(stack) == 0 {
				return nil, fmt.Errorf("a measure that ends twice")
			}
		case xml.CharData:
			top.text += string(t)
		}
	}
	if len(stack) != 1 || len(stack[0].list) != 1 {
		return nil, fmt.Errorf("a measure that is not one element")
	}
	return stack[0].list[0], nil
}

// keepsID reports whether the element's id names an instrument or a part. All
// others would stand twice in the sheet.
func (e *element) keepsID() bool {
	return e.name == "instrument" || strings.HasPrefix(e.name, "score-") || strings.HasPrefix(e.name, "midi-")
}

func qualified(n xml.Name) string {
	switch n.Space {
	case "":
		return n.Local
	case "xml":
		return "xml:" + n.Local
	}
	return ""
}

// el is an element with children; nil ones are left out.
func el(name string, list ...*element) *element {
	e := &element{name: name}
	for _, c := range list {
		if c != nil {
			e.list = append(e.list, c)
		}
	}
	return e
}

func leaf(name, text string) *element    { return &element{name: name, text: text} }
func number(name string, n int) *element { return leaf(name, strconv.Itoa(n)) }

// with adds an attribute.
func (e *element) with(name, value string) *element {
	e.attrs = append(e.attrs, name, value)
	return e
}

func (e *element) attr(name string) string {
	for i := 0; i+1 < len(e.attrs); i += 2 {
		if e.attrs[i] == name {
			return e.attrs[i+1]
		}
	}
	return ""
}

// find is the first child of that name, or the child of a child by a path; nil if there is none.
func (e *element) find(path ...string) *element {
	for _, name := range path {
		i := slices.IndexFunc(e.list, func(c *element) bool { return c.name == name })
		if i < 0 {
			return nil
		}
		e = e.list[i]
	}
	return e
}

func (e *element) get(path ...string) string {
	if c := e.find(path...); c != nil {
		return strings.TrimSpace(c.text)
	}
	return ""
}

func (e *element) whole(name string, missing int) int {
	n, err := strconv.ParseFloat(e.get(name), 64)
	if err != nil {
		return missing
	}
	return int(n)
}

// drop takes the children of those names out.
func (e *element) drop(names ...string) {
	e.list = slices.DeleteFunc(e.list, func(c *element) bool { return slices.Contains(names, c.name) })
}

// copied is a deep copy.
func (e *element) copied() *element {
	if e == nil {
		return nil
	}
	c := &element{e.name, slices.Clone(e.attrs), e.text, nil}
	for _, x := range e.list {
		c.list = append(c.list, x.copied())
	}
	return c
}

func (e *element) String() string {
	var b strings.Builder
	e.write(&b, "")
	return b.String()
}

func (e *element) write(b *strings.Builder, indent string) {
	b.WriteString(indent + "<" + e.name)
	for i := 0; i+1 < len(e.attrs); i += 2 {
		fmt.Fprintf(b, ` %s="%s"`, e.attrs[i], musicxml.Escape(e.attrs[i+1]))
	}
	switch {
	case len(e.list) > 0:
		b.WriteString(">\n")
		for _, c := range e.list {
			c.write(b, indent+" ")
		}
		b.WriteString(indent + "</" + e.name + ">\n")
	case e.text != "":
		b.WriteString(">" + musicxml.Escape(e.text) + "</" + e.name + ">\n")
	default:
		b.WriteString("/>\n")
	}
}
