package engrave

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
)

// node is an element of the engraver's SVG; text is a node without a name.
type node struct {
	name  string
	attrs map[string]string
	kids  []*node
	text  string
}

// parseSVG reads one picture of the engraver.
func parseSVG(s string) (*node, error) {
	d := xml.NewDecoder(strings.NewReader(s))
	top := &node{}
	stack := []*node{top}
	for {
		token, err := d.RawToken()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("the engraver's picture is damaged: %w", err)
		}
		parent := stack[len(stack)-1]
		switch t := token.(type) {
		case xml.StartElement:
			n := &node{name: t.Name.Local, attrs: make(map[string]string, len(t.Attr))}
			for _, a := range t.Attr {
				if a.Name.Space == "" {
					n.attrs[a.Name.Local] = a.Value
				}
			}
			parent.kids = append(parent.kids, n)
			stack = append(stack, n)
		case xml.EndElement:
			if len(stack) == 1 {
				return nil, fmt.Errorf("the engraver's picture is damaged: unexpected end of %q", t.Name.Local)
			}
			stack = stack[:len(stack)-1]
		case xml.CharData:
			parent.kids = append(parent.kids, &node{text: string(t)})
		}
	}
	if len(stack) != 1 || len(top.kids) == 0 || top.kids[0].name != "svg" {
		return nil, fmt.Errorf("the engraver's picture is damaged: it holds no whole svg element")
	}
	return top.kids[0], nil
}

// has reports whether the node carries a class.
func (n *node) has(class string) bool {
	for _, c := range strings.Fields(n.attrs["class"]) {
		if c == class {
			return true
		}
	}
	return false
}

// find is the first node below that fits, in document order.
func (n *node) find(fits func(*node) bool) *node {
	for _, k := range n.kids {
		if fits(k) {
			return k
		}
		if found := k.find(fits); found != nil {
			return found
		}
	}
	return nil
}

func named(name string) func(*node) bool { return func(n *node) bool { return n.name == name } }

func classed(class string) func(*node) bool { return func(n *node) bool { return n.has(class) } }
