package musicxml

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hairpin/score"
)

// Edit is an insertion into the document of a [File].
type Edit struct {
	Part  int        // index into Score.Parts
	At    score.Tick // where it is to be read
	End   bool       // at the edge of two measures, stand at the end of the first: for what stops there
	Staff int        // 0: not stated
	Layer string     // what it belongs to, for Remove: letters, digits, - and _
	XML   string     // one or more <direction> or <harmony> elements, without <offset> and <staff>
	Line  *Line      // XML begins a line that stops elsewhere; nil for none
}

// Line is a wedge, bracket or dashed line that an edit begins.
type Line struct {
	Element string     // "wedge", "bracket", "dashes": in XML and Stop, without a number
	Until   score.Tick // where it stops: at the end of the measure before, at the edge of two
	Stop    string     // one <direction>, as Edit.XML
}

// Apply inserts the edits into the document and reads the result. Nothing else
// changes: the insertions stand between processing instructions of our own,
// from <?hairpin begin LAYER?> to <?hairpin end?>, and are the only bytes that
// the result has more. Edits at one place stand in the order given. An <offset>
// is added where no note starts at the time, a <staff> where the part has
// several. A line's stop stands behind its start in the document, and lines get
// numbers that neither the document nor, between start and stop, another line
// has. The file itself is not changed.
//
// An error says which edit cannot be made.
func (f *File) Apply(edits []Edit) (*File, error) {
	cuts := make([]splice, 0, len(edits))
	p := newPlacer(f)
	for i, e := range edits {
		list, err := p.insertions(e)
		if err != nil {
			return nil, fmt.Errorf("edit %d of layer %q: %w", i+1, e.Layer, err)
		}
		cuts = append(cuts, list...)
	}
	slices.SortStableFunc(cuts, func(a, b splice) int { return a.at - b.at })
	return f.withText(insertAll(f.tree.src, cuts))
}

// splice is text to be put in at an offset of the document's text.
type splice struct {
	at    int
	text  string
	layer string
	blank string // what stands before the next element: a line break and its indentation, or nothing
}

// insertAll puts the splices in; neighbours of one layer share their brackets.
func insertAll(src string, cuts []splice) string {
	var b strings.Builder
	done := 0
	for i := 0; i < len(cuts); {
		c := cuts[i]
		b.WriteString(src[done:c.at])
		fmt.Fprintf(&b, "<?%s begin %s?>", ownTarget, c.layer)
		for ; i < len(cuts) && cuts[i].at == c.at && cuts[i].layer == c.layer; i++ {
			b.WriteString(c.blank + cuts[i].text)
		}
		fmt.Fprintf(&b, "%s<?%s end?>", c.blank, ownTarget)
		done = c.at
	}
	b.WriteString(src[done:])
	return b.String()
}

// insertions is what an edit puts in: one splice, or two for a line.
func (p *placer) insertions(e Edit) ([]splice, error) {
	f := p.f
	if e.Part < 0 || e.Part >= len(f.Score.Parts) {
		return nil, fmt.Errorf("the score has no part %d", e.Part+1)
	}
	if !isLayerName(e.Layer) {
		return nil, fmt.Errorf("the layer's name may have letters, digits, - and _ only")
	}
	if e.Line != nil {
		return p.line(e)
	}
	at, ok := p.locate(e, 0)
	if !ok {
		return nil, p.noMeasure(e)
	}
	s, err := p.splice(e, at, numbering{})
	return []splice{s}, err
}

func (p *placer) noMeasure(e Edit) error {
	return fmt.Errorf("part %s has no measure to put it in", p.f.Score.Parts[e.Part].ID)
}

// splice completes the XML of an edit for its spot.
func (p *placer) splice(e Edit, at spot, n numbering) (splice, error) {
	f, staff := p.f, e.Staff
	if f.Score.Parts[e.Part].Staves == 1 {
		staff = 0
	}
	text, err := completeXML(e.XML, at.offset, staff, n)
	if err != nil {
		return splice{}, err
	}
	if newline := f.lineEnd(); newline != "\n" {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\n", newline)
	}
	return splice{at.at, text, e.Layer, f.blankBefore(at.at)}, nil
}

func isLayerName(s string) bool {
	for _, r := range s {
		if !(r < 0x80 && (nameByte(byte(r)) && r != ':' && r != '.')) {
			return false
		}
	}
	return s != ""
}

// blankBefore is the line break and indentation that stand before an offset.
func (f *File) blankBefore(at int) string {
	src := f.tree.src
	i := at
	for i > 0 && (src[i-1] == ' ' || src[i-1] == '\t') {
		i--
	}
	if i == 0 || src[i-1] != '\n' && src[i-1] != '\r' {
		return ""
	}
	i--
	if i > 0 && src[i] == '\n' && src[i-1] == '\r' {
		i--
	}
	return src[i:at]
}

// lineEnd is how the document ends its lines.
func (f *File) lineEnd() string {
	i := strings.IndexAny(f.tree.src, "\r\n")
	switch {
	case i < 0 || f.tree.src[i] == '\n':
		return "\n"
	case strings.HasPrefix(f.tree.src[i:], "\r\n"):
		return "\r\n"
	}
	return "\r"
}

// completeXML adds <offset> and <staff> to each element, where the schema has
// them, and its number to a line.
func completeXML(xml, offset string, staff int, n numbering) (string, error) {
	const open, shut = "<measure>", "</measure>"
	t, err := parseTree(open+xml+shut, DefaultLimits())
	if err != nil {
		return "", fmt.Errorf("its XML: %w", err)
	}
	var cuts []splice
	for c := t.root.child; c != nil; c = c.next {
		if c.name != "direction" && c.name != "harmony" {
			return "", fmt.Errorf("its XML: <%s> cannot be inserted, only <direction> and <harmony>", c.name)
		}
		if c.child == nil {
			return "", fmt.Errorf("its XML: <%s> is empty", c.name)
		}
		if c.find("offset") != nil || c.find("staff") != nil {
			return "", fmt.Errorf("its XML: <offset> and <staff> are added by Apply")
		}
		if at := n.slot(c); at > 0 {
			cuts = append(cuts, splice{at: at, text: fmt.Sprintf(` number="%d"`, n.number)})
		}
		if offset != "" {
			cuts = append(cuts, splice{at: slot(c, "offset"), text: "<offset>" + offset + "</offset>"})
		}
		if staff > 0 {
			cuts = append(cuts, splice{at: slot(c, "staff"), text: "<staff>" + strconv.Itoa(staff) + "</staff>"})
		}
	}
	if t.root.child == nil {
		return "", fmt.Errorf("its XML is empty")
	}
	var b strings.Builder
	done := 0
	for _, c := range cuts {
		b.WriteString(t.src[done:c.at] + c.text)
		done = c.at
	}
	b.WriteString(t.src[done:])
	return trim(strings.TrimSuffix(strings.TrimPrefix(b.String(), open), shut)), nil
}

// slot is the text offset where a child of that name belongs in a direction
// or harmony, by the order of the MusicXML 4.0 schema.
func slot(n *node, name string) int {
	after := []string{"footnote", "level", "voice", "staff", "sound", "listening"}
	if name == "staff" {
		after = []string{"sound", "listening"}
	}
	for c := n.child; c != nil; c = c.next {
		if slices.Contains(after, c.name) {
			return int(c.start)
		}
	}
	return int(n.shut)
}

// escaper writes the characters that XML keeps for itself.
var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// Escape makes a text safe for XML content and attribute values. Characters
// that XML cannot hold are left out.
func Escape(s string) string {
	return escaper.Replace(strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, s))
}
