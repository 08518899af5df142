package musicxml

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// ownTarget is the target of the processing instructions around our insertions.
const ownTarget = "hairpin"

// characters reads character data up to the next markup.
func (p *parser) characters() error {
	start, plain, blank := p.pos, true, true
	for ; p.pos < len(p.src) && p.src[p.pos] != '<'; p.pos++ {
		switch c := p.src[p.pos]; {
		case c > ' ' && c != '&' && c != ']':
			blank = false
		case isSpace(c):
		case c < ' ':
			return p.malformed("the control character %#x", c)
		case c == '&':
			plain, blank = false, false
		default: // ']'
			blank = false
			if strings.HasPrefix(p.src[p.pos:], "]]>") {
				return p.malformed("]]> in text")
			}
		}
	}
	run := p.src[start:p.pos]
	if len(p.stack) == 0 {
		if !blank {
			return p.malformed("text outside the root element")
		}
		return nil
	}
	if plain && !strings.Contains(run, "\r") {
		p.addText(run)
		return nil
	}
	run, err := p.resolve(strings.ReplaceAll(strings.ReplaceAll(run, "\r\n", "\n"), "\r", "\n"))
	p.addText(run)
	return err
}

// resolve replaces the references in a run of text.
func (p *parser) resolve(run string) (string, error) {
	var b strings.Builder
	for {
		i := strings.IndexByte(run, '&')
		if i < 0 {
			b.WriteString(run)
			return b.String(), nil
		}
		b.WriteString(run[:i])
		s, length, err := p.reference(run[i:])
		if err != nil {
			return "", err
		}
		b.WriteString(s)
		run = run[i+length:]
	}
}

// reference reads the reference at the start of s, and gives its length there.
func (p *parser) reference(s string) (text string, length int, err error) {
	end := strings.IndexByte(s, ';')
	if end < 0 || end > 64 {
		return "", 0, p.malformed("an & that starts no reference")
	}
	name := s[1:end]
	switch name {
	case "lt":
		return "<", end + 1, nil
	case "gt":
		return ">", end + 1, nil
	case "amp":
		return "&", end + 1, nil
	case "quot":
		return `"`, end + 1, nil
	case "apos":
		return "'", end + 1, nil
	}
	if strings.HasPrefix(name, "#") {
		r, ok := charReference(name[1:])
		if !ok {
			return "", 0, p.malformed("the character reference &%s; is no character", name)
		}
		return string(r), end + 1, nil
	}
	text, err = p.entity(name)
	return text, end + 1, err
}

func charReference(s string) (rune, bool) {
	base := 10
	if strings.HasPrefix(s, "x") {
		s, base = s[1:], 16
	}
	n, err := strconv.ParseUint(s, base, 21)
	r := rune(n)
	if err != nil || strings.HasPrefix(s, "+") || !utf8.ValidRune(r) || r == 0xfffe || r == 0xffff {
		return 0, false
	}
	return r, r >= ' ' || r == '\t' || r == '\n' || r == '\r'
}

// addText adds a piece to the text of the open element.
func (p *parser) addText(s string) {
	switch {
	case s == "":
	case p.joined:
		p.pending.WriteString(s)
	case p.run == "":
		p.run = s
	default:
		p.pending.WriteString(p.run)
		p.pending.WriteString(s)
		p.joined = true
	}
}

func (p *parser) takeText() string {
	if p.joined {
		return p.pending.String()
	}
	return p.run
}

func (p *parser) clearText() {
	p.run = ""
	if p.joined {
		p.pending.Reset()
		p.joined = false
	}
}

func (p *parser) comment() error {
	end := strings.Index(p.src[p.pos+4:], "--")
	if end < 0 {
		return p.malformed("a comment does not end")
	}
	after := p.pos + 4 + end + 2
	if err := p.noControls(p.src[p.pos:after]); err != nil {
		return err
	}
	if after >= len(p.src) || p.src[after] != '>' {
		return p.malformed("-- inside a comment")
	}
	p.pos = after + 1
	return nil
}

func (p *parser) cdata() error {
	if len(p.stack) == 0 {
		return p.malformed("text outside the root element")
	}
	start := p.pos + len("<![CDATA[")
	length := strings.Index(p.src[start:], "]]>")
	if length < 0 {
		return p.malformed("a CDATA section does not end")
	}
	text := p.src[start : start+length]
	if err := p.noControls(text); err != nil {
		return err
	}
	p.addText(text)
	p.pos = start + length + 3
	return nil
}

func (p *parser) instruction() error {
	length := strings.Index(p.src[p.pos:], "?>")
	if length < 0 {
		return p.malformed("a processing instruction does not end")
	}
	start, end := p.pos, p.pos+length+2
	if err := p.noControls(p.src[start:end]); err != nil {
		return err
	}
	p.pos += 2
	target := p.name()
	switch {
	case target == "" || p.pos < start+length && !isSpace(p.src[p.pos]):
		return p.malformed("a processing instruction without a name")
	case strings.EqualFold(target, "xml") && start != 0:
		return p.malformed("an XML declaration that is not at the start")
	case target == ownTarget && len(p.stack) > 0:
		body := trim(p.src[p.pos : start+length])
		p.marks = append(p.marks, instruction{int32(start), int32(end), body})
	}
	p.pos = end
	return nil
}

func (p *parser) noControls(s string) error {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' && !isSpace(s[i]) {
			return p.malformed("the control character %#x", s[i])
		}
	}
	return nil
}
