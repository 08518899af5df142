package musicxml

import (
	"html"
	"slices"
	"strings"
)

// Bounds of the entities that a document type declares. What they are for, a
// name or a sign, is far below.
const (
	maxEntities  = 1000
	maxExpansion = 64 << 10 // bytes and references of all expansions together
	maxNesting   = 16
)

// entities are the internal entities of the document type.
type entities struct {
	text     map[string]string // with character references resolved; the first declaration holds
	open     []string          // those being expanded
	expanded int               // bytes and references so far
}

// documentType steps over the document type. Of its internal subset it keeps the
// entities; nothing outside of it is ever fetched.
func (p *parser) documentType() error {
	if p.root != nil || p.doctype {
		return p.malformed("a document type that is not at the start")
	}
	p.doctype = true
	depth := 0 // of square brackets
	for i := p.pos + len("<!DOCTYPE"); i < len(p.src); i++ {
		skip := 0
		switch c := p.src[i]; {
		case c == '"' || c == '\'':
			skip = strings.IndexByte(p.src[i+1:], c) + 1
		case strings.HasPrefix(p.src[i:], "<!--"):
			skip = strings.Index(p.src[i+4:], "-->") + 6
			if skip == 5 {
				skip = 0
			}
		case strings.HasPrefix(p.src[i:], "<?"):
			skip = strings.Index(p.src[i+2:], "?>") + 3
			if skip == 2 {
				skip = 0
			}
		case depth > 0 && strings.HasPrefix(p.src[i:], "<!ENTITY"):
			if err := p.declare(p.src[i+len("<!ENTITY"):]); err != nil {
				return err
			}
			continue
		case c == '[':
			depth++
			continue
		case c == ']':
			depth--
			continue
		case c == '>' && depth <= 0:
			err := p.noControls(p.src[p.pos:i])
			p.pos = i + 1
			return err
		default:
			continue
		}
		if skip == 0 {
			break
		}
		i += skip
	}
	return p.malformed("the document type does not end")
}

// declare keeps an entity of the form NAME "text". Those of other files, and
// those for use in the document type itself, are left out.
func (p *parser) declare(s string) error {
	d := parser{tree: tree{src: s[:min(len(s), maxExpansion)]}}
	spaced := d.space()
	name := d.name()
	if !spaced || name == "" || !d.space() || d.pos >= len(d.src) {
		return nil
	}
	quote := d.src[d.pos]
	text, _, ended := strings.Cut(d.src[d.pos+1:], string(quote))
	if quote != '"' && quote != '\'' || !ended || strings.Contains(text, "%") {
		return nil
	}
	if _, known := p.entities.text[name]; known {
		return nil
	}
	if len(p.entities.text) == maxEntities {
		return p.unsupported("the document type declares more than %d entities", maxEntities)
	}
	if p.entities.text == nil {
		p.entities.text = map[string]string{}
	}
	text, err := p.characterReferences(text)
	p.entities.text[name] = text
	return err
}

// characterReferences resolves those of an entity's text; other references wait
// until the entity is used.
func (p *parser) characterReferences(s string) (string, error) {
	var b strings.Builder
	for {
		before, rest, found := strings.Cut(s, "&#")
		b.WriteString(before)
		if !found {
			return b.String(), nil
		}
		name, after, _ := strings.Cut(rest, ";")
		r, ok := charReference(name)
		if !ok {
			return "", p.malformed("the character reference &#%s; is no character", name)
		}
		b.WriteRune(r)
		s = after
	}
}

// entity is the text of a named entity: one that the document type declares, or
// one of the named characters of the MusicXML document type (ISO Latin 1 and 2).
func (p *parser) entity(name string) (string, error) {
	for i := 0; i < len(name); i++ {
		if !nameByte(name[i]) && name[i] < 0x80 || i == 0 && !nameStart(name[i]) {
			return "", p.malformed("an & that starts no reference")
		}
	}
	if text, declared := p.entities.text[name]; declared {
		return p.expand(name, text)
	}
	if !p.doctype {
		return "", p.malformed("the entity &%s; is not declared", name)
	}
	ref := "&" + name + ";"
	if s := html.UnescapeString(ref); s != ref && !strings.HasSuffix(s, ";") {
		return s, nil
	}
	return "", p.unsupported("the entity &%s; is not expanded; replace it by its text", name)
}

// expand resolves the references in an entity's text, within bounds.
func (p *parser) expand(name, text string) (string, error) {
	e := &p.entities
	switch e.expanded += len(text) + 1; {
	case slices.Contains(e.open, name):
		return "", p.malformed("the entity &%s; contains itself", name)
	case len(e.open) == maxNesting:
		return "", p.unsupported("entities within each other more than %d deep", maxNesting)
	case e.expanded > maxExpansion:
		return "", p.unsupported("the entities of the document type expand to more than %d bytes", maxExpansion)
	case strings.Contains(text, "<"):
		return "", p.unsupported("the entity &%s; holds elements and is not expanded; replace it by its text", name)
	}
	e.open = append(e.open, name)
	text, err := p.resolve(text)
	e.open = e.open[:len(e.open)-1]
	return text, err
}
