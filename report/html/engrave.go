package html

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"strings"

	"hairpin/internal/engrave"
	"hairpin/musicxml"
)

// Drawer engraves scores in the two layouts of a page. It may be used by
// several goroutines at once.
type Drawer struct{ engraver *engrave.Engraver }

// NewDrawer readies the engraver; module is the path of another build of it, ""
// for the one inside. It draws parallel layouts at once, others wait; 0 is two.
// Close it after use.
func NewDrawer(ctx context.Context, module string, parallel int) (*Drawer, error) {
	e, err := engrave.New(ctx, engrave.Options{Module: module, Parallel: parallel})
	if err != nil {
		return nil, err
	}
	return &Drawer{e}, nil
}

// Close frees the engraver.
func (d *Drawer) Close(ctx context.Context) error { return d.engraver.Close(ctx) }

// Staves say which staves are drawn and how large.
type Staves struct {
	Part     int  // counted from 1; 0 is all
	Small    bool // more measures on a line
	First    int  // index of the measure with which they begin
	Measures int  // index of the measure before which they end; 0 is all
}

// Wide engraves for desk and paper. Of a long score first gets the first
// systems beforehand, see [engrave.Engraver.EngraveFrom]; it may be nil.
func (d *Drawer) Wide(ctx context.Context, f *musicxml.File, s Staves, first func(*engrave.Engraving)) (*engrave.Engraving, error) {
	return d.draw(ctx, f, s, engrave.Layout{PageWidth: int(wide.width), Prefix: "w"}, first)
}

// Narrow engraves for a phone, otherwise as Wide.
func (d *Drawer) Narrow(ctx context.Context, f *musicxml.File, s Staves, first func(*engrave.Engraving)) (*engrave.Engraving, error) {
	return d.draw(ctx, f, s, engrave.Layout{PageWidth: int(narrow.width), Prefix: "n"}, first)
}

// smallScale is the size of small staves in percent: still read from a chair.
const smallScale = 65

// draw engraves the document; one that is written measure by measure is drawn
// from what was read of it.
func (d *Drawer) draw(ctx context.Context, f *musicxml.File, s Staves, l engrave.Layout, first func(*engrave.Engraving)) (*engrave.Engraving, error) {
	document := f.Document()
	if bytes.Contains(document[:min(len(document), 4096)], []byte("<score-timewise")) {
		var b bytes.Buffer
		if err := musicxml.Write(&b, f.Score); err != nil {
			return nil, fmt.Errorf("engrave: %w", err)
		}
		document = b.Bytes()
	}
	if s.Part > 0 && s.Part <= len(f.Score.Parts) && len(f.Score.Parts) > 1 {
		document = onlyPart(document, f.Score.Parts[s.Part-1].ID)
	}
	l.From, l.Measures = s.First, s.Measures
	if s.Small {
		l.Scale, l.PageWidth = smallScale, l.PageWidth*100/smallScale // the picture is as wide as before
	}
	return d.engraver.EngraveFrom(ctx, document, l, first)
}

var (
	partGroup = regexp.MustCompile(`(?s)<part-group\b[^>]*/>|<part-group\b.*?</part-group\s*>`)
	partTag   = regexp.MustCompile(`(?s)<(score-part|part)\s[^>]*?\bid\s*=\s*["']([^"']*)["'].*?</(?:score-part|part)\s*>`)
)

// onlyPart is the document with one of its parts alone: elements of parts never
// stand inside one another, so their text can be cut out. A document it does not
// understand stays whole.
func onlyPart(document []byte, id string) []byte {
	kept := 0
	out := partTag.ReplaceAllFunc(partGroup.ReplaceAll(document, nil), func(part []byte) []byte {
		if m := partTag.FindSubmatch(part); string(m[2]) != id {
			return nil
		}
		kept++
		return part
	})
	if kept != 2 {
		return document
	}
	return out
}

// WithoutStaves says why a page has no staves.
func WithoutStaves(err error) string {
	return "The staves could not be drawn (" + strings.TrimPrefix(err.Error(), "engrave: ") + "). Bars stand in for them; the curves are the same."
}
